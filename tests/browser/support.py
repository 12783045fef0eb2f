"""Opening and asking the review page."""

import base64
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement

from standback.brief.model import Brief, Remark, Waiver, Where
from standback.pipeline import audit_artwork
from standback.reports.page import draw_page
from standback.settings import Settings
from synth import Sheet, sans, sans_bold

BRIEF = Brief(
    file="river.toml",
    remarks=(
        Remark(where=Where(words="bottom right"), text="The corner wants a fish."),
        Remark(where=Where(box_mm=(15.0, 30.0, 120.0, 62.0)), text="Sing it louder."),
    ),
    waivers=(Waiver(check="short-reach", reason="People walk up to the kiosk."),),
)


def review_page(path: Path) -> Path:
    """Write the page of a poster with a pale line and one too small."""
    sheet = Sheet(210.0, 297.0, 75.0, (247, 240, 226))
    sheet.text("RIVER NIGHT", sans_bold(), (20, 30, 60), (15, 60), cap_mm=22.0)
    sheet.text("Doors at seven", sans(), (205, 196, 180), (15, 140), cap_mm=9.0)
    sheet.text("Bring a lantern", sans(), (20, 30, 60), (15, 170), cap_mm=5.0)
    sheet.text("No dogs on the jetty", sans(), (150, 190, 205), (15, 280), cap_mm=3.2)
    settings = Settings(far_m=8.0, brief=BRIEF)
    artwork = sheet.finish().artwork()
    path.write_text(draw_page(artwork, audit_artwork(artwork, settings), settings), encoding="utf-8")
    return path


class Page:
    """The page in the browser."""

    def __init__(self, driver: webdriver.Chrome, html: Path) -> None:
        self.driver = driver
        self._html = html

    def open(self, width: int, height: int, *, scheme: str = "light") -> None:
        self.sized(width, height)
        self._command("Emulation.setEmulatedMedia", media="", features=[_feature(scheme)])
        self.driver.get_log("browser")  # what earlier pages said
        self.driver.get(self._html.as_uri())

    def sized(self, width: int, height: int) -> None:
        self._command(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False
        )

    def printed(self) -> None:
        """Lay the page out as for print."""
        self._command("Emulation.setEmulatedMedia", media="print", features=[])

    def run(self, script: str, *args: Any) -> Any:
        return self.driver.execute_script(script, *args)

    def one(self, selector: str) -> WebElement:
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector: str) -> list[WebElement]:
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def complaints(self) -> list[str]:
        return [f"{entry['level']}: {entry['message']}" for entry in self.driver.get_log("browser")]

    def pixels(self, element: WebElement) -> npt.NDArray[np.uint8]:
        png = base64.b64decode(element.screenshot_as_base64)
        with Image.open(BytesIO(png)) as picture:
            return np.asarray(picture.convert("RGB"))

    def _command(self, name: str, **parameters: Any) -> Any:
        return self.driver.execute_cdp_cmd(name, parameters)


def _feature(scheme: str) -> dict[str, str]:
    return {"name": "prefers-color-scheme", "value": scheme}

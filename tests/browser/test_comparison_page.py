"""The page of a comparison in a real browser: stations by key, and a small screen."""

from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.keys import Keys

from browser.support import Page
from reports.test_compare_page import page as drawn


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("drafts") / "compare.html"
    path.write_text(drawn(), encoding="utf-8")
    return path


def shown(driver: webdriver.Chrome) -> list[str]:
    pairs = driver.find_elements("css selector", ".pair")
    return [(pair.get_attribute("class") or "").split()[1] for pair in pairs if pair.is_displayed()]


def test_stations_are_walked_by_keys(driver: webdriver.Chrome, file: Path) -> None:
    Page(driver, file).open(1280, 800)
    assert shown(driver) == ["far"]
    far = driver.find_element("css selector", "#stand-far")
    far.send_keys(Keys.ARROW_LEFT)
    assert shown(driver) == ["mid"]
    driver.find_element("css selector", "label[for=stand-near]").click()
    assert shown(driver) == ["near"]


def test_nothing_hangs_over_a_small_screen_and_no_error_is_told(driver: webdriver.Chrome, file: Path) -> None:
    Page(driver, file).open(360, 740)
    wide = driver.execute_script("return document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0
    assert driver.get_log("browser") == []

"""A real browser, and the page of a small poster opened in it from disk."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium import webdriver

from browser.support import Page, review_page

_MISSING = (
    "the review page is tested in a real browser, and there is none: install Chromium and its driver "
    "(on Debian and Ubuntu 'apt-get install chromium chromium-driver')"
)


@pytest.fixture(scope="session")
def driver() -> Iterator[webdriver.Chrome]:
    """Chromium without a window."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    chromedriver = shutil.which("chromedriver")
    if chromium is None or chromedriver is None:
        pytest.fail(_MISSING)
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars"):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    started = webdriver.Chrome(options=options, service=webdriver.ChromeService(chromedriver))
    yield started
    started.quit()


@pytest.fixture(scope="session")
def html(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The review page of a small poster, with a remark and a waiver."""
    return review_page(tmp_path_factory.mktemp("page") / "review.html")


@pytest.fixture
def page(driver: webdriver.Chrome, html: Path) -> Page:
    """The page, freshly opened on a desktop."""
    opened = Page(driver, html)
    opened.open(1440, 900)
    return opened

"""The review page in a real browser: the walk, the findings, and who can use it."""

import time
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from browser.support import Page

CONTRAST = 4.5
"""WCAG 2.2, 1.4.3."""

# Every text on the page with its colour and the colours under it, nearest first, down to an opaque one.
COLOURS = """
const seen = [];
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walker.nextNode()) {
  const node = walker.currentNode, element = node.parentElement;
  if (!node.data.trim() || element.closest("script, svg, .hang")) continue;
  const box = element.getBoundingClientRect();
  if (!box.width || !box.height || getComputedStyle(element).visibility === "hidden") continue;
  const under = [];
  for (let up = element; up; up = up.parentElement) under.push(getComputedStyle(up).backgroundColor);
  let alpha = 1;
  for (let up = element; up; up = up.parentElement) alpha *= Number(getComputedStyle(up).opacity);
  seen.push({ text: node.data.trim().slice(0, 40), colour: getComputedStyle(element).color, under, alpha });
}
return seen;
"""

NAMES = """
const name = (e) => (e.getAttribute("aria-label")
  || (e.getAttribute("aria-labelledby") || "").split(" ")
    .map((id) => document.getElementById(id)?.textContent).join(" ").trim()
  || (e.labels && [...e.labels].map((l) => l.textContent).join(" "))
  || e.textContent || "").trim();
const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
return {
  pictures: [...document.querySelectorAll("img")].filter((e) => !e.alt.trim()).length,
  drawings: [...document.querySelectorAll("svg")].filter((e) =>
    e.getAttribute("aria-hidden") !== "true" && !(e.getAttribute("role") === "img" && name(e))).length,
  controls: [...document.querySelectorAll("button, input, a, [tabindex]")]
    .filter((e) => !name(e)).map((e) => e.outerHTML.slice(0, 80)),
  regions: [...document.querySelectorAll("section, [role=region]")]
    .filter((e) => !name(e) || !e.hasAttribute("aria-labelledby")).length,
  broken: [...document.querySelectorAll("[aria-labelledby], [aria-describedby], [aria-controls], label[for]")]
    .flatMap((e) => ["aria-labelledby", "aria-describedby", "aria-controls", "for"]
      .map((a) => e.getAttribute(a)).filter(Boolean))
    .filter((id) => !ids.includes(id)),
  twice: ids.filter((id, n) => ids.indexOf(id) !== n),
  headings: [...document.querySelectorAll("h1, h2, h3, h4")].map((e) => Number(e.tagName[1])),
  landmarks: ["main", "footer"].map((n) => document.querySelectorAll(n).length),
  language: document.documentElement.lang,
  title: document.title,
  nested: document.querySelectorAll("button button, a button, button a").length,
};
"""


def distance(page: Page) -> float:
    said = page.one("#slider").get_attribute("aria-valuetext") or ""
    number, unit = said.split()
    return float(number) / (100 if unit == "cm" else 1)


def eventually(condition: Callable[[], bool], within_s: float = 3.0) -> bool:
    end = time.monotonic() + within_s
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.05)
    return condition()


def test_the_slider_walks_back_and_marks_what_is_lost(page: Page) -> None:
    slider = page.one("#slider")
    assert distance(page) == 0.5
    assert page.all(".lost .gone") == []
    sharp = page.pixels(page.one(".hang"))
    slider.send_keys(Keys.END)
    assert distance(page) == 16.0
    lost = {str(rect.get_attribute("data-id")) for rect in page.all(".lost .gone")}
    for rect in page.all(".lost rect"):
        reach_m = float(rect.get_attribute("data-reach") or "nan")
        assert (str(rect.get_attribute("data-id")) in lost) == (reach_m < 16.0)
    assert lost, "the small lines are gone from there"
    told = page.one("#told").text
    assert told.startswith("From 16 m: ")
    assert all(line in told for line in lost if line.startswith("L"))
    said = page.one("#said[aria-live=polite]")
    assert eventually(lambda: said.get_attribute("textContent") == told), "told to screen readers too"
    soft = page.pixels(page.one(".hang"))
    assert np.abs(np.diff(soft.astype(int), axis=1)).mean() < np.abs(np.diff(sharp.astype(int), axis=1)).mean()
    slider.send_keys(Keys.ARROW_LEFT)
    assert 15 < distance(page) < 16
    slider.send_keys(Keys.HOME)
    assert distance(page) == 0.5
    assert page.all(".lost .gone") == []


def test_arrow_keys_and_stations_walk_too(page: Page) -> None:
    ActionChains(page.driver).send_keys(Keys.ARROW_RIGHT * 6).perform()
    walked = distance(page)
    assert walked > 0.6
    ActionChains(page.driver).send_keys(Keys.ARROW_LEFT).perform()
    assert distance(page) < walked
    names = [button.get_attribute("aria-label") for button in page.all(".stop")]
    assert names == [
        "near: stand 50 cm away",
        "mid: stand 3.2 m away",
        "far: stand 8 m away",
        "back: stand 16 m away",
    ]
    page.all(".stop")[2].click()
    assert distance(page) == 8.0
    assert page.run("return document.querySelectorAll('.frame.on').length") == 1, "a station has a frame of its own"


def test_walking_by_itself_goes_on_to_the_back_and_can_be_stopped(page: Page) -> None:
    page.one("#play").click()
    assert page.one("#play").text == "Stand still"
    assert eventually(lambda: distance(page) > 0.6)
    page.one("#play").click()
    stood = distance(page)
    time.sleep(0.2)
    assert distance(page) == stood


def test_choosing_a_finding_shows_it_and_where_it_is(page: Page) -> None:
    heads = page.all(".finding h3 button")
    assert len(heads) >= 3
    assert heads[0].get_attribute("aria-expanded") == "true", "the first is open"
    heads[1].send_keys(Keys.ENTER)
    assert [head.get_attribute("aria-expanded") for head in heads[:2]] == ["false", "true"]
    panels = page.all(".finding .panel")
    assert [panel.is_displayed() for panel in panels[:2]] == [False, True]
    assert "Why it matters." in panels[1].text
    boxes = (heads[1].get_attribute("data-boxes") or "").split(";")
    assert len(page.all(".spot rect")) == 2 * len(boxes)
    assert [mark.get_attribute("data-for") for mark in page.all(".marks .chosen")] == ["2"] * len(
        page.all('.marks [data-for="2"]')
    )
    heads[3].click()
    panels[3].find_element("css selector", ".stand").click()
    assert distance(page) == 3.2, "a lone line, from mid"
    ActionChains(page.driver).send_keys(Keys.ESCAPE).perform()
    assert not panels[3].is_displayed()
    assert page.all(".spot rect") == []


def test_a_change_of_colour_is_shown_before_and_after(page: Page) -> None:
    figures = page.all(".finding:first-child .evidence img")
    assert [str(picture.get_attribute("alt")).partition(": ")[2] for picture in figures] == [
        "Now, as exported",
        "Now, as seen from 3.2 m",
        "Changed, close up",
        "Changed, as seen from 3.2 m",
    ]
    assert all(page.run("return arguments[0].naturalWidth", picture) > 100 for picture in figures)
    now, changed = (page.pixels(figures[n]).astype(int) for n in (0, 2))
    assert np.percentile(now, 2) - np.percentile(changed, 2) > 40, "darker than it was"


def test_a_mark_on_the_poster_and_a_remark_choose_as_well(page: Page) -> None:
    ActionChains(page.driver).move_to_element(page.one('.marks [data-for="2"] .sign')).click().perform()
    assert page.all(".finding h3 button")[1].get_attribute("aria-expanded") == "true"
    remark = page.all(".remarks button")[1]
    remark.click()
    assert remark.get_attribute("aria-pressed") == "true"
    assert "remark" in str(page.one(".spot").get_attribute("class"))
    assert len(page.all(".spot rect")) == 2
    element = page.one("tbody button.element")
    element.send_keys(Keys.SPACE)
    assert element.get_attribute("aria-pressed") == "true"
    assert len(page.all(".spot rect")) == 2


def test_what_is_the_reviewers_own_says_so(page: Page) -> None:
    assert page.one(".reviewer h2").text == "The reviewer’s remarks"
    assert [remark.text for remark in page.all(".remarks p")] == ["The corner wants a fish.", "Sing it louder."]
    waived = page.one(".finding.waived")
    waived.find_element("css selector", "button").click()
    assert "Waived by the reviewer. People walk up to the kiosk." in waived.text


def test_as_large_as_it_looks(page: Page) -> None:
    page.all(".stop")[2].click()
    page.one("#show-true").click()

    def height() -> float:
        return float(page.run("return document.querySelector('.frame').getBoundingClientRect().height"))

    shown = height()
    # 297 mm of 330 with the wall, from 8 m, for a reader 60 cm from a screen of 96 px an inch
    assert shown / 1.1 == pytest.approx(297 * 0.6 / 8 * 96 / 25.4, rel=0.03)
    page.all(".stop")[3].click()
    assert height() == pytest.approx(shown / 2, rel=0.02)


@pytest.mark.parametrize(("width", "height"), [(360, 740), (768, 1024), (1280, 720), (1920, 1080)])
def test_nothing_is_wider_than_the_window(page: Page, width: int, height: int) -> None:
    page.sized(width, height)
    for head in page.all(".finding h3 button"):
        page.run("if (arguments[0].getAttribute('aria-expanded') !== 'true') arguments[0].click()", head)
        assert page.run("return document.documentElement.scrollWidth") <= width
    hang = page.one(".hang").rect
    assert hang["width"] > 0.4 * min(width, 500)


def test_print_shows_everything_but_the_controls(page: Page) -> None:
    page.printed()
    assert all(panel.is_displayed() for panel in page.all(".finding .panel"))
    assert not page.one("#slider").is_displayed()
    shown = [frame for frame in page.all(".frame") if frame.is_displayed()]
    captions = [frame.text for frame in shown[1:]]
    assert captions == ["from 3.2 m", "from 8 m", "from 16 m"]
    assert page.run("return document.documentElement.scrollWidth") <= 1440


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_stands_off_its_ground(page: Page, scheme: str) -> None:
    page.open(1440, 900, scheme=scheme)
    page.all(".stop")[2].click()
    texts = page.run(COLOURS)
    assert len(texts) > 100
    for item in texts:
        assert item["alpha"] == 1
        ground = next(c for c in map(rgba, item["under"]) if c[3] == 1)
        assert ratio(rgba(item["colour"]), ground) >= CONTRAST, item
    paper = page.run("return getComputedStyle(document.documentElement).backgroundColor")
    assert (sum(rgba(paper)[:3]) > 1.5) == (scheme == "light")


def test_everything_has_a_name_and_an_order(page: Page) -> None:
    found = page.run(NAMES)
    for nothing in ("pictures", "drawings", "controls", "regions", "broken", "twice", "nested"):
        assert not found[nothing], nothing
    levels = found["headings"]
    assert levels.count(1) == 1
    assert all(later - earlier <= 1 for earlier, later in pairwise(levels)), "no level is skipped"
    assert found["landmarks"] == [1, 1]
    assert (found["language"], found["title"]) == ("en", "drawn.png: fail - standback")


def test_focus_is_seen_wherever_it_goes(page: Page) -> None:
    for _ in range(12):
        ActionChains(page.driver).send_keys(Keys.TAB).perform()
        outline = page.run(
            "const e = document.activeElement, s = getComputedStyle(e);"
            "return [e.tagName, s.outlineStyle, parseFloat(s.outlineWidth), e.matches(':focus-visible')]"
        )
        assert outline[0] != "BODY"
        assert outline[1] != "none" and outline[2] >= 2, outline


def test_nothing_is_complained_about(page: Page) -> None:
    page.one("#slider").send_keys(Keys.END)
    for head in page.all(".finding h3 button"):
        page.run("arguments[0].click()", head)
    page.one("#show-true").click()
    assert page.complaints() == []
    loaded = page.run("return performance.getEntriesByType('resource').map((entry) => entry.name)")
    assert [name for name in loaded if not name.startswith("data:")] == []


def rgba(colour: str) -> tuple[float, float, float, float]:
    numbers = [float(n) for n in colour[colour.index("(") + 1 : -1].replace("/", ",").split(",")]
    red, green, blue, *alpha = numbers
    return red / 255, green / 255, blue / 255, alpha[0] if alpha else 1.0


def ratio(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """WCAG 2.2 contrast ratio, written out here so that the page is not judged by our own code."""

    def luminance(colour: tuple[float, ...]) -> float:
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour[:3]]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)

"""The page of a comparison, from hand-made drafts and pictures."""

import re
from dataclasses import replace
from html.parser import HTMLParser

from reports.test_compare import AFTER, BEFORE, COMPARISON
from standback.reports.page.drafts import DraftPictures, draw_drafts, shown_elements
from standback.reports.page.pictures import Frame, Shown

DOT = Shown(uri="data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAAC", width=1, height=1)


def pictures(names: tuple[str, ...]) -> DraftPictures:
    frames = tuple(Frame(distance_m=m, picture=DOT) for m in (0.5, 2.0, 5.0))
    return DraftPictures(frames=frames, crops=dict.fromkeys(names, DOT))


def page(**names: str) -> str:
    before, after = shown_elements(COMPARISON)
    comparison = replace(
        COMPARISON,
        before=replace(BEFORE, file=names.get("before", BEFORE.file)),
        after=replace(AFTER, file=names.get("after", AFTER.file)),
    )
    return draw_drafts(comparison, pictures(before), pictures(after))


class Outline(HTMLParser):
    """Headings, pictures and choices, in their order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.headings: list[str] = []
        self.pictures: list[str] = []
        self.choices: list[tuple[str, bool]] = []
        self.links: list[str] = []
        self._in_heading = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        self._in_heading = tag == "h2"
        if tag == "h2":
            self.headings.append("")
        if tag == "img":
            self.pictures.append(said["alt"] or "")
        if tag == "input":
            self.choices.append((said["id"] or "", "checked" in said))
        self.links += [value for name, value in attrs if name in ("href", "src") and value]

    def handle_endtag(self, tag: str) -> None:
        self._in_heading = False

    def handle_data(self, data: str) -> None:
        if self._in_heading:
            self.headings[-1] += data


def test_both_drafts_from_each_station_and_each_outcome_with_its_places() -> None:
    outline = Outline(page())
    assert outline.headings == [
        "Both, from where you stand",
        "Mended",
        "Gone with its line or patch",
        "Got worse",
        "New",
        "Stayed",
        "Otherwise changed",
    ]
    assert outline.choices == [("stand-near", False), ("stand-mid", False), ("stand-far", True)]
    drafts = [f"{draft} as seen from {far}" for far in ("50 cm", "2 m", "5 m") for draft in ("Before", "After")]
    crops = ["L02, before", "L02, after", "D01, before", "L03, before", "L03, after", "L05, after"]
    assert outline.pictures == [*drafts, *crops, "L04, before", "L04, after"]
    assert all(link.startswith("data:") for link in outline.links), "nothing is loaded"


def test_what_became_of_it_is_told_as_in_the_terminal() -> None:
    html = page()
    assert '<p class="verdict fail">fail: 2 things got worse, and the redraft fails</p>' in html
    assert "contrast 2.5:1 → 7.25:1, needed 4.5:1" in html
    assert "<li>L01 (top centre, 60 mm capitals): moved 40 mm down</li>" in html


def test_foreign_names_are_escaped() -> None:
    html = page(before="<script>alert(1)</script>.png", after="a&b\x1b.png")
    assert "<script" not in html
    assert "&lt;script&gt;alert(1)&lt;" not in re.sub(r"<(title|bdi)>.*?</\1>", "", html)
    assert "a&amp;b?.png" in html


def test_the_same_comparison_gives_the_same_page() -> None:
    assert page() == page()

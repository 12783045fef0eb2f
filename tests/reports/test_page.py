"""The review page as a file: whole, safe, and with everything on it that the report says."""

import re
from base64 import b64decode, b64encode
from dataclasses import replace
from hashlib import sha256
from html.parser import HTMLParser
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from reports.fixture import BLANK, BRIEFED, POSTER, PX_PER_MM, artwork
from standback.brief.model import Remark, Where
from standback.elements import Box
from standback.findings import PosterReport
from standback.measure.model import Measurement
from standback.pipeline import audit_artwork
from standback.reports.page import draw_page
from standback.reports.page.crops import cut_about
from standback.reports.page.listing import MOST_DRAWN, first_sentence
from standback.reports.page.markup import Markup, tag, text
from standback.reports.page.pictures import CROP_BYTES, SEEN_BYTES, SHARP_BYTES, encoded, walk_distances_m
from standback.settings import Settings, Station, stations
from standback.stock import STOCKS
from synth import Sheet, sans, sans_bold

COARSER = round(PX_PER_MM)
"""The fixture's plain sheet has a pixel to the millimetre."""
EVIL = "<script>alert('x')</script>\"&\u202e\n"


def page(report: PosterReport) -> str:
    return draw_page(artwork(), replace(report, elements=tuple(map(coarser, report.elements))), Settings())


def coarser(m: Measurement) -> Measurement:
    """The same line on the coarser sheet."""
    x0, y0, x1, y1 = (side // COARSER for side in m.line.box_px.as_tuple())
    box_px = Box(x0=x0, y0=y0, x1=x1, y1=max(y1, y0 + 1))
    return replace(m, line=replace(m.line, box_px=box_px, letter_px=m.line.letter_px / COARSER))


class Reader(HTMLParser):
    """The tags and the text of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    def of(self, name: str) -> list[dict[str, str | None]]:
        return [attributes for tag, attributes in self.tags if tag == name]


def test_markup_escapes_what_is_not_markup() -> None:
    made = tag("p", "a < b & c", Markup("<b>d</b>"), None, title='"<>"', hidden=True, id=None)
    assert made == '<p title="&quot;&lt;&gt;&quot;" hidden>a &lt; b &amp; c<b>d</b></p>'
    assert tag("input", class_="x", aria_label="y") == '<input class="x" aria-label="y">'
    assert text("a\u202eb\x1b") == "a?b?"


def test_words_of_other_people_stay_words() -> None:
    remark = Remark(where=Where(words="top left"), text=EVIL)
    finding = replace(BRIEFED.findings[-1], waived=EVIL)
    report = replace(
        BRIEFED,
        file=f"drafts/{EVIL}.png",
        remarks=(remark,),
        findings=(*BRIEFED.findings[:-1], finding),
        elements=(replace(BRIEFED.elements[0], name=EVIL), *BRIEFED.elements[1:]),
        unmatched=(EVIL,),
    )
    html = page(report)
    assert "<script>alert" not in html
    assert "\u202e" not in html
    reader = Reader(html)
    assert len(reader.of("script")) == 1
    said = "<script>alert('x')</script>\"&? "
    assert sum(said in piece for piece in reader.texts) == 4, "all of it is there, as text"
    assert 'script>"&? .png' in "".join(reader.texts), "and the end of the path"


def test_the_page_loads_nothing_and_runs_only_what_is_in_it() -> None:
    html = page(POSTER)
    reader = Reader(html)
    (policy,) = (m["content"] for m in reader.of("meta") if m.get("http-equiv") == "Content-Security-Policy")
    assert policy is not None
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["img-src"] == "data:"
    for name, kind in (("style", "style-src"), ("script", "script-src")):
        (code,) = re.findall(rf"<{name}>(.*?)</{name}>", html, flags=re.DOTALL)
        assert rules[kind] == f"'sha256-{b64encode(sha256(code.encode()).digest()).decode()}'"
    assert [a for _, a in reader.tags if "style" in a or any(name.startswith("on") for name in a)] == []
    assert [a["href"] for _, a in reader.tags if "href" in a] == ["#findings"]
    assert all((img["src"] or "").startswith("data:image/jpeg;base64,") for img in reader.of("img"))
    assert "url(" not in html and "@import" not in html
    assert set(re.findall(r"https?://[^\s\"'<)]*", html)) <= {"http://www.w3.org/2000/svg"}


def test_every_finding_remark_waiver_and_element_is_on_it() -> None:
    html = page(BRIEFED)
    said = " ".join(Reader(html).texts)
    for finding in BRIEFED.findings:
        assert finding.says in said
        assert finding.change is None or finding.change in said
    for remark in BRIEFED.remarks:
        assert remark.text in said
    assert "no poster is read from the balcony" in said
    assert "Waived by the reviewer." in said
    for unmatched in BRIEFED.unmatched:
        assert unmatched in said
    for m in BRIEFED.elements:
        assert f">{m.id}</button>" in html
    for carries in BRIEFED.carries:
        assert carries.why in said
    assert "no substitute for the codes and licensed practice" in said
    labels = re.findall(r'data-for="(\w+)"', html)
    assert set(labels) == {"1", "2", "3", "A", "B", "C"}, "the marks: findings that stand, and remarks"


def test_what_is_seen_is_seen_as_printed() -> None:
    report = replace(POSTER, elements=tuple(map(coarser, POSTER.elements)))
    newsprint = replace(report, artwork=replace(POSTER.artwork, stock=STOCKS["newsprint"]))
    first, second = (Reader(draw_page(artwork(), one, Settings())).of("img") for one in (report, newsprint))
    plain, printed = ([decoded(str(one[n]["src"])) for n in (0, 6)] for one in (first, second))
    assert np.array_equal(plain[0], printed[0]), "from arm's length it is shown as exported"
    assert printed[1].min() > plain[1].min() + 20, "no ink is that dark on newsprint"


def test_a_blank_poster_has_a_page_too() -> None:
    html = page(BLANK)
    assert "Nothing to read was found on the sheet." in html
    assert "<table" not in html


def test_the_same_report_gives_the_same_page() -> None:
    assert page(POSTER) == page(POSTER)


@pytest.mark.parametrize("far_m", [0.4, 0.5, 1.0, 1.25, 2.5, 5.0, 8.0, 30.0])
def test_the_walk_stops_at_every_station_and_behind_far(far_m: float) -> None:
    places = stations(far_m)
    stops = walk_distances_m(places)
    assert stops == tuple(sorted(set(stops)))
    assert {place.distance_m for place in places} <= set(stops)
    assert stops[0] == places[-1].distance_m
    assert stops[-1] == 2 * far_m
    assert len(stops) <= 10
    assert isinstance(places[0], Station)


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("Ink goes first. Then more.", "Ink goes first."),
        ("At 2 m (e.g. 4.5:1) it holds.", "At 2 m (e.g. 4.5:1) it holds."),
        ("One only", "One only."),
    ],
)
def test_the_first_sentence(words: str, first: str) -> None:
    assert first_sentence(words) == first


def test_a_change_of_colour_is_drawn_by_the_redraw_that_proved_it() -> None:
    sheet = Sheet(210.0, 297.0, 100.0, (255, 255, 255))
    sheet.text("RIVER NIGHT", sans_bold(), (0, 0, 0), (15, 60), cap_mm=22.0)
    sheet.text("Doors at seven", sans(), (200, 200, 200), (15, 140), cap_mm=10.0)
    drawn = sheet.finish().artwork()
    report = audit_artwork(drawn, Settings())
    (finding,) = [f for f in report.findings if f.redraws]
    reader = Reader(draw_page(drawn, report, Settings()))
    pictures = {str(img["alt"]): decoded(str(img["src"])) for img in reader.of("img")}
    line = finding.elements[0]
    now, changed = pictures[f"{line}: Now, as exported"], pictures[f"{line}: Changed, close up"]
    assert now.shape == changed.shape
    ink, proposed = 200, finding.redraws[0].ink[0]
    assert np.percentile(now, 3) == pytest.approx(ink, abs=6)
    assert np.percentile(changed, 3) == pytest.approx(proposed, abs=8)
    seen = pictures[f"{line}: Now, as seen from 1 m"]
    assert np.percentile(seen, 3) > np.percentile(now, 3) + 3, "the eye takes contrast away"


@pytest.mark.parametrize(
    ("width_px", "height_px", "most_bytes"),
    [(1211, 1650, SHARP_BYTES), (807, 1100, SEEN_BYTES), (400, 400, CROP_BYTES), (660, 400, CROP_BYTES)],
)
def test_pictures_fit_their_share_of_the_page_whatever_is_on_them(
    width_px: int, height_px: int, most_bytes: int
) -> None:
    noise = np.random.default_rng(5).random((height_px, width_px, 3), dtype=np.float32)
    shown = encoded(noise, most_bytes)
    assert len(b64decode(shown.uri.partition(",")[2])) <= most_bytes


@pytest.mark.parametrize(
    ("most", "at", "cut"),
    [
        (200, (10, 20), (0, 100)),
        (40, (0, 100), (0, 40)),
        (40, (60, 70), (45, 85)),
        (40, (95, 100), (60, 100)),
        (40, (2, 4), (0, 40)),
    ],
)
def test_a_crop_of_a_long_line_shows_the_place_that_is_spoken_of(
    most: int, at: tuple[int, int], cut: tuple[int, int]
) -> None:
    assert cut_about(0, 100, most, at) == cut


def test_the_pictures_of_a_page_are_under_three_megabytes() -> None:
    most_frames, looks = 10, 4
    assert (SHARP_BYTES + (most_frames - 1) * SEEN_BYTES + MOST_DRAWN * looks * CROP_BYTES) * 4 / 3 < 3e6


def decoded(uri: str) -> "np.ndarray[tuple[int, ...], np.dtype[np.uint8]]":
    with Image.open(BytesIO(b64decode(uri.partition(",")[2]))) as picture:
        return np.asarray(picture.convert("L"))

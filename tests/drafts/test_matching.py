"""Which line is which in two drafts, on posters drawn with one change each."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from standback.drafts.likeness import Trace, gridded, line_trace, shape_likeness
from standback.drafts.matching import matching
from standback.find import find_lines
from synth import Face, Poster, Sheet, matched, measuring_faces, sans, sans_bold
from synth.colours import Srgb8

WIDTH_MM, HEIGHT_MM = 148.0, 210.0
INK: Srgb8 = (20, 24, 40)
WHITE: Srgb8 = (255, 255, 255)
RED: Srgb8 = (150, 20, 30)


@dataclass(frozen=True, kw_only=True)
class Set:
    """A line of a poster: what it says, in what, and where its baseline starts."""

    text: str
    at_mm: tuple[float, float]
    cap_mm: float
    ink: Srgb8 = INK
    face: Face | None = None
    tracking_em: float = 0.0


TITLE = Set(text="RIVER NIGHT", at_mm=(10, 35), cap_mm=13)
DATE = Set(text="Saturday 12 June", at_mm=(10, 60), cap_mm=6)
PLACE = Set(text="Harbour hall, quay 5", at_mm=(10, 75), cap_mm=6)
FIRST = Set(text="Free entry, bring a chair", at_mm=(10, 170), cap_mm=4)
SECOND = Set(text="In rain we meet indoors", at_mm=(10, 180), cap_mm=4)
BASE = (TITLE, DATE, PLACE, FIRST, SECOND)


@cache
def poster(lines: tuple[Set, ...], ppi: float = 100.0) -> Poster:
    sheet = Sheet(WIDTH_MM, HEIGHT_MM, ppi, WHITE)
    for one in lines:
        face = one.face or (sans_bold() if one is TITLE else sans())
        sheet.text(one.text, face, one.ink, one.at_mm, cap_mm=one.cap_mm, tracking_em=one.tracking_em)
    return sheet.finish()


def cropped(drawn: Poster, left_mm: float, top_mm: float) -> Poster:
    """The poster without so much on the left and at the top."""
    left, top = (round(mm * drawn.ppi / 25.4) for mm in (left_mm, top_mm))
    lines = tuple(
        replace(t, box_px=(t.box_px[0] - left, t.box_px[1] - top, t.box_px[2] - left, t.box_px[3] - top))
        for t in drawn.lines
    )
    srgb8 = drawn.srgb8[top:, left:]
    height, width = srgb8.shape[:2]
    mm = 25.4 / drawn.ppi
    return Poster(srgb8=srgb8, width_mm=width * mm, height_mm=height * mm, ppi=drawn.ppi, lines=lines)


@cache
def traces(drawn: Poster) -> tuple[dict[str, str], tuple[Trace, ...]]:
    """What each line that is found says, and the traces of the lines."""
    artwork = drawn.artwork()
    lines = find_lines(artwork)
    pairs = matched([line.box_px.as_tuple() for line in lines], [line.box_px for line in drawn.lines]).pairs
    found = tuple(
        line_trace(line, name=f"L{n}", box_mm=artwork.box_mm(line.box_px), letter_mm=line.letter_px / artwork.px_per_mm)
        for n, line in enumerate(lines)
    )
    return {f"L{n}": drawn.lines[true].text for n, true in pairs}, found


def pairs_of(before: Poster, after: Poster) -> dict[str, str | None]:
    """What each line of the earlier draft says, and what the line says that it is taken for later."""
    (were, was), (are, now) = traces(before), traces(after)
    assert len(were) == len(before.lines), "every line is found, so that the table tells of the matching"
    assert len(are) == len(after.lines)
    found = matching(
        was,
        now,
        before_mm=(before.width_mm, before.height_mm),
        after_mm=(after.width_mm, after.height_mm),
    )
    after_of = {was[match.before].id: now[match.after].id for match in found.matches}
    return {says: are[after_of[name]] if name in after_of else None for name, says in were.items()}


def same(lines: Sequence[Set]) -> dict[str, str | None]:
    return {line.text: line.text for line in lines}


CHANGES: dict[str, tuple[Set, ...]] = {
    "nothing": BASE,
    "moved": (TITLE, replace(DATE, at_mm=(40, 140)), PLACE, FIRST, SECOND),
    "changed places": (TITLE, replace(DATE, at_mm=PLACE.at_mm), replace(PLACE, at_mm=DATE.at_mm), FIRST, SECOND),
    "recoloured": (TITLE, replace(DATE, ink=RED), PLACE, FIRST, SECOND),
    "larger": (TITLE, replace(DATE, cap_mm=9.5), PLACE, FIRST, SECOND),
    "spaced": (TITLE, DATE, replace(PLACE, tracking_em=0.08), FIRST, SECOND),
    "another face": (TITLE, replace(DATE, face=measuring_faces()[3]), PLACE, FIRST, SECOND),
    "moved, larger and recoloured": (TITLE, DATE, PLACE, replace(FIRST, at_mm=(10, 110), cap_mm=6, ink=RED), SECOND),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_line_is_known_again(change: str) -> None:
    assert pairs_of(poster(BASE), poster(CHANGES[change])) == same(BASE)


def test_what_is_taken_out_and_what_is_put_in_stay_alone() -> None:
    other = Set(text="Boats leave at dusk", at_mm=(10, 110), cap_mm=7)
    assert pairs_of(poster(BASE), poster((TITLE, other, PLACE, FIRST, SECOND))) == same(BASE) | {DATE.text: None}


def test_a_line_of_other_words_in_its_place_is_the_same() -> None:
    later = replace(DATE, text="Sunday 27 August")
    found = pairs_of(poster(BASE), poster((TITLE, later, PLACE, FIRST, SECOND)))
    assert found[DATE.text] == later.text
    larger = replace(later, cap_mm=9)
    found = pairs_of(poster(BASE), poster((TITLE, larger, PLACE, FIRST, SECOND)))
    assert found[DATE.text] is None, "other words in another size are another line"


def test_other_resolutions() -> None:
    assert pairs_of(poster(BASE), poster(BASE, ppi=150.0)) == same(BASE)


ALIKE = (TITLE, *(Set(text="Doors 7 pm", at_mm=(10, y), cap_mm=5) for y in (70, 85, 100, 115)))


def test_lines_that_look_the_same_keep_their_order() -> None:
    """In a crop the second lies where the first was: only the whole tells them apart."""
    before, after = poster(ALIKE), cropped(poster(ALIKE), 4.0, 15.0)
    (_, was), (_, now) = traces(before), traces(after)
    found = matching(was, now, before_mm=(WIDTH_MM, HEIGHT_MM), after_mm=(after.width_mm, after.height_mm))
    assert [(match.before, match.after) for match in found.matches] == [(n, n) for n in range(5)]
    assert found.frame.shift_y_mm == pytest.approx(15.0, abs=0.3)
    moved = [now[m.after].centre_mm[1] - was[m.before].centre_mm[1] for m in found.matches]
    assert moved == pytest.approx([-15.0] * 5, abs=0.3)


def test_a_name_of_the_brief_outranks_looks() -> None:
    (_, was), (_, now) = traces(poster(BASE)), traces(poster(BASE))
    was = tuple(replace(t, name="when") if n == 1 else t for n, t in enumerate(was))
    now = tuple(replace(t, name="when") if n == 2 else t for n, t in enumerate(now))
    found = matching(was, now, before_mm=(WIDTH_MM, HEIGHT_MM), after_mm=(WIDTH_MM, HEIGHT_MM))
    assert (1, 2) in [(match.before, match.after) for match in found.matches]


def test_lines_of_other_words_look_unlike() -> None:
    _, found = traces(poster(BASE))
    assert len(found) == len(BASE)
    for n, a in enumerate(found):
        assert shape_likeness(a, a) == pytest.approx(1.0)
        for b in found[n + 1 :]:
            assert shape_likeness(a, b) < 0.37


def test_a_grid_averages_the_ink() -> None:
    """Worked by hand: three columns on two cells, the middle one shared."""
    mask = np.array([[True, True, False], [True, False, False]])
    assert gridded(mask, 1, 2) == pytest.approx(np.array([[(1 + 0.25) / 1.5, 0.25 / 1.5]]))
    assert gridded(mask, 2, 3) == pytest.approx(mask.astype(float))


def hatching(feature_mm: float, what: str = "hatching") -> Trace:
    shape = gridded(np.eye(24, dtype=bool), 24, 24)
    return Trace(
        id="D01",
        kind="detail",
        what=what,
        name=None,
        box_mm=(10.0, 10.0, 40.0, 40.0),
        size_mm=30.0,
        shape=shape,
        letters=np.zeros((0, 12, 8)),
        ink=INK,
        ground=WHITE,
        feature_mm=feature_mm,
    )


@pytest.mark.parametrize(
    ("later", "same"),
    [(hatching(0.3), True), (hatching(0.4), True), (hatching(1.3), False), (hatching(0.3, "dots"), False)],
)
def test_detail_in_one_place_is_the_same_only_if_drawn_alike(later: Trace, same: bool) -> None:
    sheet = {"before_mm": (WIDTH_MM, HEIGHT_MM), "after_mm": (WIDTH_MM, HEIGHT_MM)}
    assert bool(matching([hatching(0.3)], [later], **sheet).matches) is same

"""Letter gaps against type set with known shifts, and against what must hold exactly."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.ndimage import affine_transform, rotate, zoom

from measure_spacing import measured
from standback.artwork import from_srgb8
from standback.doubts import Doubt
from standback.elements import Box, Line
from standback.measure.glyph_row import glyph_row
from standback.measure.model import Spacing
from standback.measure.optical_gap import optical_gap
from standback.measure.spacing import Rhythm, rhythm_of
from standback.measure.spacing_of_line import spacing_of
from standback.measure.upright import finer
from standback.settings import Limits
from synth.fonts import face, sans, sans_bold, serif
from synth.typeset import SetLine, set_line

LIMITS = Limits()
ITALIC = face("font_lato", "Lato-Italic.ttf")


def rhythm(text: str = "Harbour lights", **about: object) -> Rhythm:
    found = rhythm_of(set_line(text, sans(), **({"cap_px": 100.0} | about)).ink)  # type: ignore[arg-type]
    assert found is not None
    return found


def line_of(
    set_: SetLine, *, turn: int = 0, cap: bool = True
) -> tuple[Line, np.ndarray[tuple[int, ...], np.dtype[np.uint8]]]:
    """Return a line black on white, and its picture; `turn` in degrees, counter-clockwise."""
    cover = rotate(set_.cover, turn, order=1) if turn else set_.cover
    ys, xs = np.nonzero(cover > 0.5)
    box = Box(x0=int(xs.min()), y0=int(ys.min()), x1=int(xs.max()) + 1, y1=int(ys.max()) + 1)
    mask = (cover > 0.5)[box.y0 : box.y1, box.x0 : box.x1]
    cap_px = 0.71 * set_.em_px
    picture = np.repeat(np.rint(255 * (1 - np.clip(cover, 0, 1))).astype(np.uint8)[..., None], 3, axis=2)
    line = Line(
        box_px=box,
        angle_deg=float(turn),
        mask=mask,
        core=mask,
        ink_srgb8=(0, 0, 0),
        ground_srgb8=(255, 255, 255),
        cap_px=cap_px if cap else None,
        x_px=None,
        letter_px=cap_px,
        stroke_px=cap_px / 6,
    )
    return line, picture


def spacing(set_: SetLine, *, turn: int = 0, wording: str | None = None, cap: bool = True) -> Spacing:
    line, picture = line_of(set_, turn=turn, cap=cap)
    height, width = picture.shape[:2]
    found = spacing_of(line, from_srgb8(picture, size_mm=(width / 4, height / 4), file="line"), LIMITS, wording)
    assert found is not None
    return found


@pytest.mark.parametrize("type_face", [sans(), sans_bold(), serif(), ITALIC], ids=lambda f: f.path.stem)
def test_moving_a_letter_moves_its_gap_by_as_much(type_face: object) -> None:
    as_set, moved = (
        rhythm_of(set_line("Harbour", type_face, cap_px=100.0, shifts_em=shifts).ink)  # type: ignore[arg-type]
        for shifts in (None, {3: 0.1})
    )
    assert as_set is not None
    assert moved is not None
    em_per_height = 100.0 / type_face.cap_em / as_set.row.height  # type: ignore[attr-defined]
    change = [b.gap - a.gap for a, b in zip(as_set.pairs, moved.pairs, strict=True)]
    # a hard edge on whole pixels is right to one of a hundred, wherever the letter starts in its pixel
    assert change[2] == pytest.approx(0.1 * em_per_height, abs=0.011)
    assert [c for n, c in enumerate(change) if n != 2] == pytest.approx([0.0] * 5, abs=0.011)


def test_a_mirrored_line_has_the_same_gaps_in_reverse() -> None:
    ink = set_line("HARBOUR", sans(), cap_px=100.0).ink
    there, back = (rhythm_of(picture) for picture in (ink, ink[:, ::-1]))
    assert there is not None
    assert back is not None
    assert [p.gap for p in back.pairs][::-1] == pytest.approx([p.gap for p in there.pairs], abs=1e-9)


def test_two_bars_are_as_far_apart_as_they_look() -> None:
    ink = np.zeros((100, 60), dtype=bool)
    ink[:, 5:15] = ink[:, 40:50] = True
    row = glyph_row(ink)
    assert row is not None
    a, b = row.letters
    # straight sides have no white of their own: the gap is the distance
    assert optical_gap(a, b, baseline=row.baseline, height=row.height) == pytest.approx(0.25, abs=0.001)


def test_an_arm_over_its_neighbour_closes_a_gap() -> None:
    ink = np.zeros((100, 70), dtype=bool)
    ink[:, 5:15] = ink[:20, 5:35] = True
    ink[50:, 35:60] = True
    row = glyph_row(ink)
    assert row is not None
    a, b = row.letters
    # 0.2 from the stem to the low letter, less 0.37 of what reaches over it, plus 0.08 of the half they don't share
    expected = 0.2 - 0.37 * 0.2 + 0.08 * 0.5
    assert optical_gap(a, b, baseline=row.baseline, height=row.height) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize("shift_em", [0.1, -0.1])
def test_a_shifted_pair_is_the_worst_and_its_amount_right(shift_em: float) -> None:
    # in this face "ou" has room to be closed by a tenth of an em
    set_ = set_line("Harbour lights", sans(), cap_px=60.0, shifts_em={5: shift_em}, tracking_em=0.06)
    found = spacing(set_)
    worst = max(found.pairs, key=lambda p: abs(p.off))
    assert worst.first == 5
    assert worst.off * found.unit_px == pytest.approx(shift_em * set_.em_px, abs=0.02 * set_.em_px)


def test_words_are_parted_and_signs_left_out() -> None:
    found = rhythm("Walk, talk and sit.")
    words = [pair.first for pair in found.pairs if pair.word]
    # after the comma no gap is measured: it stands under the letters
    assert words == [9, 12]
    assert [p.first for p in found.within_words] == [1, 2, 3, 6, 7, 8, 10, 11, 13, 14]


def test_known_words_outrank_the_guess() -> None:
    set_ = set_line("RIVER RUN", sans(), cap_px=60.0, shifts_em={3: 0.2})
    assert [p.first for p in spacing(set_, wording="RIVER RUN").pairs] == [1, 2, 3, 4, 6, 7]


@pytest.mark.parametrize(("type_face", "slanted"), [(sans(), False), (serif(), False), (ITALIC, True)])
def test_slant(type_face: object, slanted: bool) -> None:
    row = glyph_row(set_line("Kitchen stories", type_face, cap_px=80.0).ink)  # type: ignore[arg-type]
    assert row is not None
    assert (row.slant > 0) == slanted


@pytest.mark.parametrize(("text", "capitals"), [("KITCHEN", True), ("Kitchen", False), ("1984", True)])
def test_case(text: str, capitals: bool) -> None:
    row = glyph_row(set_line(text, sans(), cap_px=80.0).ink)
    assert row is not None
    assert (row.capitals, len(row.letters)) == (capitals, len(text))


@pytest.mark.parametrize("turn", [90, -90, 20, -35])
def test_a_turned_line_measures_as_the_level_one(turn: int) -> None:
    set_ = set_line("HARBOUR LIGHTS", sans_bold(), cap_px=80.0, shifts_em={4: 0.12})
    level, turned = spacing(set_), spacing(set_, turn=turn)
    assert [p.off for p in turned.pairs] == pytest.approx([p.off for p in level.pairs], abs=0.03)
    worst = max(turned.pairs, key=lambda p: abs(p.off))
    _, picture = line_of(set_, turn=turn)
    box = worst.box_px
    middle = picture[(box.y0 + box.y1) // 2, (box.x0 + box.x1) // 2]
    assert worst.first == 4
    assert middle.min() > 200, "the place of the worst gap is white"


@pytest.mark.parametrize("cap_px", [20.0, 32.0])
def test_small_letters_are_read_between_the_pixels(cap_px: float) -> None:
    large = spacing(set_line("HARBOUR", sans(), cap_px=100.0))
    small = spacing(set_line("HARBOUR", sans(), cap_px=cap_px, start_px=0.4))
    assert [p.off for p in small.pairs] == pytest.approx([p.off for p in large.pairs], abs=0.03)


def test_a_coarse_mask_is_read_anew_on_the_artworks_own_pixels() -> None:
    line, picture = line_of(set_line("HARBOUR LIGHTS", sans(), cap_px=60.0, shifts_em={5: 0.1}))
    height, width = picture.shape[:2]
    artwork = from_srgb8(picture, size_mm=(width / 4, height / 4), file="line")
    rows, columns = (-(-length // 3) * 3 for length in line.mask.shape)
    mask = np.zeros((rows, columns), dtype=bool)
    mask[: line.mask.shape[0], : line.mask.shape[1]] = line.mask
    coarse = mask.reshape(rows // 3, 3, columns // 3, 3).mean(axis=(1, 3)) > 0.5
    fine, again = (
        spacing_of(one, artwork, LIMITS) for one in (line, replace(line, mask=coarse, core=coarse, mask_scale=3))
    )
    assert fine is not None
    assert again is not None
    assert [p.off for p in again.pairs] == pytest.approx([p.off for p in fine.pairs], abs=0.01)
    assert [p.box_px for p in again.pairs] == [p.box_px for p in fine.pairs]
    assert again.unit_px == fine.unit_px


def test_the_same_two_letters_agree_unless_one_was_moved() -> None:
    even = spacing(set_line("BANANAS", sans(), cap_px=100.0))
    assert [p.first for p in even.pairs if p.repeat_off is not None]
    moved = spacing(set_line("BANANAS", sans(), cap_px=100.0, shifts_em={4: 0.08}))
    assert max(abs(p.repeat_off or 0.0) for p in even.pairs) < 0.015
    off = {p.first: p.repeat_off for p in moved.pairs if p.repeat_off is not None and abs(p.repeat_off) > 0.015}
    assert off == {4: pytest.approx(0.08 / sans().cap_em, abs=0.015)}


@pytest.mark.parametrize(
    ("text", "about", "why"),
    [
        ("HARBOUR", {"cap_px": 12.0}, "letters under 18 px high"),
        ("LOW", {"cap_px": 80.0}, "under 4 pairs of letters"),
        ("HARBOUR", {"cap_px": 80.0, "tracking_em": -0.2}, "letters that touch each other"),
    ],
)
def test_what_can_t_be_measured_is_said(text: str, about: dict[str, float], why: str) -> None:
    found = spacing(set_line(text, sans_bold(), **about), wording=text)  # type: ignore[arg-type]
    assert (found.letter_gap, found.pairs, found.unmeasured) == (None, (), why)
    assert Doubt.SPACING_UNMEASURED in found.doubts


def test_scripts_without_capitals_are_left_alone() -> None:
    found = spacing(set_line("HARBOUR", sans(), cap_px=80.0), cap=False)
    assert found.unmeasured == "a script without capitals"


def test_letters_set_in_squares_are_left_alone() -> None:
    """Japanese is set in squares; here Latin letters are drawn as wide as they are high, and none is without."""
    set_ = set_line("Harbour LIGHTS", sans(), cap_px=80.0)
    wide = zoom(set_.cover, (1, 1.5), order=1)
    assert spacing(replace(set_, cover=wide)).unmeasured == "letters set in squares"
    assert spacing(set_).unmeasured is None


def test_letters_without_a_common_baseline_are_left_alone() -> None:
    set_ = set_line("HARBOUR LIGHTS", sans(), cap_px=80.0)
    cover = set_.cover.copy()
    middle = cover.shape[1] // 2
    cover[:, middle:] = np.roll(cover[:, middle:], -6, axis=0)
    found = spacing(replace(set_, cover=cover))
    assert (found.unmeasured, found.pairs) == ("letters without a common baseline", ())
    assert spacing(set_).unmeasured is None


def test_an_underline_that_joins_tails_is_no_letter() -> None:
    set_ = set_line("Buraya git", sans(), cap_px=80.0)
    cover = set_.cover.copy()
    rows, columns = np.nonzero(cover > 0.5)
    cover[rows.max() - 8 : rows.max() - 2, columns.min() : columns.max()] = 1.0
    found = spacing(replace(set_, cover=cover))
    assert (found.unmeasured, found.pairs) == ("pieces that are no letters", ())


def test_a_gap_that_may_be_the_only_word_space_is_no_fault() -> None:
    text = "HarbourNight"
    tight = set_line(text, sans_bold(), cap_px=80.0, shifts_em={7: 0.08})
    assert 7 not in [pair.first for pair in spacing(tight).pairs]
    assert 7 in [pair.first for pair in spacing(tight, wording=text).pairs]
    # before a small letter no word of a name begins
    inside = set_line(text, sans_bold(), cap_px=80.0, shifts_em={2: 0.08})
    assert 2 in [pair.first for pair in spacing(inside).pairs]


def test_joined_letters_are_counted_where_the_wording_is_known() -> None:
    set_ = set_line("HARBOUR", sans_bold(), cap_px=80.0, shifts_em={2: -0.2})
    assert spacing(set_, wording="HARBOUR").joined == 1
    assert spacing(set_).joined is None


@pytest.mark.parametrize(("text", "loose_em"), [("Harbour lights", 0.12), ("HARBOUR LIGHTS", 0.2)])
def test_tracking_shows_in_the_letter_gap(text: str, loose_em: float) -> None:
    usual, loose = (rhythm(text, tracking_em=tracking) for tracking in (0.0, loose_em))
    assert usual.letter_gap is not None
    assert loose.letter_gap is not None
    added = loose_em / sans().cap_em * 100.0 / usual.row.height
    assert loose.letter_gap - usual.letter_gap == pytest.approx(added, abs=0.01)
    assert usual.letter_gap == pytest.approx(usual.expected, rel=0.3)


def test_letters_are_in_order() -> None:
    row = glyph_row(set_line("fjord à la île", ITALIC, cap_px=80.0).ink)
    assert row is not None
    assert len(row.letters) == len("fjordàlaîle")
    assert all(a.x0 + a.x1 < b.x0 + b.x1 for a, b in pairwise(row.letters))


@pytest.mark.parametrize(
    ("text", "figures"),
    [("Open 12 to 17", [(5, "12"), (9, "17")]), ("MAY 1984", [(4, "19"), (5, "98"), (6, "84")]), ("HARBOUR", [])],
)
def test_figures_are_told_by_their_shapes(text: str, figures: list[tuple[int, str]]) -> None:
    found = spacing(set_line(text, serif(), cap_px=60.0))
    assert [p.first for p in found.pairs if p.figures] == [first for first, _ in figures]
    named = spacing(set_line(text, serif(), cap_px=60.0), wording=text)
    assert [(p.first, p.letters) for p in named.pairs if p.figures] == figures


def test_a_sample_of_faces_reaches_what_all_do() -> None:
    """The whole measurement, of every face, is `tests/measure_spacing.py`."""
    tally = measured([sans(), serif()], 2).of
    assert np.mean(tally["roman, unshifted: flagged"]) <= 1 / 4
    assert np.mean(tally["roman, +100/1000 em: found"]) >= 0.75
    assert np.mean(tally["sign right"]) == 1.0
    assert np.mean(tally["amount, error in 1000ths of the em"]) <= 20.0
    assert np.mean(tally["lower case, tracking +0.12: called loose"]) == 1.0
    assert not any(tally["word or letter gap: wrong"])


@pytest.mark.parametrize("times", [2, 3, 4])
@pytest.mark.parametrize("size", [(14, 90), (2, 5)])
def test_small_letters_are_read_between_their_samples_by_cubic_splines(times: int, size: tuple[int, int]) -> None:
    cover = np.random.default_rng(times).random(size).astype(np.float32)
    shift = np.full(2, 0.5 / times - 0.5)
    # a hair outwards: what lies on the middle of an outermost sample may be rounded to either side
    wanted = affine_transform(cover, np.eye(2) / times, shift + 1e-12, tuple(times * n for n in size), order=3)
    np.testing.assert_allclose(finer(cover, times, shift + 1e-12), wanted, atol=1e-6)

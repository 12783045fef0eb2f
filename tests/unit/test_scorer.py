"""The learned scorer: numpy against the framework it was trained in, and from its maps to bands."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

from standback.artwork import from_srgb8
from standback.find import learned, scorer, stirred, turned, untaken
from standback.find.bands import Band
from standback.find.core_map import strips_of
from standback.find.working import UPRIGHT_DETAIL, Picture, pictures_of
from synth import draw_poster, draw_text_free, measuring_faces

REFERENCE = Path(__file__).parents[1] / "training" / "reference.npz"
MOST_BYTES = 1_000_000


def test_numpy_gives_what_the_training_framework_gave() -> None:
    # reference.npz was written by training.net.write_reference
    with np.load(REFERENCE) as reference:
        srgb1, wanted = reference["srgb8"].astype(np.float32) / 255, reference["logits"]
    found = scorer.run(scorer.network(), scorer.blocks_of(srgb1))
    assert found.shape == wanted.shape
    np.testing.assert_allclose(found, wanted, atol=1e-3)


def test_row_strips_give_what_one_piece_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    srgb1 = np.random.default_rng(3).random((64, 96, 3)).astype(np.float32)
    whole = scorer.score(srgb1).core
    monkeypatch.setattr(scorer, "_STRIP_CELLS", 90)
    np.testing.assert_allclose(scorer.score(srgb1).core, whole, atol=1e-5)


def test_what_is_flat_is_left_out_and_the_rest_is_as_if_it_were_not() -> None:
    srgb1 = np.full((512, 768, 3), 0.6, np.float32)
    srgb1[200:216, 300:420] = np.random.default_rng(6).random((16, 120, 1)).astype(np.float32)
    blocks = scorer.blocks_of(srgb1)
    areas = stirred.areas_near(stirred.stirred_in(blocks))
    looked_at = sum((bottom - top) * (right - left) for top, bottom, left, right in areas)
    assert 0 < looked_at < 0.1 * blocks[0].size
    whole, part = (1 / (1 + np.exp(-scorer.run(scorer.network(), blocks, some)[:4])) for some in (None, areas))
    # but for the sheet's own edge, beyond which the network sees zeros
    inside = (slice(None), slice(24, -24), slice(24, -24))
    np.testing.assert_allclose(part[inside], whole[inside], atol=0.1)


def test_a_picture_cut_in_two_is_seen_as_a_whole() -> None:
    poster = draw_poster(2, "gradient", measuring_faces(), size_mm=(210.0, 297.0), ppi=100.0)
    finest = pictures_of(poster.artwork())[0]
    core = scorer.score(finest.srgb1).core[: -(-finest.height // 2), : -(-finest.width // 2)]
    (found,) = learned.cores_of([finest])
    np.testing.assert_allclose(found, core, atol=1e-4)


def test_where_nothing_is_wanted_there_is_no_line() -> None:
    poster = draw_poster(1, "panel", measuring_faces(), size_mm=(210.0, 297.0), ppi=100.0)
    picture = pictures_of(from_srgb8(poster.srgb8, size_mm=(210.0, 297.0)))[0]
    nothing = np.zeros((picture.srgb1.shape[0] // 4, picture.srgb1.shape[1] // 4), dtype=bool)
    assert scorer.score(picture.srgb1).core.max() > 0.9
    assert scorer.score(picture.srgb1, nothing).core.max() < 0.5


def test_straight_edges_are_not_bent_but_corners_and_letters_are() -> None:
    srgb1 = np.full((128, 128, 3), 0.9, np.float32)
    srgb1[18:110, 18:110] = 0.2
    panel = stirred.bent_in(scorer.blocks_of(srgb1))
    assert panel[4, 4]
    assert panel[27, 27]
    assert not panel[8:24, 8:24].any()
    assert panel.sum() <= 4 * 9
    down, across = np.mgrid[:128, :128]
    for slope in (0.0, 0.47, 1.0):
        srgb1[...] = np.clip(0.9 - 0.7 * (across - 20 - slope * down), 0.2, 0.9)[..., None]
        assert not stirred.bent_in(scorer.blocks_of(srgb1))[2:-2].any()
    letters = draw_poster(1, "panel", measuring_faces(), size_mm=(210.0, 297.0), ppi=100.0)
    blocks = scorer.blocks_of(pictures_of(letters.artwork())[0].srgb1)
    assert stirred.bent_in(blocks).sum() > 0.5 * stirred.stirred_in(blocks).sum()


def test_turned_looks_are_left_what_no_upright_line_takes_in_parts() -> None:
    noise = np.random.default_rng(8).random((32, 480, 1)).astype(np.float32)
    srgb1 = np.full((800, 640, 3), 0.6, np.float32)
    srgb1[40:72, 100:580] = srgb1[700:732, 100:580] = noise
    srgb1[300:332, 500:532] = noise[:, :32]
    picture = Picture(srgb1=srgb1, height=800, width=640, scale=(2.0, 2.0), origin_px=(10.0, 0.0))
    band = Band(x0=210, x1=1170, middle_y=112, body_px=40, score=0.8)

    def parts(*bands: Band) -> list[untaken.Part]:
        return list(untaken.parts_of(picture, untaken.untaken_in(picture, bands)))

    places = [(part.picture.origin_px, part.picture.srgb1.shape) for part in parts(band)]
    ((x, y), first), ((left, top), second) = sorted(places, key=lambda place: place[0][1])
    assert x < 1010 - 10
    assert y < 600 < 664 < y + 2 * first[0]
    assert left < 210
    assert top < 1400 < 1464 < top + 2 * second[0]
    assert first[0] < 120
    assert first[1] < 120
    assert len(parts()) == 3
    assert len(parts(replace(band, score=0.6))) == 3


def test_slanted_looks_are_left_what_the_upright_one_saw_a_core_in() -> None:
    wanted = np.zeros((60, 80), dtype=bool)
    wanted[4:8, 5:30] = wanted[40:50, 50:70] = True
    picture = Picture(srgb1=np.zeros((240, 320, 3), np.float32), height=240, width=320, scale=(2, 2), origin_px=(10, 0))
    core = np.zeros((60, 80), np.float32)
    core[43, 55:60] = 0.4  # 1.0 blocks each: from (10 + 55.5 * 8, 43.5 * 8) px on, in row 43, columns 55 to 59
    whole = learned.Look(core=core, picture=replace(picture, scale=(4, 4)))
    chosen = untaken.leaning_in(picture, wanted, [whole])
    assert not chosen[:20].any()
    assert (chosen[20:] == wanted[20:]).all()
    assert not untaken.leaning_in(picture, wanted, [replace(whole, core=core * 0.5)]).any()
    core[43, 55] = 0.0
    assert not untaken.leaning_in(picture, wanted, [replace(whole, picture=replace(picture, scale=(5, 5)))]).any()
    core[43, 55] = 0.0
    assert not untaken.leaning_in(picture, wanted, [whole]).any()


def test_flat_colour_holds_no_line() -> None:
    assert scorer.score(np.full((256, 256, 3), 0.4, np.float32)).core.max() < 0.5


def test_the_weights_are_one_small_file() -> None:
    assert (Path(scorer.__file__).parent / "weights.npz").stat().st_size < MOST_BYTES


def test_a_picture_is_not_changed_by_looking_at_it() -> None:
    srgb1 = np.random.default_rng(4).random((64, 64, 3)).astype(np.float32)
    before = srgb1.copy()
    scorer.score(srgb1)
    np.testing.assert_array_equal(srgb1, before)


def _core(height: int, width: int, *bars: tuple[int, int, int, int]) -> npt.NDArray[np.float32]:
    core = np.zeros((height, width), np.float32)
    for x0, y0, x1, y1 in bars:
        core[y0:y1, x0:x1] = 0.95
    return core


def test_a_bar_of_core_gives_its_place_and_body() -> None:
    (strip,) = strips_of(_core(40, 100, (10, 12, 70, 16)), cell=2)
    assert (strip.centre_x, strip.centre_y) == pytest.approx((80, 28), abs=0.5)
    assert strip.length == pytest.approx(120, abs=2)
    assert strip.body == pytest.approx(2 * 4 * 0.95 / 0.64, rel=0.02)
    assert strip.angle_deg == pytest.approx(0, abs=0.1)


@pytest.mark.parametrize("angle_deg", [-12.0, 5.0, 12.0])
def test_a_leaning_bar_gives_its_lean(angle_deg: float) -> None:
    y, x = np.mgrid[0:120, 0:160].astype(np.float32)
    lean = np.radians(angle_deg)
    along = (x - 80) * np.cos(lean) - (y - 60) * np.sin(lean)
    across = (x - 80) * np.sin(lean) + (y - 60) * np.cos(lean)
    (strip,) = strips_of(((np.abs(along) < 50) & (np.abs(across) < 3)).astype(np.float32), cell=2)
    assert strip.angle_deg == pytest.approx(angle_deg, abs=1.0)
    assert strip.length == pytest.approx(200, rel=0.05)


def test_two_bars_that_touch_faintly_are_parted() -> None:
    core = _core(60, 100, (10, 10, 80, 15), (10, 24, 80, 29))
    core[15:24, 40:44] = 0.6
    middles = sorted(strip.centre_y for strip in strips_of(core, cell=1))
    assert middles == pytest.approx([12.5, 26.5], abs=1.0)


def test_a_word_space_joins_and_a_column_gap_does_not() -> None:
    near = strips_of(_core(30, 200, (10, 10, 60, 14), (66, 10, 120, 14)), cell=1)
    far = strips_of(_core(30, 200, (10, 10, 60, 14), (90, 10, 150, 14)), cell=1)
    assert (len(near), len(far)) == (1, 2)


@pytest.mark.parametrize(("size_mm", "side_px"), [((420.0, 594.0), (900, 1273)), ((210.0, 297.0), (620, 877))])
def test_the_octaves_tile_the_sheet(size_mm: tuple[float, float], side_px: tuple[int, int]) -> None:
    artwork = from_srgb8(np.full((side_px[1], side_px[0], 3), 128, np.uint8), size_mm=size_mm)
    for picture in pictures_of(artwork):
        assert picture.srgb1.shape[0] % 8 == picture.srgb1.shape[1] % 8 == 0
        # a frame is as wide at the far side as at the near one
        x, y = picture.origin_px
        assert picture.height * picture.scale[0] == pytest.approx(side_px[1] - 2 * y, abs=picture.scale[0])
        assert picture.width * picture.scale[1] == pytest.approx(side_px[0] - 2 * x, abs=picture.scale[1])
        assert np.abs(picture.srgb1 - 128 / 255).max() < 1e-3


def test_a_large_sheet_is_looked_at_no_finer_than_wanted() -> None:
    artwork = from_srgb8(np.zeros((3400, 2400, 3), np.uint8), size_mm=(210.0, 297.0))
    finest = pictures_of(artwork)[0]
    assert max(finest.height, finest.width) <= 1.3 * UPRIGHT_DETAIL.least_long_px


def test_lines_of_a_drawn_poster_are_proposed_and_each_run_gives_the_same() -> None:
    poster = draw_poster(61_000, "flat", measuring_faces(), ppi=100.0)
    artwork = poster.artwork()
    bands = learned.bands_of(learned.looks_at(artwork))
    assert bands == learned.bands_of(learned.looks_at(artwork))
    met = 0
    for line in poster.lines:
        x0, y0, x1, y1 = line.box_px
        met += any(
            y0 < b.middle_y < y1 and min(b.x1, x1) - max(b.x0, x0) > 0.6 * (max(b.x1, x1) - min(b.x0, x0))
            for b in bands
        )
    assert met >= 0.9 * len(poster.lines)


def test_a_poster_turned_sideways_gives_sideways_bands() -> None:
    poster = draw_poster(61_001, "flat", measuring_faces(), ppi=100.0, art=False)
    sideways = from_srgb8(np.ascontiguousarray(np.rot90(poster.srgb8)), size_mm=(297.0, 210.0))
    tall_px = 5.0 / 25.4 * 100.0
    wanted = [line for line in poster.lines if (line.cap_px or 0) >= tall_px]
    assert wanted
    bands = [b for b in turned.propose(sideways) if abs(abs(b.angle_deg) - 90) < 16]
    met = 0
    for line in wanted:
        x0, y0, x1, y1 = line.box_px
        # a quarter turn counter-clockwise takes (x, y) to (y, width - x)
        x, y = (y0 + y1) / 2, poster.srgb8.shape[1] - (x0 + x1) / 2
        met += any(abs((b.x0 + b.x1) / 2 - x) < y1 - y0 and abs(b.middle_y - y) < 0.25 * (x1 - x0) for b in bands)
    assert met >= 0.8 * len(wanted)


def test_few_bands_lie_where_there_is_no_text() -> None:
    assert len(learned.bands_of(learned.looks_at(draw_text_free(61_002).artwork()))) <= 8

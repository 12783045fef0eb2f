"""The artwork's own sharpness, whatever its resolution tag says."""

import numpy as np
import pytest
from PIL import Image

from standback.artwork import Artwork, from_srgb8
from standback.measure.sharpness import sharpness_ppi
from synth import Poster, draw_poster, measuring_faces

PPI = 150.0


def at_150(srgb8: np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]) -> Artwork:
    height, width = srgb8.shape[:2]
    return from_srgb8(np.ascontiguousarray(srgb8), size_mm=(width / PPI * 25.4, height / PPI * 25.4))


@pytest.fixture(scope="module")
def drawn() -> Poster:
    return draw_poster(9100, "flat", measuring_faces())


def enlarged(drawn: Poster, times: float, method: Image.Resampling) -> Artwork:
    picture = Image.fromarray(drawn.srgb8)
    size = (round(picture.width * times), round(picture.height * times))
    return at_150(np.asarray(picture.resize(size, method)))


def test_drawn_at_its_resolution_it_is_as_sharp(drawn: Poster) -> None:
    assert sharpness_ppi(at_150(drawn.srgb8)) == pytest.approx(PPI)
    assert sharpness_ppi(at_150(drawn.as_jpeg(90).srgb8)) == pytest.approx(PPI)


@pytest.mark.parametrize("method", [Image.Resampling.BICUBIC, Image.Resampling.LANCZOS])
def test_three_times_enlarged_it_is_under_half_as_sharp(drawn: Poster, method: Image.Resampling) -> None:
    found = sharpness_ppi(enlarged(drawn, 3.0, method))
    assert found is not None
    assert PPI / 3.5 < found <= PPI / 2


def test_a_little_enlarged_it_passes(drawn: Poster) -> None:
    found = sharpness_ppi(enlarged(drawn, 1.3, Image.Resampling.LANCZOS))
    assert found is not None
    assert found > PPI / 2


def test_without_edges_there_is_nothing_to_judge() -> None:
    assert sharpness_ppi(at_150(np.full((300, 200, 3), 120, dtype=np.uint8))) is None
    assert sharpness_ppi(at_150(np.full((3, 2, 3), 120, dtype=np.uint8))) is None

"""Masks grown and shrunk, peaks, and the depth of ink, against the general library that is too slow for each line."""

import numpy as np
import pytest
from scipy import ndimage
from scipy.signal import find_peaks
from skimage.morphology import skeletonize

from standback.find.peaks import peaks_of
from standback.find.stroke import depth_at, enlarged
from standback.masks import grown, shrunk, those_in


@pytest.mark.parametrize("corners", [True, False])
@pytest.mark.parametrize("by", [1, 2, 3, 11])
def test_masks_grow_and_shrink_as_in_scipy(by: int, corners: bool) -> None:
    structure = ndimage.generate_binary_structure(2, 2 if corners else 1)
    blobs = ndimage.gaussian_filter(np.random.default_rng(by).random((60, 90)), 2) > 0.5
    before = blobs.copy()
    np.testing.assert_array_equal(
        grown(blobs, by, corners=corners), ndimage.binary_dilation(blobs, structure, iterations=by)
    )
    np.testing.assert_array_equal(
        shrunk(blobs, by, corners=corners), ndimage.binary_erosion(blobs, structure, iterations=by)
    )
    np.testing.assert_array_equal(blobs, before)


@pytest.mark.parametrize("prominence", [0.7, 1.5, 3.0])
def test_peaks_are_those_of_scipy_with_the_ends_deep(prominence: float) -> None:
    rng = np.random.default_rng(11)
    outlines, wanted, begin = [], [], 0
    for n in range(200):
        heights = rng.integers(0, 6, rng.integers(1, 60)).astype(float) if n % 2 else rng.normal(size=40).cumsum()
        deep = heights.min() - 100
        peaks, _ = find_peaks(np.r_[deep, heights, deep], prominence=prominence, plateau_size=1)
        alone = peaks_of(heights, np.array([len(heights)]), prominence)
        assert alone.tolist() == (peaks - 1).tolist()
        outlines.append(heights)
        wanted.append(begin + alone)
        begin += len(heights)
    ends = np.cumsum([len(heights) for heights in outlines])
    found = peaks_of(np.concatenate(outlines), ends, prominence)
    assert found.tolist() == np.concatenate(wanted).tolist()


def test_ink_is_as_deep_as_a_distance_transform_says() -> None:
    rng = np.random.default_rng(5)
    for side in range(1, 9):
        ink = np.kron(rng.random((20, 25)) < 0.6, np.ones((side, 9 - side), dtype=bool))
        line = skeletonize(ink)
        np.testing.assert_allclose(depth_at(ink, line), ndimage.distance_transform_edt(ink)[line])


@pytest.mark.parametrize("width", [15, 40, 620])
def test_wide_ink_is_as_deep_as_a_distance_transform_says(width: int) -> None:
    ink = np.zeros((width + 9, 2 * width), dtype=bool)
    ink[4:-5, 3:] = True
    ink[width // 2, width // 2] = False
    every = np.zeros_like(ink)
    every[::7, ::5] = ink[::7, ::5]
    np.testing.assert_allclose(depth_at(ink, every), ndimage.distance_transform_edt(ink)[every])


def test_what_a_mask_chooses_is_what_numpy_says() -> None:
    rng = np.random.default_rng(4)
    values, mask = rng.random((9, 14, 3)), rng.random((9, 14)) < 0.4
    for rows in (slice(None), slice(2, 7)):
        np.testing.assert_array_equal(
            those_in(values[rows, 1:-2], mask[rows, 1:-2]), values[rows, 1:-2][mask[rows, 1:-2]]
        )


@pytest.mark.parametrize("times", [1, 2, 5, 8])
def test_cover_is_enlarged_along_straight_lines(times: int) -> None:
    cover = np.random.default_rng(times).random((17, 31)).astype(np.float32)
    wanted = ndimage.zoom(cover, times, order=1, grid_mode=True, mode="nearest")
    np.testing.assert_allclose(enlarged(cover, times), wanted, atol=1e-6)

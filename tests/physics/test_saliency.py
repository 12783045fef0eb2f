"""What draws the eye: known answers, limiting cases and directions."""

import numpy as np
import pytest

from standback.saliency import LONG_SIDE, centre_bias, centre_surround, saliency, shrunk, spectral_residual


def test_shrinking_keeps_the_mean_and_averages_areas() -> None:
    rng = np.random.default_rng(4)
    picture = rng.random((99, 200, 3))
    small = shrunk(picture)
    assert small.shape == (32, LONG_SIDE, 3)
    assert small.mean(axis=(0, 1)) == pytest.approx(picture.mean(axis=(0, 1)), rel=1e-6)
    columns = np.repeat(np.arange(8.0), 8)[None, :, None] * np.ones((64, 1, 3))
    assert shrunk(columns, 8)[0, :, 0] == pytest.approx(np.arange(8.0))


def test_the_residual_of_an_odd_one_out_lies_on_it() -> None:
    """A regular texture is what spectra share; the one dot that breaks it is the residual."""
    texture = np.zeros((64, 64))
    texture[::4, ::4] = 1
    texture[20, 44] = texture[21, 44] = texture[20, 45] = texture[21, 45] = 1
    found = spectral_residual(texture)
    y, x = np.unravel_index(int(found.argmax()), found.shape)
    assert abs(y - 20.5) <= 1.5
    assert abs(x - 44.5) <= 1.5


def test_the_residual_moves_with_the_picture() -> None:
    """A circular shift leaves every amplitude as it is and shifts what comes back."""
    rng = np.random.default_rng(1)
    picture = rng.random((32, 48))
    found = spectral_residual(picture)
    shifted = spectral_residual(np.roll(picture, (5, 9), axis=(0, 1)))
    # the Gaussian that smooths it is mirrored at the edges: compare the middle
    again = np.roll(shifted, (-5, -9), axis=(0, 1))
    assert again[12:20, 12:30] == pytest.approx(found[12:20, 12:30], rel=0.02)


def test_an_even_picture_draws_nowhere() -> None:
    assert saliency(np.full((64, 45, 3), 0.4), 10.0).sum() == 0


@pytest.mark.parametrize("colour", [(0.9, 0.9, 0.9), (0.8, 0.1, 0.1)])
def test_what_stands_off_draws(colour: tuple[float, float, float]) -> None:
    picture = np.full((64, 45, 3), 0.2)
    picture[40:48, 30:38] = colour
    found = saliency(picture, 9.0)
    assert found.sum() == pytest.approx(1.0)
    y, x = np.unravel_index(int(found.argmax()), found.shape)
    assert 38 <= y < 50
    assert 28 <= x < 40
    # 144 of 2880 samples: eight times its part of the sheet, and more than nearness to the middle gives it
    share = found[38:50, 28:40].sum()
    assert share > 8 * 144 / 2880
    assert share > 3 * centre_bias((64, 45))[38:50, 28:40].sum()


def test_colour_alone_stands_off_in_colour_alone() -> None:
    oklab = np.zeros((40, 40, 3))
    oklab[..., 0] = 0.6
    oklab[15:25, 15:25, 1] = 0.1
    light, colour = centre_surround(oklab, 10.0)
    assert light.max() < 1e-9
    assert colour[20, 20] > 0.02


def test_centre_and_surround_are_angles() -> None:
    """A spot that fills the surround from near by stands off less than from afar."""
    oklab = np.zeros((64, 64, 3))
    oklab[24:40, 24:40, 0] = 1
    from_far, _ = centre_surround(oklab, 10.0)
    from_near, _ = centre_surround(oklab, 2.0)
    assert from_far[32, 32] > 2 * from_near[32, 32]


def test_the_centre_bias_is_highest_in_the_middle_and_sums_to_one() -> None:
    bias = centre_bias((64, 45))
    assert bias.sum() == pytest.approx(1.0)
    assert bias.max() == bias[32, 22]
    assert bias == pytest.approx(bias[::-1, ::-1])

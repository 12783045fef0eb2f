"""Letters over noise of known contrast: what is measured of it, and what it costs."""

from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from standback.artwork import Artwork, from_srgb8
from standback.doubts import Doubt
from standback.eye import ratio_on_even_ground, weber_contrast
from standback.find import find_lines
from standback.findings import PosterReport
from standback.light import SCREEN_FLARE, linear_to_srgb8, luminance1_of, srgb8_to_linear
from standback.measure.busy import ground_noise1
from standback.measure.lines import measure_type
from standback.measure.model import Measurement
from standback.pipeline import audit_artwork
from standback.settings import Limits, Settings, stations
from synth import Poster, Sheet, sans_bold
from synth.colours import Srgb8
from synth.fonts import Face

GREY: Srgb8 = (170, 170, 170)
BLACK: Srgb8 = (0, 0, 0)
DARK, PALE = (70, 70, 70), (200, 200, 200)
CAP_MM, PPI = 9.0, 75.0


def lettered(ink: Srgb8 = BLACK, ground: Srgb8 = GREY, cap_mm: float = CAP_MM, face: Face | None = None) -> Poster:
    sheet = Sheet(148.0, 74.0, PPI, ground)
    sheet.text("DOORS AT SEVEN", face or sans_bold(), ink, (12, 32), cap_mm=cap_mm)
    return sheet.finish()


def over_noise(drawn: Poster, contrast: float, *, low: float = 1.0, high: float = 3.0, ink: Srgb8 = BLACK) -> Artwork:
    """The same letters, with noise from `low` to `high` cycles a letter on their ground.

    `contrast` is its RMS contrast as the eye's model counts: over the lighter of ink and ground, flare added.
    """
    linear = srgb8_to_linear(drawn.srgb8, np.float64)
    height, width = linear.shape[:2]
    ground1, ink1 = luminance1_of(tuple(drawn.srgb8[0, 0])), luminance1_of(ink)
    cover = np.clip((linear[..., 0] - ground1) / (ink1 - ground1), 0, 1)
    noise = _band(height, width, low, high, CAP_MM * PPI / 25.4)
    noise *= contrast * (max(ground1, ink1) + SCREEN_FLARE)
    noisy = linear + ((1 - cover) * noise)[..., None]
    assert np.mean((noisy < 0) | (noisy > 1)) < 0.01, "noise that the range cuts is no longer of known contrast"
    return from_srgb8(linear_to_srgb8(noisy), size_mm=(148.0, 74.0))


def _band(height: int, width: int, low: float, high: float, letter_px: float) -> npt.NDArray[np.float64]:
    cycles = np.hypot(np.fft.fftfreq(height)[:, None], np.fft.rfftfreq(width)[None]) * letter_px
    spectrum = np.fft.rfft2(np.random.default_rng(5).standard_normal((height, width)))
    noise = np.fft.irfft2(spectrum * ((cycles >= low) & (cycles <= high)), s=(height, width))
    return np.asarray(noise / noise.std())


def line_of(artwork: Artwork) -> Measurement:
    (line,) = audited(artwork).elements
    return line


def audited(artwork: Artwork) -> PosterReport:
    return audit_artwork(artwork, Settings(far_m=2.0))


@pytest.mark.parametrize("contrast", [0.05, 0.1])
def test_the_contrast_of_noise_in_the_letter_band_is_found(contrast: float) -> None:
    (line,) = find_lines(over_noise(lettered(), contrast))
    found = ground_noise1(line, over_noise(lettered(), contrast)) / (luminance1_of(GREY) + SCREEN_FLARE)
    # heavy capitals hide most of their ground, and what is left between them reads a little low
    assert 0.74 * contrast < found < 1.02 * contrast


@pytest.mark.parametrize(("low", "high"), [(8.0, 14.0), (0.05, 0.2)])
def test_grain_and_shading_are_not_of_the_letters_fineness(low: float, high: float) -> None:
    artwork = over_noise(lettered(), 0.1, low=low, high=high)
    (line,) = find_lines(artwork)
    assert ground_noise1(line, artwork) / (luminance1_of(GREY) + SCREEN_FLARE) < 0.04


def test_reach_falls_with_the_noise_and_is_the_plain_one_without() -> None:
    drawn = lettered(ink=DARK, ground=PALE)
    plain = line_of(drawn.artwork())
    same = line_of(over_noise(drawn, 0.0, ink=DARK))
    assert same.reach_m == plain.reach_m
    assert (plain.ground_contrast, plain.ratio_masked) == (0.0, None)
    busy = [on_ground_of(plain, over_noise(drawn, contrast, ink=DARK)) for contrast in (0.06, 0.12, 0.18, 0.24)]
    reach_m = [plain.reach_m, *(m.reach_m for m in busy)]
    assert all(b < a for a, b in pairwise(reach_m)), reach_m
    for m in busy:
        # the ground's contrast, twice, is taken from the ink's as squares are
        left = weber_contrast(m.ratio) ** 2 - 4 * (m.ground_contrast**2 - 0.02**2)
        assert m.ratio_masked == pytest.approx(1 / (1 - left**0.5), rel=1e-6)
    assert Doubt.BUSY_GROUND in busy[-1].doubts
    found = line_of(over_noise(drawn, 0.24, ink=DARK))
    assert found.reach_m == pytest.approx(busy[-1].reach_m, rel=0.03)


def on_ground_of(m: Measurement, artwork: Artwork) -> Measurement:
    """Measure a line as it is found without noise, so that nothing but the ground differs."""
    return measure_type(
        m.line,
        Settings(),
        name=m.id,
        box_mm=m.box_mm,
        px_per_mm=m.px_per_mm,
        ratio_worst=m.ratio_worst,
        ground_noise1=ground_noise1(m.line, artwork),
        tier=m.tier,
        tier_from=m.tier_from,
        station=m.station,
        places=stations(m.far_m),
    )


@pytest.mark.parametrize("ink", [BLACK, (120, 120, 120)])
@pytest.mark.parametrize("quality", [90, 75])
def test_jpeg_masks_next_to_nothing(ink: Srgb8, quality: int) -> None:
    drawn = lettered(ink=ink, ground=(235, 235, 235))
    plain, pressed = (line_of(one.artwork()) for one in (drawn, drawn.as_jpeg(quality)))
    assert pressed.ratio_met == pytest.approx(pressed.ratio, rel=0.01)
    assert pressed.reach_m == pytest.approx(plain.reach_m, rel=0.02)
    assert Doubt.BUSY_GROUND not in pressed.doubts


def test_a_line_across_a_panels_edge_is_on_no_texture() -> None:
    sheet = Sheet(148.0, 74.0, PPI, GREY)
    sheet.panel((60, 0, 148, 74), (235, 235, 235))
    sheet.text("DOORS AT SEVEN", sans_bold(), BLACK, (12, 32), cap_mm=CAP_MM)
    artwork = sheet.finish().artwork()
    for line in find_lines(artwork):
        assert ground_noise1(line, artwork) < 0.02


def test_what_a_busy_ground_costs_is_said_and_mended_by_an_even_one() -> None:
    drawn = lettered(ink=DARK, ground=PALE)
    busy = over_noise(drawn, 0.24, ink=DARK)
    between_m = (line_of(drawn.artwork()).reach_m * line_of(busy).reach_m) ** 0.5
    report = audit_artwork(busy, Settings(far_m=between_m, limits=Limits(reach_guess_share=1.0)))
    finding = next(f for f in report.findings if f.elements)
    assert finding.check == "patchy-ground", "short by a hair in reach, plainly in contrast"
    assert "Its ground is as fine and busy as its letters" in finding.says
    assert "too small" not in finding.says
    assert Doubt.BUSY_GROUND in finding.doubts
    assert finding.change is not None


ratios, contrasts = st.floats(1.0, 21.0), st.floats(0.0, 1.0)


@given(ratios, contrasts, contrasts)
def test_a_busier_ground_never_helps(ratio: float, one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert 1.0 <= ratio_on_even_ground(ratio, more) <= ratio_on_even_ground(ratio, less) * (1 + 1e-12)
    assert ratio_on_even_ground(ratio, less) <= ratio
    assert ratio_on_even_ground(ratio, 0.0) == ratio


@given(ratios, st.floats(0.0, 0.02))
def test_a_still_ground_changes_nothing(ratio: float, contrast: float) -> None:
    assert ratio_on_even_ground(ratio, contrast) == ratio


def test_letters_in_noise_need_twice_its_contrast() -> None:
    """Pelli, Burns, Farell & Moore-Page (2006), from memory: see `eye.MASKING`."""
    assert ratio_on_even_ground(4.0, 0.75 / 2 + 0.001) == 1.0
    assert ratio_on_even_ground(4.0, 0.75 / 2 - 0.001) > 1.0

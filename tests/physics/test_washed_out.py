"""Where the limits of the check for melting strokes come from."""

import pytest

from standback import eye
from standback.find import find_lines
from standback.measure.seen import seen_ratio, with_ring
from standback.settings import PUBLIC, Limits, Settings
from standback.viewing import seen_crop
from synth import Sheet
from synth.colours import Srgb8
from synth.fonts import face

LUMINANCE_CDM2 = Settings().luminance_cdm2
PUPIL_MM = eye.pupil_diameter_mm(LUMINANCE_CDM2)
GREY_ON_WHITE: tuple[Srgb8, Srgb8] = ((119, 119, 119), (255, 255, 255))
GREY_ON_BLACK: tuple[Srgb8, Srgb8] = ((116, 116, 116), (0, 0, 0))


@pytest.mark.parametrize(
    ("package", "file"),
    [
        ("font_roboto", "Roboto-Light.ttf"),
        ("font_lato", "Lato-Light.ttf"),
        ("font_source_sans_pro", "SourceSansPro-Light.ttf"),
    ],
)
@pytest.mark.parametrize("colours", [GREY_ON_WHITE, GREY_ON_BLACK])
def test_light_type_of_4_5_to_1_keeps_the_limit_at_its_own_reach(
    package: str, file: str, colours: tuple[Srgb8, Srgb8]
) -> None:
    """Light faces of 4.5:1 (WCAG 2.2, 1.4.3) have strokes of about a twelfth to a fifteenth of their height."""
    ink, ground = colours
    sheet = Sheet(420.0, 148.0, 150.0, ground)
    sheet.text("HAMBURG FONTS LINEN", face(package, file), ink, (20, 90), cap_mm=20.0)
    artwork = sheet.finish().artwork()
    (line,) = find_lines(artwork)
    height_mm, stroke_mm = line.letter_px / artwork.px_per_mm, line.stroke_px / artwork.px_per_mm
    assert 11 < height_mm / stroke_mm < 16
    reach_m = eye.reach_m(
        height_mm=height_mm,
        stroke_mm=stroke_mm,
        ratio=4.5,
        k=PUBLIC.k,
        pupil_mm=PUPIL_MM,
        luminance_cdm2=LUMINANCE_CDM2,
    )
    seen = seen_ratio(line, seen_crop(artwork, with_ring(line, artwork.trim_px), reach_m, PUPIL_MM))
    limits = Limits()
    limit = limits.washed_out_dark_ratio if ground[0] else limits.washed_out_light_ratio
    assert seen == pytest.approx(limit, rel=0.05)

"""A small sample of what `measure_reader.py` measures at length: our limit against a reader behind the optics."""

from string import ascii_uppercase

import numpy as np

from measure_reader import ReadLine, agreement, read_lines
from standback.viewing import see
from synth.fonts import face
from synth.reader import CORRECT, SIZES_ARCMIN, Alphabet, grams, limit_arcmin

PUPIL_MM = 4.0
REGULAR = Alphabet(face=face("font_roboto", "Roboto-Regular.ttf"), letters=ascii_uppercase)
SAMPLE = (
    ("font_lato", "Lato-Thin.ttf", True),
    ("font_roboto", "Roboto-Light.ttf", False),
    ("font_fjallaone", "FjallaOne-Regular.ttf", True),
    ("font_lato", "Lato-Black.ttf", False),
)


def test_contrast_scales_what_is_seen_and_polarity_turns_it_over() -> None:
    picture = np.zeros((60, 90), dtype=np.float32)
    picture[20:40, 30:36] = 1.0
    seen = see(picture, 200.0, PUPIL_MM)
    assert np.allclose(see(1 - 0.4 * picture, 200.0, PUPIL_MM), 1 - 0.4 * seen, atol=1e-5)
    assert np.allclose(see(0.2 + 0.4 * picture, 200.0, PUPIL_MM), 0.2 + 0.4 * seen, atol=1e-5)


def test_the_reader_guesses_without_contrast_and_reads_more_with_more() -> None:
    products = grams(REGULAR, PUPIL_MM)
    limits = [limit_arcmin(products, contrast, 0.0026) for contrast in (0.95, 0.5, 0.2)]
    assert SIZES_ARCMIN[0] < limits[0] < limits[1] < limits[2] < SIZES_ARCMIN[-1]
    assert np.isnan(limit_arcmin(products, 1e-4, 0.0026)), "no size will do"
    assert 1 / len(REGULAR.letters) < 0.5 < CORRECT < 0.75, "far from guessing, and within the 50 to 75 % of charts"


def test_our_limit_follows_the_reader_over_faces_weights_and_contrasts() -> None:
    """At length, over 336 lines: correlation .95, rms .066 log10; here wide enough for so few."""
    lines: list[ReadLine] = []
    for package, name, capitals in SAMPLE:
        letters = ascii_uppercase if capitals else ascii_uppercase.lower()
        lines += read_lines(Alphabet(face=face(package, name), letters=letters), (21.0, 4.5, 2.0))
    correlation, rms, _ = agreement(lines)
    assert correlation >= 0.85
    assert rms <= 0.10

"""Colours as seen with a kind of cone missing."""

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from standback.colour_vision import VISIONS, as_seen_by, contrast_ratio_for
from standback.light import linear_to_srgb8, luminance1, srgb8_to_linear

# Machado, Oliveira & Fernandes (2009) at severity 1.0, on linear light, rounded after encoding
SEEN = {
    "protan": {(255, 0, 0): (109, 95, 0), (0, 255, 0): (255, 229, 0), (0, 0, 255): (0, 89, 255)},
    "deutan": {(255, 0, 0): (163, 144, 0), (0, 255, 0): (239, 214, 58), (0, 0, 255): (0, 61, 251)},
}


@pytest.mark.parametrize("vision", SEEN)
def test_the_primaries_as_the_authors_model_has_them(vision: str) -> None:
    for colour, seen in SEEN[vision].items():
        assert tuple(linear_to_srgb8(as_seen_by(vision, srgb8_to_linear(np.array(colour))))) == seen


@pytest.mark.parametrize(
    ("vision", "name"),
    [("protan", "Protanomaly"), ("deutan", "Deuteranomaly"), ("tritan", "Tritanomaly")],
)
def test_the_matrices_agree_with_another_copy_of_them(vision: str, name: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from colour.blindness import matrix_cvd_Machado2009

        theirs = np.asarray(matrix_cvd_Machado2009(name, 1.0))
    inside = 0.25 + 0.5 * np.eye(3)  # far enough from the gamut's rim that nothing is cut
    assert as_seen_by(vision, inside) == pytest.approx(np.clip(inside @ theirs.T, 0, 1), abs=1e-6)


def test_red_on_black_is_fainter_to_protan_viewers() -> None:
    # the luminance of red falls from 0.2126 to 0.114 (same model)
    assert float(luminance1(as_seen_by("protan", (1.0, 0.0, 0.0)))) == pytest.approx(0.1143, abs=5e-4)
    assert contrast_ratio_for("protan", (255, 0, 0), (0, 0, 0)) == pytest.approx(3.29, abs=0.01)


@given(st.sampled_from(VISIONS), st.integers(0, 255), st.integers(0, 255))
def test_greys_keep_their_ratio(vision: str, first: int, second: int) -> None:
    greys = (first,) * 3, (second,) * 3
    plain = float(luminance1(srgb8_to_linear(np.array(greys), np.float64)).max() + 0.05) / float(
        luminance1(srgb8_to_linear(np.array(greys), np.float64)).min() + 0.05
    )
    assert contrast_ratio_for(vision, *greys) == pytest.approx(plain, rel=1e-5)
    assert contrast_ratio_for(vision, *greys) == contrast_ratio_for(vision, *greys[::-1])

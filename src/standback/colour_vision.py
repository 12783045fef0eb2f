"""Colours as they look to viewers whose eyes lack one kind of cone."""

import numpy as np
import numpy.typing as npt

from standback.light import Floats, luminance1, ratio_of_luminances, srgb8_to_linear

PROTAN, DEUTAN, TRITAN = VISIONS = ("protan", "deutan", "tritan")
"""Vision without long-wave, middle-wave and short-wave cones."""
IN_WORDS = {PROTAN: "red-blind", DEUTAN: "green-blind", TRITAN: "blue-blind"}

_OF_LINEAR = {
    PROTAN: np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    DEUTAN: np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    TRITAN: np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
"""Machado, Oliveira & Fernandes (2009), severity 1.0, on linear sRGB; the one for tritan is the weakest."""


def as_seen_by(vision: str, linear: npt.ArrayLike) -> Floats:
    """Return colours as they look to one of the `VISIONS`.

    Parameters
    ----------
    linear
        (..., 3) linear sRGB light; float32 stays float32.

    Returns
    -------
    (..., 3) linear light that looks to an ordinary eye as the given one does to theirs, cut to 0-1.

    References
    ----------
    Machado, Oliveira & Fernandes (2009), "A physiologically-based model for simulation of color vision
    deficiency", IEEE Trans. Visualization and Computer Graphics 15(6):1291.
    """
    light = np.asarray(linear)
    if light.dtype.kind != "f":
        light = light.astype(np.float64)
    seen: Floats = np.clip(light @ _OF_LINEAR[vision].T.astype(light.dtype), 0.0, 1.0)
    return seen


def contrast_ratio_for(vision: str, srgb8_a: npt.ArrayLike, srgb8_b: npt.ArrayLike) -> float:
    """WCAG contrast ratio of two 8-bit colours, in either order, as they look to one of the `VISIONS`."""
    pair = srgb8_to_linear(np.array([srgb8_a, srgb8_b]), np.float64)
    first, second = luminance1(as_seen_by(vision, pair))
    return ratio_of_luminances(float(first), float(second))

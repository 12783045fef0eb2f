"""Fit the weights that tell figures from letters by their shape, and print them.

    python tests/training/figure_shapes.py

Trained on the faces of a Debian system, measured on the font packages of the `test` extra.
"""

from collections.abc import Iterable
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize

from standback.measure.figure_shapes import AS_HIGH, WEIGHTS, shares
from standback.measure.glyph_row import glyph_row
from synth.fonts import Face, measuring_styles
from synth.typeset import set_line

DEBIAN = Path("/usr/share/fonts")
NO_TEXT_FACES = ("Lobster", "Z003", "D050000L", "StandardSymbols", "Mono")
FIGURES, LETTERS = "0123456789", "ABCDEFGHIJKLMNOPQRSTUVWXYZbdfhkl"
ALIKE, ALIKE_WEIGHT = "OIlSZBQ", 0.15
RIDGE = 0.3
CAP_PX = 60.0

Doubles = npt.NDArray[np.float64]


def debian_faces() -> tuple[Face, ...]:
    """Every text face of the system."""
    paths = (p for p in sorted(DEBIAN.rglob("*")) if p.suffix in (".otf", ".ttf"))
    return tuple(Face(p) for p in paths if not any(name in p.name for name in NO_TEXT_FACES))


def glyphs(faces: Iterable[Face]) -> tuple[Doubles, str]:
    """Return what is known of each glyph, (N, 98), and which it is."""
    known, names = [], []
    for face in faces:
        for name in FIGURES + LETTERS:
            row = glyph_row(set_line(f"H{name}H", face, cap_px=CAP_PX, tracking_em=0.3).ink)
            if row is None or len(row.letters) != 3:
                continue
            one = row.letters[1]
            if abs((one.bottom - one.top) / row.height - 1) <= AS_HIGH:
                known.append(np.r_[shares(one.ink).ravel(), one.width / row.height, 1.0])
                names.append(name)
    return np.array(known), "".join(names)


def fitted(known: Doubles, names: str) -> Doubles:
    """Return the weights of a logistic regression with a ridge."""
    figure = np.array([name in FIGURES for name in names])
    counts = np.array([ALIKE_WEIGHT if name in ALIKE else 1.0 for name in names])
    sign = np.where(figure, 1.0, -1.0)

    def loss(weights: Doubles) -> tuple[float, Doubles]:
        looks = known @ weights
        value = float((counts * np.logaddexp(0, -looks * sign)).sum()) + RIDGE / 2 * float(weights[:-1] @ weights[:-1])
        slope = known.T @ (counts * (1 / (1 + np.exp(-looks)) - figure)) + RIDGE * np.r_[weights[:-1], 0.0]
        return value, slope

    weights: Doubles = minimize(loss, np.zeros(known.shape[1]), jac=True, method="L-BFGS-B").x
    return weights


def main() -> None:
    """Fit, print and measure."""
    weights = fitted(*glyphs(debian_faces()))
    print(np.rint(100 * weights[: WEIGHTS.size]).astype(int).reshape(WEIGHTS.shape).tolist())
    print("width, bias:", np.rint(100 * weights[WEIGHTS.size :]) / 100)
    known, names = glyphs(measuring_styles())
    looks = known @ weights > 0
    figure = np.array([name in FIGURES for name in names])
    print(f"figures found: {looks[figure].mean():.2f}; letters taken for figures: {looks[~figure].mean():.2f}")


if __name__ == "__main__":
    main()

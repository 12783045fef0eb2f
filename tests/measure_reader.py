"""Hold the predicted limit against a reader that is no model of ours (`synth.reader`), and print how near they are.

Lines are alphabets, capitals and lowercase, of faces from thin to black and condensed to wide that nothing was
tuned on, each in several contrasts. For every line the reader's limit is found, and ours is asked of the function
that the audit goes by. Both are angles, so size is out of it. Optics are linear: a contrast only scales what the
reader sees, and polarity turns it over (a test holds that), so neither needs drawing again.

usage: python tests/measure_reader.py [--tuning]
"""

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import atan, degrees
from pathlib import Path

import numpy as np

from standback import eye
from standback.reading import pupil_mm_of, reach_of
from standback.settings import YOUNG_EYE, Settings
from synth.fonts import Face, face
from synth.reader import Alphabet, alphabets, grams, limit_arcmin

RATIOS = (21.0, 10.0, 7.0, 4.5, 3.0, 2.0, 1.5)
NOISE_DEG = 0.0026
"""The reader's noise, set once so that on the tuning faces it reads as far as we say on the whole."""
SETTINGS = Settings()
LIGHT = 0.06
"""About the thinnest strokes of faces called Light."""

MEASURING = (
    ("font_lato", "Lato-Thin.ttf Lato-Light.ttf Lato-Regular.ttf Lato-Bold.ttf Lato-Black.ttf"),
    ("font_roboto", "Roboto-Thin.ttf Roboto-Light.ttf Roboto-Regular.ttf Roboto-Black.ttf"),
    (
        "font_source_sans_pro",
        "SourceSansPro-ExtraLight.ttf SourceSansPro-Light.ttf SourceSansPro-Regular.ttf SourceSansPro-Black.ttf",
    ),
    ("font_source_serif_pro", "SourceSerifPro-Regular.ttf SourceSerifPro-Bold.ttf"),
    ("font_manrope", "Manrope-ExtraLight.ttf Manrope-Medium.ttf Manrope-ExtraBold.ttf"),
    ("font_hanken_grotesk", "HankenGrotesk-Light.otf HankenGrotesk-Bold.otf"),
    ("font_caladea", "Caladea-Regular.ttf Caladea-Bold.ttf"),
    ("font_fjallaone", "FjallaOne-Regular.ttf"),
    ("font_fredoka_one", "FredokaOne-Regular.ttf"),
)
TUNING = (
    ("opentype/cantarell", "Cantarell-Thin.otf Cantarell-Light.otf Cantarell-Regular.otf Cantarell-ExtraBold.otf"),
    ("opentype/ebgaramond", "EBGaramond12-Regular.otf EBGaramond12-Bold.otf"),
    ("opentype/inter", "Inter-Thin.otf Inter-ExtraLight.otf Inter-Regular.otf Inter-Bold.otf InterDisplay-Black.otf"),
    (
        "opentype/urw-base35",
        "C059-Roman.otf NimbusSansNarrow-Regular.otf NimbusSansNarrow-Bold.otf NimbusMonoPS-Regular.otf "
        "P052-Bold.otf URWGothic-Book.otf URWGothic-Demi.otf URWBookman-Light.otf",
    ),
    ("opentype/lobster", "lobster.otf"),
    ("truetype/comfortaa", "Comfortaa-Light.ttf Comfortaa-Bold.ttf"),
    ("truetype/dejavu", "DejaVuSans-ExtraLight.ttf DejaVuSans.ttf DejaVuSans-Bold.ttf DejaVuSerifCondensed.ttf"),
    ("truetype/liberation", "LiberationSerif-Regular.ttf"),
    ("truetype/open-sans", "OpenSans-CondLight.ttf OpenSans-CondBold.ttf OpenSans-Light.ttf OpenSans-ExtraBold.ttf"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLine:
    """One line: the height that counts at the limit, as an angle; predicted, and as the reader has it."""

    lower: bool
    stroke_share: float
    ratio: float
    predicted_arcmin: float
    read_arcmin: float


def read_lines(alphabet: Alphabet, ratios: Sequence[float] = RATIOS) -> list[ReadLine]:
    """Find both limits for an alphabet in each contrast."""
    products = grams(alphabet, pupil_mm_of(YOUNG_EYE, SETTINGS))
    height_caps = alphabet.height_em / alphabet.face.cap_em
    return [
        ReadLine(
            lower=alphabet.letters.islower(),
            stroke_share=alphabet.stroke_em / alphabet.height_em,
            ratio=ratio,
            predicted_arcmin=predicted_arcmin(alphabet.stroke_em / alphabet.height_em, ratio),
            read_arcmin=height_caps * limit_arcmin(products, eye.weber_contrast(ratio), NOISE_DEG),
        )
        for ratio in ratios
    ]


def predicted_arcmin(stroke_share: float, ratio: float) -> float:
    """Return the letter height at our limit as an angle: what fills it at the reach of the young eye."""
    reach_m = reach_of(YOUNG_EYE, SETTINGS, letter_mm=10.0, stroke_mm=10.0 * stroke_share, ratio=ratio)
    return 60 * degrees(atan(0.010 / reach_m))


def agreement(lines: Sequence[ReadLine]) -> tuple[float, float, float]:
    """Return correlation, root mean square and mean of the differences, in log10 of the angles."""
    predicted, read = (
        np.log10([getattr(line, name) for line in lines]) for name in ("predicted_arcmin", "read_arcmin")
    )
    off = read - predicted
    return float(np.corrcoef(predicted, read)[0, 1]), float(np.sqrt((off**2).mean())), float(off.mean())


def _told(what: str, lines: Sequence[ReadLine]) -> None:
    correlation, rms, mean = agreement(lines)
    print(f"{what:37} {len(lines):4} lines   correlation {correlation:.3f}   rms {rms:.3f}   mean {mean:+.3f}")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tuning", action="store_true", help="the faces of a Debian system that the noise was set on")
    tuning = parser.parse_args().tuning
    if tuning:
        faces = [Face(Path("/usr/share/fonts") / folder / name) for folder, names in TUNING for name in names.split()]
    else:
        faces = [face(package, name) for package, names in MEASURING for name in names.split()]
    lines = [line for one in faces for alphabet in alphabets(one) for line in read_lines(alphabet)]
    unread = [line for line in lines if np.isnan(line.read_arcmin)]
    lines = [line for line in lines if not np.isnan(line.read_arcmin)]
    print(f"{len(faces)} faces, {len(unread)} lines not read at any size shown; differences in log10")
    _told("all", lines)
    parts: dict[str, Callable[[ReadLine], bool]] = {
        "capitals": lambda line: not line.lower,
        "lowercase": lambda line: line.lower,
        "strokes of 0.06 of the height and up": lambda line: line.stroke_share >= LIGHT,
        "the same, 3:1 and up": lambda line: line.stroke_share >= LIGHT and line.ratio >= 3,
    }
    for what, wanted in parts.items():
        _told(what, [line for line in lines if wanted(line)])
    for ratio in RATIOS:
        _told(f"all of {ratio:g}:1", [line for line in lines if line.ratio == ratio])


if __name__ == "__main__":
    main()

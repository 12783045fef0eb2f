"""The faces drawn posters are set in, and their exact heights.

Faces for measuring come from PyPI packages and are never used to tune anything; faces for tuning are
those of a Debian system and may be absent elsewhere.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from PIL import ImageFont

_PROBE_PX = 2000


@dataclass(frozen=True, slots=True)
class Face:
    """One font file, and how much wider than as designed its strokes are drawn, on each side."""

    path: Path
    bolder_em: float = 0.0

    def at(self, size_px: float) -> ImageFont.FreeTypeFont:
        """Return the face at an em of `size_px`."""
        return _load(str(self.path), size_px)

    @property
    def cap_em(self) -> float:
        """Height of a flat capital (H) in em."""
        return _height_em(self, "H") + 2 * self.bolder_em

    @property
    def x_em(self) -> float:
        """Height of a flat lowercase letter (x) in em."""
        return _height_em(self, "x") + 2 * self.bolder_em

    @property
    def digit_em(self) -> float:
        """Height of a flat digit (7) in em."""
        return _height_em(self, "7") + 2 * self.bolder_em


@cache
def _load(path: str, size_px: float) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(path, size_px)


@cache
def _height_em(face: Face, glyph: str) -> float:
    return -float(face.at(_PROBE_PX).getbbox(glyph, anchor="ls")[1]) / _PROBE_PX


_MEASURING = {
    "font_caladea": ("Caladea-Regular.ttf", "Caladea-Bold.ttf"),
    "font_fjallaone": ("FjallaOne-Regular.ttf",),
    "font_fredoka_one": ("FredokaOne-Regular.ttf",),
    "font_hanken_grotesk": ("HankenGrotesk-Medium.otf", "HankenGrotesk-Bold.otf"),
    "font_lato": ("Lato-Regular.ttf", "Lato-Black.ttf", "Lato-Italic.ttf"),
    "font_manrope": ("Manrope-Medium.ttf", "Manrope-ExtraBold.ttf"),
    "font_roboto": ("Roboto-Light.ttf", "Roboto-Regular.ttf", "Roboto-Bold.ttf"),
    "font_source_sans_pro": (
        "SourceSansPro-Regular.ttf",
        "SourceSansPro-Semibold.ttf",
        "SourceSansPro-Black.ttf",
    ),
    "font_source_serif_pro": ("SourceSerifPro-Regular.ttf", "SourceSerifPro-Bold.ttf"),
}

_STYLES = {
    "font_caladea": "*.ttf",
    "font_fjallaone": "*.ttf",
    "font_fredoka_one": "*.ttf",
    "font_hanken_grotesk": "*.otf",
    "font_lato": "*.ttf",
    "font_manrope": "Manrope-[!V]*.ttf",
    "font_roboto": "*.ttf",
    "font_source_sans_pro": "*.otf",
    "font_source_serif_pro": "*.otf",
}

_TUNING = (
    "opentype/cantarell/Cantarell-Bold.otf",
    "opentype/cantarell/Cantarell-Regular.otf",
    "opentype/ebgaramond/EBGaramond12-Regular.otf",
    "opentype/ebgaramond/EBGaramond12-Bold.otf",
    "opentype/inter/Inter-Regular.otf",
    "opentype/inter/Inter-SemiBold.otf",
    "opentype/inter/InterDisplay-Black.otf",
    "opentype/urw-base35/C059-Roman.otf",
    "opentype/urw-base35/NimbusSansNarrow-Bold.otf",
    "opentype/urw-base35/P052-Bold.otf",
    "opentype/urw-base35/URWGothic-Book.otf",
    "opentype/urw-base35/URWGothic-Demi.otf",
    "opentype/urw-base35/URWBookman-Light.otf",
    "truetype/comfortaa/Comfortaa-Bold.ttf",
    "truetype/dejavu/DejaVuSans.ttf",
    "truetype/dejavu/DejaVuSans-Bold.ttf",
    "truetype/dejavu/DejaVuSerif.ttf",
    "truetype/liberation/LiberationSans-Italic.ttf",
    "truetype/liberation/LiberationSerif-Regular.ttf",
    "truetype/open-sans/OpenSans-Light.ttf",
    "truetype/open-sans/OpenSans-ExtraBold.ttf",
)


@cache
def measuring_faces() -> tuple[Face, ...]:
    """Faces for tests and figures; a missing package is an error."""
    return tuple(face(package, name) for package, names in _MEASURING.items() for name in names)


@cache
def measuring_styles() -> tuple[Face, ...]:
    """Every weight and italic of the same packages."""
    return tuple(Face(path) for package, pattern in _STYLES.items() for path in _files(package, pattern))


@cache
def tuning_faces() -> tuple[Face, ...]:
    """Those of the tuning faces that this system has."""
    paths = (Path("/usr/share/fonts") / name for name in _TUNING)
    return tuple(Face(path) for path in paths if path.exists())


@cache
def face(package: str, name: str) -> Face:
    """Return one file of a font package, without importing the package."""
    for path in _files(package, name):
        return Face(path)
    raise LookupError(f"{package} has no {name}")


def _files(package: str, pattern: str) -> Iterator[Path]:
    spec = find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        raise LookupError(f"font package {package} is not installed: pip install '.[test]'")
    for folder in spec.submodule_search_locations:
        yield from sorted(Path(folder).rglob(pattern))


def sans_bold() -> Face:
    """Return a plain bold sans for tests that need any one face."""
    return face("font_roboto", "Roboto-Bold.ttf")


def sans() -> Face:
    """Return a plain regular sans for tests that need any one face."""
    return face("font_roboto", "Roboto-Regular.ttf")


def serif() -> Face:
    """Return a plain serif for tests that need any one face."""
    return face("font_source_serif_pro", "SourceSerifPro-Regular.ttf")

"""How far a viewer reads letters: the one way, for letters found on an artwork and for letters only planned."""

from standback import eye
from standback.settings import Settings, Viewer

CAP_PER_EM = 0.71
X_PER_EM = 0.52
"""Capital and lowercase height of common text faces as a share of the em (common practice)."""

_PROBE_MM = 10.0


def pupil_mm_of(viewer: Viewer, settings: Settings) -> float:
    """Return the diameter of a viewer's pupil, in the light on the poster."""
    return eye.pupil_diameter_mm(settings.luminance_cdm2, age_years=viewer.pupil_years)


def reach_of(viewer: Viewer, settings: Settings, *, letter_mm: float, stroke_mm: float, ratio: float) -> float:
    """Return the farthest distance in m at which `viewer` reads such letters."""
    sight = _sight(viewer, settings)
    return eye.reach_m(height_mm=letter_mm, stroke_mm=stroke_mm, ratio=ratio, **sight)


def letters_before(
    viewer: Viewer, settings: Settings, *, distance_m: float, letter_mm: float, stroke_mm: float, ratio: float
) -> eye.LettersAt:
    """Return what `viewer` wants of such letters from a distance: what `reach_of` goes by."""
    sight = _sight(viewer, settings)
    return eye.letters_at(distance_m, height_mm=letter_mm, stroke_mm=stroke_mm, ratio=ratio, **sight)


def _sight(viewer: Viewer, settings: Settings) -> dict[str, float]:
    return {
        "k": viewer.k,
        "pupil_mm": pupil_mm_of(viewer, settings),
        "luminance_cdm2": settings.luminance_cdm2,
        "contrast_factor": viewer.contrast_factor,
        "acuity_logmar": viewer.acuity_logmar,
    }


def letter_mm_for(
    viewer: Viewer, settings: Settings, *, distance_m: float, stroke_share: float, ratio: float
) -> float | None:
    """Return the least letter height in mm that `viewer` reads from a distance; None where no height does.

    Parameters
    ----------
    stroke_share
        Width of the strokes as a share of the letter height.

    Notes
    -----
    Only angles at the eye count, so where the strokes grow with the letters, reach does in proportion.
    """
    reach_m = reach_of(viewer, settings, letter_mm=_PROBE_MM, stroke_mm=stroke_share * _PROBE_MM, ratio=ratio)
    return _PROBE_MM * distance_m / reach_m if reach_m > 0 else None

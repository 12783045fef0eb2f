"""How a reach comes about: what one viewer wants of letters at the very distance that they just reach."""

from collections.abc import Iterator

from standback import eye
from standback.explain.model import Given, Step, number
from standback.measure.model import Measurement
from standback.numbers import ratio
from standback.reading import letters_before
from standback.settings import YOUNG_EYE, Settings, Viewer

_SOURCE = (
    "An angle of 5 minutes of arc: ISO 8596. Contrast: Fujita and others (2008). Light: Sheedy, Bailey & Raasch "
    "(1984). Strokes in the eye: Watson (2013). "
)
_WHO = {
    "public": "Nine readers in ten, on printed displays: Smith (1979).",
    "low-vision": "6/12, the bound of mild impairment: ICD-11.",
    "older": "75 years: Elliott, Yang & Whitaker (1995), Pelli-Robson charts.",
    "limit": "A young corrected eye that can just make it out.",
}


def reach_steps(m: Measurement, settings: Settings) -> Iterator[Step]:
    """Yield a step for each viewer's reach, and one for the limit."""
    reaches = {reach.viewer: reach.m for reach in m.reach}
    for index, viewer in enumerate(settings.viewers):
        reach_m, key = reaches[viewer.name], f"reach.{viewer.name}.m"
        source = ("Sources as above. " if index else _SOURCE) + _WHO.get(viewer.name, "")
        yield _step(m, settings, viewer, reach_m, key=key, title=f"Reach, {viewer.name}", source=source)
    yield _step(
        m,
        settings,
        YOUNG_EYE,
        m.limit_m,
        key="limit_m",
        title="Limit",
        source="Sources as above. " + _WHO[YOUNG_EYE.name],
    )


def _step(
    m: Measurement, settings: Settings, viewer: Viewer, reach_m: float, *, key: str, title: str, source: str
) -> Step:
    return Step(
        title=title,
        source=source,
        givens=tuple(_givens(m, settings, viewer, reach_m)),
        key=key,
        result=reach_m,
        unit="m",
        says="from here the letters are just as tall as wanted" if reach_m else "its contrast is too low to be read",
    )


def _givens(m: Measurement, settings: Settings, viewer: Viewer, reach_m: float) -> Iterator[Given]:
    if m.ratio_masked is not None:
        yield Given(
            value=number(m.ground_contrast), says="contrast of the ground itself, in the fineness of the letters (RMS)"
        )
        yield Given(
            value=number(m.ratio_masked),
            says=f"ratio at which they would read as well on an even ground, of {ratio(m.ratio_on_paper)} on this one",
        )
    contrast = eye.weber_contrast(m.ratio_met)
    yield Given(value=number(contrast), says=f"contrast, 1 less one over the ratio of {ratio(m.ratio_met)}")
    if viewer.contrast_factor != 1:
        used = contrast * viewer.contrast_factor
        yield Given(value=number(used), says=f"of it, {number(viewer.contrast_factor)} is made use of at this age")
    if not reach_m:
        yield Given(value=number(eye.LOWEST_CONTRAST), says="least contrast that is read at any size")
        return
    at = letters_before(
        viewer, settings, distance_m=reach_m, letter_mm=m.letter_mm, stroke_mm=m.stroke_mm, ratio=m.ratio_met
    )
    yield Given(
        value=number(at.stroke_arcmin, "′"),
        says=f"strokes as seen from there, in minutes of arc; an eye chart's would be {number(at.usual_arcmin, '′')}",
    )
    yield Given(
        value=number(at.effective_contrast),
        says="contrast that counts: "
        + (f"the strokes keep {number(at.stroke_kept)} of it in the eye" if at.stroke_kept < 1 else "all of it"),
    )
    yield Given(value=number(at.size_factor), says="times the size of black letters, for that contrast")
    yield Given(value=number(at.light_factor), says=f"times, for {number(settings.luminance_cdm2)} cd/m² of light")
    yield Given(value=number(viewer.k), says="times the limit of a young corrected eye, for this viewer")
    yield Given(
        value=number(at.wanted_arcmin, "′"),
        says=f"letter height wanted: {number(eye.LIMIT_ARCMIN, '′')} times these three",
    )
    yield Given(value=number(m.letter_mm, "mm"), says="letter height, which fills that angle from the distance below")

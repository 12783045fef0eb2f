"""One element of a finished audit -> its explanation."""

from dataclasses import replace

from standback.artwork import Artwork
from standback.elements import DRAWN_SHAPE
from standback.errors import UsageError
from standback.explain.line import line_steps
from standback.explain.model import Explanation
from standback.explain.shapes import detail_steps, figure_steps
from standback.findings import PosterReport
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement
from standback.measure.notice import adapting
from standback.places import place_in_words
from standback.settings import Settings

_KINDS = {"L": "lines of text", "D": "patches of fine detail", "F": "figures"}


def explain(poster: PosterReport, artwork: Artwork, settings: Settings, element_id: str) -> Explanation:
    """Explain one element.

    Parameters
    ----------
    poster
        The audit of `artwork` with `settings`, masks included.
    element_id
        Such as "L03", whatever its case.

    Raises
    ------
    UsageError
        If there is no such element; the message tells which there are.
    """
    elements: tuple[Element, ...] = (*poster.elements, *poster.details, *poster.figures)
    found = next((element for element in elements if element.id == element_id.strip().upper()), None)
    if found is None:
        raise UsageError(f"there is no element '{element_id.strip()[:20]}' on it; there are {_listed(elements)}")
    settings = replace(settings, stock=poster.artwork.stock)
    places, sheet = poster.stations, adapting(artwork, settings.stock)
    match found:
        case Measurement():
            what = "line of text"
            steps = tuple(line_steps(found, poster.elements, artwork, settings, places, sheet))
        case DetailMeasurement():
            what = found.detail.kind if found.detail.kind == DRAWN_SHAPE else f"fine detail, {found.detail.kind}"
            steps = tuple(detail_steps(found, artwork, settings, places, sheet))
        case FigureMeasurement():
            what = "picture" if found.figure.picture else "figure"
            steps = tuple(figure_steps(found, artwork, settings, places, sheet))
    where = place_in_words(found.box_mm, artwork.width_mm, artwork.height_mm)
    return Explanation(
        file=poster.file,
        id=found.id,
        what=f"{what}, {where}",
        steps=steps,
        findings=tuple(finding for finding in poster.findings if found.id in finding.elements),
        doubts=tuple(doubt.says for doubt in found.doubts),
    )


def _listed(elements: tuple[Element, ...]) -> str:
    """Say which elements there are, kind by kind, first to last."""
    said = []
    for letter, kind in _KINDS.items():
        ids = [element.id for element in elements if element.id.startswith(letter)]
        if ids:
            said.append(f"{ids[0]} ({kind})" if len(ids) == 1 else f"{ids[0]} to {ids[-1]} ({kind})")
    return ", ".join(said) or "none: nothing was found on it"

"""How it comes about that an element is noticed, and from where."""

import numpy as np

from standback.explain.model import Given, Step, number
from standback.measure.model import SeenAt
from standback.measure.notice import jnd_of
from standback.numbers import distance
from standback.settings import Settings, Station
from standback.target import FARTHEST_M, Target
from standback.visibility import looked_at

_SOURCE = (
    "What is just visible: Watson & Ahumada (2005). The light: castleCSF (2024). What the eye is adapted to: after "
    "Peli (1990)."
)
STATE_SOURCE = "The first of these distances that is at least as far."


def jnd_step(target: Target, place: Station, seen: SeenAt, settings: Settings, *, what: str = "it stands out") -> Step:
    """Explain how far above the threshold of detection an element is from a station."""
    at = looked_at(target, settings.viewer.sharp_m(place.distance_m))
    strongest = at.contrast.flat[int(np.abs(at.contrast).argmax())]
    adapted1 = float(np.median(at.adapting1))
    return Step(
        title=f"How clearly {what} from {place.name}, {distance(place.distance_m)}",
        source=_SOURCE,
        givens=(
            Given(
                value=number(adapted1),
                says="luminance that the eye is adapted to there, white being 1, what is looked at taken away",
            ),
            Given(value=number(adapted1 * settings.luminance_cdm2, "cd/m²"), says="the same in this light"),
            Given(value=number(float(strongest)), says="strongest contrast of any point of it to that"),
            Given(
                value=number(at.px_per_deg),
                says="points a degree, weighted by how well the eye makes out each fineness, and pooled",
            ),
            *_aged(settings),
        ),
        key=f"seen.{place.name}.jnd",
        result=seen.jnd,
        says="times what is just visible",
    )


def carry_step(
    target: Target, carry_m: float, settings: Settings, *, key: str = "carry_m", nearest: float | None = None
) -> Step:
    """Explain from how far an element is noticed, or its parts are told apart.

    Parameters
    ----------
    nearest
        Another distance that bounds it, None where there is none.
    """
    parts = key == "resolve_m"
    givens = [Given(value=number(settings.limits.noticed_jnd), says="times just visible is wanted (ours)")]
    if carry_m:
        givens.append(Given(value=number(jnd_of(target, carry_m, settings)), says="times, from the distance below"))
    else:
        givens.append(Given(value="never", says="reached at any distance"))
    if nearest is not None:
        givens.append(Given(value=number(nearest, "m"), says="carry: parts are told apart no farther than all is seen"))
    says = "its parts are told apart to here" if parts else "it is noticed to here"
    if carry_m >= FARTHEST_M:
        says += ", where the search ends"
    return Step(
        title="How far its parts are told apart" if parts else "How far it is noticed",
        source=_SOURCE,
        givens=tuple(givens),
        key=key,
        result=carry_m,
        unit="m",
        says=says,
    )


def _aged(settings: Settings) -> tuple[Given, ...]:
    factor = settings.viewer.contrast_factor
    return (Given(value=number(factor), says="of the contrast is made use of at this age"),) if factor != 1 else ()

"""Two audited drafts of one poster -> what was mended, what got worse, what is new, what stayed."""

from standback.drafts.likeness import Trace, traces_of
from standback.drafts.matching import Frame, matching
from standback.drafts.model import Comparison, Pair
from standback.drafts.outcomes import outcomes_of
from standback.drafts.values import values_of
from standback.findings import PosterReport
from standback.measure.model import Element, Measurement
from standback.measure.tiers import near_colours


def compared(before: PosterReport, after: PosterReport) -> Comparison:
    """Compare two drafts of one poster; both reports must still hold the ink masks."""
    was, now = traces_of(before), traces_of(after)
    found = matching(was, now, before_mm=_trim_mm(before), after_mm=_trim_mm(after))
    elements_were, elements_are = _by_id(before), _by_id(after)
    failed: dict[str, set[str]] = {}
    for fault in after.faults:
        if fault.waived is None:
            for element in fault.elements:
                failed.setdefault(element, set()).add(fault.check)
    pairs = [
        Pair(
            kind=was[match.before].kind,
            before=(a := was[match.before]).id,
            after=(b := now[match.after]).id,
            likeness=match.likeness,
            moved_mm=_moved_mm(a, b, found.frame),
            inks=(a.ink, b.ink),
            grounds=(a.ground, b.ground),
            stations=_stations(elements_were[a.id], elements_are[b.id]),
            recoloured=not (near_colours(a.ink, b.ink) and near_colours(a.ground, b.ground)),
            values=values_of(elements_were[a.id], elements_are[b.id], failed.get(b.id, set())),
        )
        for match in found.matches
    ]
    known = {match.before for match in found.matches}, {match.after for match in found.matches}
    pairs += [Pair(kind=a.kind, before=a.id, after=None) for n, a in enumerate(was) if n not in known[0]]
    pairs += [Pair(kind=b.kind, before=None, after=b.id) for n, b in enumerate(now) if n not in known[1]]
    return Comparison(
        before=before,
        after=after,
        pairs=tuple(pairs),
        outcomes=outcomes_of(before, after, pairs, elements_were, elements_are),
    )


def _trim_mm(poster: PosterReport) -> tuple[float, float]:
    return poster.artwork.width_mm, poster.artwork.height_mm


def _by_id(poster: PosterReport) -> dict[str, Element]:
    return {m.id: m for m in poster.found}


def _stations(was: Element, now: Element) -> tuple[str, str] | None:
    if isinstance(was, Measurement) and isinstance(now, Measurement):
        return was.station, now.station
    return None


def _moved_mm(a: Trace, b: Trace, frame: Frame) -> tuple[float, float]:
    """Return how far an element moved, by what moved least: an edge or the middle, as it was aligned."""
    was, now = a.box_mm, frame.box(b.box_mm)
    by = [
        min((now[low] - was[low], (now[low] + now[high] - was[low] - was[high]) / 2, now[high] - was[high]), key=abs)
        for low, high in ((0, 2), (1, 3))
    ]
    return by[0], by[1]


__all__ = ["compared"]

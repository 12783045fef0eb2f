"""What became of a poster from one draft to the next as JSON: schema `standback.compare/1`."""

from typing import Any

from standback import __version__
from standback.drafts.model import Comparison, Fault, Outcome, Pair, Run
from standback.findings import Finding, PosterReport
from standback.light import to_hex
from standback.reports import compare_words
from standback.reports.as_json import settings_block
from standback.reports.jsonable import plain, text_of

SCHEMA = "standback.compare/1"


def dumps(run: Run) -> str:
    """Return the document as text; the same run gives the same bytes."""
    return text_of(document(run))


def document(run: Run) -> dict[str, Any]:
    """Return the comparison as plain dicts, lists, numbers and text, every key present.

    Where a draft could not be read there is nothing to compare: `before` and `after` are null then.
    """
    comparison = run.comparison
    whole: dict[str, Any] = plain(
        {
            "schema": SCHEMA,
            "version": __version__,
            "settings": settings_block(run.settings),
            "verdict": None if comparison is None else "pass" if comparison.passed else "fail",
            "worse": None if comparison is None else comparison.worse,
            "summary": None if comparison is None else _summary(comparison),
            "before": None if comparison is None else _draft(comparison.before),
            "after": None if comparison is None else _draft(comparison.after),
            "elements": [] if comparison is None else [_pair(pair, comparison) for pair in comparison.pairs],
            "findings": [] if comparison is None else [_outcome(outcome) for outcome in comparison.outcomes],
            "unreadable": [{"file": u.file, "why": u.why} for u in run.unreadable],
            "exit_code": run.exit_code,
        }
    )
    return whole


def _summary(comparison: Comparison) -> str:
    verdict = compare_words.verdict(comparison)
    return f"{verdict[0].upper()}{verdict[1:]}. {compare_words.summary(comparison)}"


def _draft(poster: PosterReport) -> dict[str, Any]:
    return {
        "file": poster.file,
        "verdict": poster.verdict,
        "summary": poster.summary,
        "artwork": poster.artwork,
        "far_assumed": poster.far_assumed,
        "stations": poster.stations,
    }


def _pair(pair: Pair, comparison: Comparison) -> dict[str, Any]:
    """Return an element with its place and colours in both drafts."""
    boxes_mm = [
        next((m.box_mm for m in poster.found if m.id == name), None)
        for name, poster in ((pair.before, comparison.before), (pair.after, comparison.after))
    ]
    return {
        "kind": pair.kind,
        "before": pair.before,
        "after": pair.after,
        "likeness": pair.likeness,
        "box_mm_before": boxes_mm[0],
        "box_mm_after": boxes_mm[1],
        "moved_mm": pair.moved_mm,
        "recoloured": pair.recoloured,
        "ink": _both(pair.inks and (to_hex(pair.inks[0]), to_hex(pair.inks[1]))),
        "ground": _both(pair.grounds and (to_hex(pair.grounds[0]), to_hex(pair.grounds[1]))),
        "station": _both(pair.stations),
        "values": pair.values,
    }


def _both(pair: tuple[str, str] | None) -> dict[str, str] | None:
    return None if pair is None else {"before": pair[0], "after": pair[1]}


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        "fate": outcome.fate,
        "check": outcome.check,
        "rank": outcome.rank,
        "counts": outcome.counts,
        "faults": [_fault(fault) for fault in outcome.faults],
        "also": [_fault(fault) for fault in outcome.also],
    }


def _fault(fault: Fault) -> dict[str, Any]:
    return {
        "check": fault.check,
        "fate": fault.fate,
        "element_before": None if fault.pair is None else fault.pair.before,
        "element_after": None if fault.pair is None else fault.pair.after,
        "measured_before": fault.measured_before,
        "measured_after": fault.measured_after,
        "needed_before": fault.needed_before,
        "needed_after": fault.needed_after,
        "unit": fault.found.unit,
        "counts": fault.counts,
        "before": _found(fault.before),
        "after": _found(fault.after),
    }


def _found(finding: Finding | None) -> dict[str, Any] | None:
    if finding is None:
        return None
    return {
        "severity": finding.severity.word,
        "measured": finding.measured,
        "needed": finding.needed,
        "shortfall": finding.shortfall,
        "says": finding.says,
        "waived": finding.waived,
    }

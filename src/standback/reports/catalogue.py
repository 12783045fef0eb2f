"""The checks in words: which there are, and of each why, what it asks for, and where that comes from."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from string import Formatter

from standback.checks import Check
from standback.reports.wrapping import columns, wrap
from standback.settings import Limits

_GAP = 2


def list_checks(checks: Sequence[Check], *, width: int) -> str:
    """Return one line for each check: its id and title."""
    at = max(columns(check.id) for check in checks) + _GAP
    lines = [line for check in checks for line in _hung(check.id, check.title, at=at, width=width)]
    more = "'standback checks ID' tells of one why it matters, what it asks for, and where that comes from."
    return "\n".join([*lines, "", *wrap(more, width, columns), ""])


def tell_check(check: Check, limits: Limits, *, width: int) -> str:
    """Return all there is to say of one check."""
    named = limits_of(check)
    parts = {
        "Why": check.rationale,
        "Asks for": _sentence(_filled(check.asks, limits)),
        "Severity": _sentence(_filled(check.severity, limits)),
        "Source": _sentence(check.source),
    }
    if named:
        values = ", ".join(f"{name} = {getattr(limits, name):g}" for name in named)
        parts["Limits"] = f"{values}; a brief can change them."
    at = max(map(columns, parts)) + _GAP
    lines = [*wrap(f"{check.id}: {check.title}", width, columns), ""]
    for label, text in parts.items():
        lines += _hung(label, text, at=at, width=width)
    return "\n".join([*lines, ""])


def limits_of(check: Check) -> tuple[str, ...]:
    """Return the names of the limits that a check goes by, in the order it names them."""
    fields = (name for _, name, _, _ in Formatter().parse(f"{check.asks} {check.severity}") if name)
    return tuple(dict.fromkeys(fields))


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].removesuffix('.')}."


def _filled(text: str, limits: Limits) -> str:
    return text.format_map(asdict(limits))


def _hung(label: str, text: str, *, at: int, width: int) -> Iterator[str]:
    """Yield text wrapped at column `at`, with a label in front of its first line."""
    for line in wrap(text, width - at, columns):
        yield f"{label}{' ' * (at - columns(label))}{line}"
        label = ""

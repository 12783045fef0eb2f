"""How one element's numbers came about, as a calculation that is read from top to bottom."""

from collections.abc import Iterator

from standback.checks import title_of
from standback.checks.against import against
from standback.explain.model import Explanation, Step
from standback.findings import Finding
from standback.reports.jsonable import plain
from standback.reports.wrapping import clean, columns, wrap

NARROWEST, WIDEST = 40, 100
_NUMBER = 14
_GAP = 3
_AS_ABOVE = "Sources as above."
_BOLD, _FAINT = "1", "2"


def render(explanation: Explanation, *, width: int, colour: bool) -> str:
    """Return the explanation as text.

    Parameters
    ----------
    width
        Columns of the terminal.
    colour
        Whether to use escape codes for weight.
    """
    page = min(max(width, NARROWEST), WIDEST)

    def style(text: str, codes: str) -> str:
        return f"\x1b[{codes}m{text}\x1b[0m" if colour and codes else text

    lines = [style(line, _BOLD) for line in wrap(f"{explanation.id}: {explanation.what}", page, columns)]
    lines += wrap(clean(explanation.file), page, columns)
    for finding in explanation.findings:
        lines += _finding(finding, page)
    if not explanation.findings:
        lines.append("No finding names it.")
    for doubt in explanation.doubts:
        lines += wrap(f"Doubt: {doubt}", page, columns)
    told: set[str] = set()
    for count, step in enumerate(explanation.steps, start=1):
        label = f"{count}. "
        first, *more = wrap(step.title, page - len(label), columns)
        lines += ["", style(label + first, _BOLD), *(" " * len(label) + line for line in more)]
        source = _AS_ABOVE if step.source in told else step.source
        told.add(step.source)
        lines += [style(" " * len(label) + line, _FAINT) for line in wrap(source, page - len(label), columns)]
        for given in step.givens:
            lines += _hung(given.value, given.says, page)
        lines += [style(line, _BOLD) for line in _hung(f"= {result_text(step)}", f"{step.key}: {step.says}", page)]
    return "\n".join([*lines, ""])


def result_text(step: Step) -> str:
    """Write a result with as many digits as the JSON has."""
    value = plain(step.result)
    if value is None:
        return "null"
    text = f"{value:.6g}" if isinstance(value, float) else str(value)
    return f"{text} {step.unit}".rstrip()


def _hung(value: str, says: str, page: int) -> Iterator[str]:
    for line in wrap(says, page - _NUMBER - _GAP, columns):
        yield f"{value.rjust(_NUMBER)}{' ' * _GAP}{line}".rstrip()
        value = ""


def _finding(finding: Finding, page: int) -> Iterator[str]:
    said = against(finding)
    text = f"Finding {finding.rank}, {finding.severity.word}: {title_of(finding.check)} ({finding.check})"
    text += f": {said}." if said else "."
    if finding.waived is not None:
        text += f" Waived: {finding.waived}"
    yield from wrap(clean(text), page, columns)

"""What became of a poster from one draft to the next, for a terminal."""

from collections.abc import Iterator, Sequence

from standback.checks import title_of
from standback.drafts.model import Comparison, Fate, Outcome
from standback.findings import Severity
from standback.reports import compare_words as said
from standback.reports import words
from standback.reports.terminal import BOLD, FAINT, INDENT, SEVERITY_COLOURS, VERDICT_COLOURS, Page, within

_AT = 8


def render(comparison: Comparison, *, width: int, colour: bool) -> str:
    """Return the whole comparison as text.

    Parameters
    ----------
    width
        Columns of the terminal.
    colour
        Whether to use escape codes for weight and for the colours of severity; without, the text is plain.
    """
    page = Page(width=within(width), colour=colour)
    verdict = "pass" if comparison.passed else "fail"
    lines = page.text(f"{comparison.before.file} → {comparison.after.file}", style=BOLD)
    lines += page.hung(verdict, said.verdict(comparison), at=6, indent=0, label_style=VERDICT_COLOURS[verdict])
    lines += page.text(said.judged_for(comparison), indent=6)
    lines += [line for text in said.printed(comparison) for line in page.text(text, indent=6)]
    lines += ["", *page.text(said.summary(comparison))]
    for heading, fates in said.SECTIONS:
        if fates == (Fate.GONE,) and not comparison.of(*fates):
            continue
        lines += ["", *_section(page, heading, comparison.of(*fates), comparison)]
    lines += ["", *_otherwise(page, comparison)]
    return "\n".join([*lines, "", *page.text(words.CAUTION, style=FAINT), ""])


def _section(page: Page, heading: str, outcomes: Sequence[Outcome], comparison: Comparison) -> Iterator[str]:
    if not outcomes:
        yield from page.hung(heading, said.NOTHING, at=len(heading) + 2, indent=0, label_style=BOLD)
        return
    yield page.style(heading, BOLD)
    for outcome in outcomes:
        yield from _outcome(page, outcome, comparison)


def _outcome(page: Page, outcome: Outcome, comparison: Comparison) -> Iterator[str]:
    severity: Severity = said.severity(outcome)
    title = page.text(title_of(outcome.check), indent=_AT, style=BOLD)
    label = page.style(severity.word, SEVERITY_COLOURS[severity])
    yield " " * INDENT + label + " " * (_AT - INDENT - len(severity.word)) + title[0][_AT:]
    yield from title[1:]
    for text in (said.elements(outcome, comparison), *said.told(outcome)):
        yield from page.text(text, indent=_AT)


def _otherwise(page: Page, comparison: Comparison) -> Iterator[str]:
    """Say what changed beside the findings."""
    told = said.otherwise(comparison)
    if not told:
        yield from page.hung("Otherwise changed", said.NOTHING, at=19, indent=0, label_style=BOLD)
        return
    yield page.style("Otherwise changed", BOLD)
    for text in told:
        yield from page.text(text, indent=INDENT)

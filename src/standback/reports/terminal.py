"""The report a person reads in a terminal."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from standback.checks import title_of
from standback.checks.against import against
from standback.findings import Finding, NotJudged, PosterReport, Report, Severity, Suggestion, Unreadable
from standback.measure.model import Measurement
from standback.numbers import distance
from standback.reports import words
from standback.reports.wrapping import clean, columns, wrap

NARROWEST, WIDEST = 40, 120
"""Columns between which the report keeps, whatever the terminal's width (ours)."""
MOST_LINES = 4
"""Lines named at one step of the walk-up; the rest are counted (ours)."""

INDENT = 2
_FINDING_INDENT = 12
_REMARK_INDENT = 6
_DRAWN_INDENT = 13
BOLD, FAINT = "1", "2"
SEVERITY_COLOURS = {Severity.FAIL: "1;31", Severity.WARN: "33", Severity.NOTE: "36"}
VERDICT_COLOURS = {"fail": "1;31", "pass": "1;32"}


def render(report: Report, *, width: int, colour: bool) -> str:
    """Return the whole report as text.

    Parameters
    ----------
    width
        Columns of the terminal.
    colour
        Whether to use escape codes for weight and for the colours of severity; without, the text is plain.
    """
    page = Page(width=within(width), colour=colour)
    blocks = [_poster(page, poster) for poster in report.posters]
    if report.unreadable:
        blocks.append([page.style("Could not be read", BOLD), *_unreadable(page, report.unreadable)])
    if not blocks:
        blocks.append(page.text("There was no artwork to audit."))
    rule = page.style("─" * page.width, FAINT)
    lines = blocks[0]
    for block in blocks[1:]:
        lines = [*lines, "", rule, "", *block]
    return "\n".join([*lines, "", *_tally(page, report), *page.text(words.CAUTION, style=FAINT), ""])


def within(width: int) -> int:
    """Return the columns that text is set in on a terminal of so many."""
    return min(max(width, NARROWEST), WIDEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """Where text is set: how wide, and whether weight and colour may be used."""

    width: int
    colour: bool

    def style(self, text: str, codes: str) -> str:
        """Give text weight or colour, where either may be used."""
        return f"\x1b[{codes}m{text}\x1b[0m" if self.colour and codes and text else text

    def text(self, text: str, *, indent: int = 0, style: str = "") -> list[str]:
        """Set text wrapped behind an indent."""
        lines = wrap(clean(text), self.width - indent, columns)
        return [" " * indent + self.style(line, style) for line in lines]

    def hung(
        self, label: str, text: str, *, at: int, indent: int = INDENT, style: str = "", label_style: str = ""
    ) -> list[str]:
        """Set text wrapped at column `at`, with a label hung in front of its first line."""
        lines = self.text(text, indent=at, style=style) or [""]
        gap = " " * (at - indent - columns(label))
        first = " " * indent + self.style(label, label_style) + gap + lines[0][at:]
        return [first.rstrip(), *lines[1:]]


def _poster(page: Page, poster: PosterReport) -> list[str]:
    lines = [*page.text(poster.file, style=BOLD)]
    colour = VERDICT_COLOURS[poster.verdict]
    lines += page.hung(poster.verdict, words.judged_for(poster), at=6, indent=0, label_style=colour)
    lines += page.text(words.printed(poster.artwork), indent=6)
    lines += [line for doubt in poster.artwork.doubts for line in page.text(f"Doubt: {doubt.says}", indent=6)]
    lines += ["", *page.text(poster.summary)]
    if poster.elements:
        lines += ["", page.style("Walk-up", BOLD), *_walk_up(page, poster)]
        said = "; ".join(step.says for step in poster.walk_up if step.says)
        lines += page.text(f"Looks, estimated: {said}." if said else "", indent=INDENT)
        lines += page.text(words.other_viewers(poster), indent=INDENT, style=FAINT)
    lines += ["", *page.hung("Findings", words.tally(poster.findings), at=10, indent=0, label_style=BOLD)]
    for finding in poster.findings:
        lines += [*_finding(page, finding, poster), ""]
    if not poster.findings:
        lines.append("")
    if poster.remarks:
        lines += [page.style("Remarks", BOLD), *_remarks(page, poster), ""]
    if poster.suggestion is not None:
        lines += [page.style("Suggestion picture", BOLD), *_suggestion(page, poster.suggestion), ""]
    if poster.carries:
        lines += [page.style("What carries", BOLD), *_carries(page, poster), ""]
    lines += page.hung("Print", words.print_line(poster.artwork), at=7, indent=0, label_style=BOLD)
    for index, text in enumerate(poster.unmatched):
        lines += page.hung("" if index else "Brief", text, at=7, indent=0, label_style=BOLD)
    for index, text in enumerate(poster.live_text):
        lines += page.hung("" if index else "Text", text, at=7, indent=0, label_style=BOLD)
    lines += _not_judged(page, poster.not_judged)
    return lines


def _walk_up(page: Page, poster: PosterReport) -> Iterator[str]:
    """Say what is read from far, and what each step nearer adds."""
    labels = [f"from {distance(step.distance_m)}" for step in poster.walk_up]
    at = INDENT + max(map(len, [*labels, "not read"])) + 2
    read: set[str] = set()
    for label, step in zip(labels, poster.walk_up, strict=True):
        new = [line for line in poster.elements if line.id in step.reads and line.id not in read]
        plus = "+ " if read else ""
        read.update(line.id for line in new)
        said = plus + _named(new, poster) if new else "nothing more" if read else "nothing"
        yield from page.hung(label, said, at=at)
    never = [line for line in poster.elements if line.id not in read]
    if never and poster.walk_up:
        yield from page.hung("not read", _named(never, poster), at=at)


def _named(lines: Sequence[Measurement], poster: PosterReport) -> str:
    """Name the tallest lines, those of one place and height together, and count the others."""
    tallest = sorted(lines, key=lambda line: -line.letter_mm)[:MOST_LINES]
    alike: dict[str, list[str]] = {}
    for line in tallest:
        alike.setdefault(words.line_place(line, poster.artwork), []).append(line.id)
    named = [f"{', '.join(ids)} ({place})" for place, ids in alike.items()]
    rest = len(lines) - len(tallest)
    return "; ".join([*named, words.plural(rest, "more line")] if rest else named)


def _finding(page: Page, finding: Finding, poster: PosterReport) -> Iterator[str]:
    rank, word = f"{finding.rank:>2}", finding.severity.word
    waived = finding.waived is not None
    style = FAINT if waived else SEVERITY_COLOURS[finding.severity]
    name = title_of(finding.check) + (", waived" if waived else "")
    title = page.text(name, indent=_FINDING_INDENT, style=BOLD)
    head = f"  {rank}  {page.style(word, style)}"
    yield head + " " * (_FINDING_INDENT - 6 - len(word)) + title[0][_FINDING_INDENT:]
    yield from title[1:]
    said = [
        words.places(finding, poster),
        against(finding) or "",
        finding.says,
        f"Change: {finding.change}" if finding.change else "",
        *(f"Doubt: {doubt.says}" for doubt in finding.doubts),
        f"Waived: {finding.waived}" if finding.waived is not None else "",
    ]
    for text in said:
        yield from page.text(text, indent=_FINDING_INDENT)
    if not waived:
        yield from page.text(words.other_viewers_reach(finding, poster), indent=_FINDING_INDENT, style=FAINT)


def _remarks(page: Page, poster: PosterReport) -> Iterator[str]:
    for index, remark in enumerate(poster.remarks):
        label, place = words.remark_letter(index), words.remark_spot(remark, poster.artwork)
        yield from page.hung(label, place, at=_REMARK_INDENT)
        yield from page.text(remark.text, indent=_REMARK_INDENT)


def _suggestion(page: Page, suggestion: Suggestion) -> Iterator[str]:
    """Say which changes the picture shows, by the rank of the finding, and which it does not."""
    drawn = [f"{rank} ({words.joined(elements)})" for rank, elements in suggestion.drawn]
    yield from page.hung("drawn", ", ".join(drawn) or "nothing", at=_DRAWN_INDENT)
    label = "not drawn"
    for why in dict.fromkeys(one.why for one in suggestion.not_drawn):
        left_out = [f"{one.rank} ({words.joined(one.elements)})" for one in suggestion.not_drawn if one.why == why]
        yield from page.hung(label, f"{', '.join(left_out)}: {why}", at=_DRAWN_INDENT)
        label = ""


def _carries(page: Page, poster: PosterReport) -> Iterator[str]:
    for item in poster.carries[:5]:
        yield from page.text(words.carries(item, poster), indent=INDENT)


def _not_judged(page: Page, not_judged: Sequence[NotJudged]) -> list[str]:
    """Say quietly what was not judged: the reasons; the checks behind them are in the JSON."""
    reasons = "; ".join(dict.fromkeys(item.why for item in not_judged))
    return page.text(f"Not judged: {reasons}.", style=FAINT) if reasons else []


def _unreadable(page: Page, unreadable: Sequence[Unreadable]) -> Iterator[str]:
    for item in unreadable:
        yield from page.text(item.file, indent=INDENT)
        yield from page.text(item.why, indent=2 * INDENT)


def _tally(page: Page, report: Report) -> list[str]:
    """Close a batch: how many passed, failed, could not be read."""
    count = len(report.posters) + len(report.unreadable)
    if count < 2:
        return []
    passed = sum(poster.passed for poster in report.posters)
    parts = [f"{passed} pass", f"{len(report.posters) - passed} fail"]
    if report.unreadable:
        parts.append(f"{len(report.unreadable)} could not be read")
    return page.text(f"{count} posters: {', '.join(parts)}.", style=BOLD)

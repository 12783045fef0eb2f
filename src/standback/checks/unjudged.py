"""What was not judged on an artwork, named in every report so that silence is never taken for a pass."""

from collections import Counter
from collections.abc import Iterator

from standback.checks.contrast import too_thin_to_tell
from standback.checks.facts import announces, known_enough
from standback.checks.focus import LEAST_EXPLAINED, explained
from standback.checks.misread import lost
from standback.findings import NotJudged
from standback.measure.model import Measurements
from standback.settings import Limits

_UNREAD = "the wording is not read (--read does)"


def not_judged(measured: Measurements, limits: Limits) -> tuple[NotJudged, ...]:
    """Return the checks that this artwork gives no hold for."""
    lines = (*_logos(measured), *_too_thin(measured, limits), *_wording(measured), *_spacing(measured))
    return (*lines, *_no_hold(measured, limits), *_arrangement(measured))


def _logos(measured: Measurements) -> Iterator[NotJudged]:
    """Name the lines that nothing is asked of because they are taken for lettering of logos."""
    if found := [m.id for m in measured.lines if m.logo]:
        which = f"{', '.join(found)}, taken for the lettering of {'a logo' if len(found) == 1 else 'logos'}"
        for check in ("faint-text", "short-reach"):
            yield NotJudged(check=check, why=f"{which} (a brief that speaks of it has it judged)")


def _too_thin(measured: Measurements, limits: Limits) -> Iterator[NotJudged]:
    """Name the lines whose contrast can't be told from their blur."""
    if found := [m.id for m in measured.lines if too_thin_to_tell(m, limits)]:
        strokes = "strokes of so few pixels hide some of their ink"
        yield NotJudged(check="faint-text", why=f"{', '.join(found)}: {strokes} (export it finer)")


def _wording(measured: Measurements) -> Iterator[NotJudged]:
    """Name what can't be said without the wording, and the lines that a reader is lost with."""
    read = any(m.read for m in measured.lines)
    if measured.lines and not read and not any(m.said for m in measured.lines):
        yield NotJudged(check="missing-facts", why=_UNREAD)
    elif measured.lines and not known_enough(measured):
        yield NotJudged(check="missing-facts", why="not enough of the lines could be read")
    elif measured.lines and not announces(measured):
        why = "nothing that was read announces something that people go to"
        yield NotJudged(check="missing-facts", why=why)
    if measured.lines and not read:
        yield NotJudged(check="misread", why=_UNREAD)
    if count := sum(lost(m) for m in measured.lines):
        lines = "1 line" if count == 1 else f"{count} lines"
        yield NotJudged(check="misread", why=f"the reader can make nothing of {lines} whose wording is known")


def _spacing(measured: Measurements) -> Iterator[NotJudged]:
    """Name the reasons why letter spacing was not measured, and of how many lines."""
    reasons = Counter(m.spacing.unmeasured for m in measured.lines if m.spacing and m.spacing.unmeasured)
    if reasons:
        named = ", ".join(f"{count} {'line' if count == 1 else 'lines'} with {why}" for why, count in reasons.items())
        for check in ("loose-spacing", "uneven-pair"):
            yield NotJudged(check=check, why=f"letter spacing is not measured of {named}")
    if measured.lines and not any(m.wording for m in measured.lines):
        yield NotJudged(check="tight-spacing", why="letters that touch are not counted without the wording")


def _arrangement(measured: Measurements) -> Iterator[NotJudged]:
    said = any(m.said for m in measured.lines)
    if measured.elements and not said and not any(group.whence == "brief" for group in measured.arrangement.groups):
        yield NotJudged(check="torn-group", why="what belongs together is not known without a brief's groups")
    if measured.elements and explained(measured) < LEAST_EXPLAINED:
        why = "by sizes alone: most of what draws the eye first is nothing that was found as a line or a figure"
        yield NotJudged(check="no-lead", why=why)


def _no_hold(measured: Measurements, limits: Limits) -> Iterator[NotJudged]:
    sheet = measured.sheet
    if sheet is None:
        return
    px_per_mm = sheet.ppi / 25.4
    if limits.hairline_mm * px_per_mm < limits.hairline_least_px:
        part = "positive " if limits.reversed_hairline_mm * px_per_mm >= limits.hairline_least_px else ""
        pixels = "the pixels that the PDF is drawn with" if sheet.drawn else "the artwork's pixels show"
        why = f"{part}strokes too thin to print are finer than {pixels}"
        yield NotJudged(check="hairline", why=why)
    if sheet.drawn:
        yield NotJudged(check="many-inks", why="the inks of a PDF are not told apart")
        yield NotJudged(check="coarse-artwork", why="the resolution of pictures inside a PDF is not measured")
        return
    if not sheet.cmyk:
        yield NotJudged(check="many-inks", why="the artwork's colours are no inks yet (it is not CMYK)")
    if sheet.sharpness_ppi is None:
        yield NotJudged(check="coarse-artwork", why="nothing on the artwork has an edge to judge sharpness by")

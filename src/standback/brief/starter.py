"""A brief to begin with: the lines found on a poster, and everything else asleep as a comment.

It changes no verdict: tiers stay comments even where they are right, since a tier that somebody has
written down is judged more strictly than a guess.
"""

from collections.abc import Iterator
from math import ceil, floor

from standback.brief.limits import DEFAULTS
from standback.brief.model import ROLES
from standback.findings import ArtworkFacts, PosterReport
from standback.measure.model import Measurement
from standback.numbers import millimetres
from standback.places import place_in_words
from standback.settings import MID_SHARE, NEAR_M, VIEWERS, Settings
from standback.sheet import TRADE_SIZES, trade_size_of
from standback.stock import STOCKS

_ABOUT_LINES = f"""\
# The lines of text that were found, in reading order. Each is known by its box. Of each you can say:
#   name      a word to call it by, in groups and waivers
#   tier      "lead" must be read from far, "support" from mid, "small" from near
#   station   from where it must be read if not as its tier says: "far", "mid" or "near"
#   role      what it is: {", ".join(ROLES[: len(ROLES) // 2])},
#             {", ".join(ROLES[len(ROLES) // 2 :])}
#   group     the name of a group it belongs to
#   wording   what it says, word for word
# In place of a box, a place will do: in words, as standback writes them ("top left", "across the middle"),
# or as a point in mm from the left and from the top, such as [210, 80]. A box or words hold for all the
# lines that are there, a point for one."""

_EXAMPLES = """\
# The drawings and parts of pictures that must be seen from far.
# [[figures]]
# name = "drawing"
# box = [60, 180, 360, 420]

# What belongs together, and so should stand together: the names of lines and figures.
# [groups]
{group}

# What you know and accept: these findings stay in the report, with your reason, but count no more.
# Say which check, which line, place or box, or both.
# [[waivers]]
# check = "short-reach"
# place = "bottom right"
# reason = "the sponsors ask for this size"

# Your own words about a place, to stand in the report beside the findings.
# [[remarks]]
# place = "top left"
# text = "more air here"
"""


def starter_brief(report: PosterReport, settings: Settings | None = None) -> str:
    """Return a commented brief with the lines of a report, which changes no verdict as it stands.

    Parameters
    ----------
    settings
        Those of the audit; the usual ones if left out.
    """
    settings = settings or Settings()
    return "\n".join([*_head(report, settings), *_limits(), *_lines(report), *_examples(report)])


def _head(report: PosterReport, settings: Settings) -> Iterator[str]:
    facts = report.artwork
    yield f"# What this poster must do: a brief for {_printable(report.file)}."
    yield "#"
    yield "# standback passes over what stands after a #. Take the # away to say it, or write your own."
    yield "# As it stands, this brief changes no verdict. Lengths and distances are written with their unit,"
    yield '# such as "3 mm" or "5 m"; a box is left, top, right and bottom in mm from the top left of the'
    yield "# trimmed sheet."
    yield ""
    yield "# The printed piece: its trimmed size, and the bleed that the file holds beyond it on each side."
    yield "[sheet]"
    if facts.size_from == "file":
        yield f'# size = "{_size(facts)}"'
    else:
        yield f'size = "{_size(facts)}"'
    yield f'bleed = "{_number(facts.bleed_mm)} mm"' if facts.bleed_mm else '# bleed = "3 mm"'
    yield f"# What it is printed on, one of {', '.join(STOCKS)}."
    stock = settings.stock
    yield f'{"" if stock else "# "}stock = "{stock.name if stock else next(iter(STOCKS))}"'
    yield ""
    yield f"# Where the viewer first meets the poster: far. Mid is {MID_SHARE:g} of it, near is {NEAR_M:g} m."
    yield "[viewing]"
    far_m = report.stations[0].distance_m
    yield f'{"# " if report.far_assumed else ""}from = "{_number(far_m)} m"'
    yield "# The light on the poster; who the public is; and the viewer whose reach decides, one of"
    yield f"# {', '.join(VIEWERS)}."
    yield from _sight(settings)
    yield ""


def _sight(settings: Settings) -> Iterator[str]:
    usual = Settings()
    said = {
        "light": (settings.illuminance_lx != usual.illuminance_lx, f'"{_number(settings.illuminance_lx)} lx"'),
        "age": (settings.age_years != usual.age_years, _number(settings.age_years)),
        "acuity": (
            settings.acuity_logmar != usual.acuity_logmar,
            f'"logMAR {_number(settings.acuity_logmar)}"' if settings.acuity_logmar else '"6/6"',
        ),
        "viewer": (settings.judged_for != usual.judged_for, f'"{settings.judged_for}"'),
    }
    yield from (f"{'' if given else '# '}{key} = {value}" for key, (given, value) in said.items())


def _limits() -> Iterator[str]:
    yield '# What the checks ask for, each as it is if you say nothing. "standback checks" tells more.'
    yield "[limits]"
    yield from (f"# {name} = {default!r}" for name, default in DEFAULTS.items())
    yield ""


def _lines(report: PosterReport) -> Iterator[str]:
    yield _ABOUT_LINES
    if not report.elements:
        yield "# None was found on this sheet."
    yield ""
    for number, line in enumerate(report.elements, start=1):
        yield from _line(number, line, report.artwork)


def _line(number: int, line: Measurement, facts: ArtworkFacts) -> Iterator[str]:
    place = place_in_words(line.box_mm, facts.width_mm, facts.height_mm)
    yield f"# {line.id} in the report: {place}, {millimetres(line.letter_mm)} letters"
    yield "[[lines]]"
    yield f'name = "{_name(number)}"'
    yield f"box = [{', '.join(_outward(line.box_mm))}]"
    yield f'# tier = "{line.tier}"'
    yield 'wording = ""'
    yield ""


def _examples(report: PosterReport) -> Iterator[str]:
    count = len(report.elements)
    first, second = (_name(number) for number in (max(count - 1, 1), max(count, 2)))
    yield _EXAMPLES.format(group=f'# when = ["{first}", "{second}"]')


def _name(number: int) -> str:
    return f"line {number}"


def _outward(box_mm: tuple[float, float, float, float]) -> Iterator[str]:
    """Write a box in tenths of a millimetre, none of it cut off."""
    x0, y0, x1, y1 = box_mm
    tenths = floor(x0 * 10), floor(y0 * 10), ceil(x1 * 10), ceil(y1 * 10)
    return (_number(side / 10) for side in tenths)


def _size(facts: ArtworkFacts) -> str:
    """Write the trim size: by its trade name if that is exact, or near to what a file's tag gives."""
    sides = {facts.width_mm, facts.height_mm}
    exact = next((size for size in TRADE_SIZES if {size.width_mm, size.height_mm} == sides), None)
    if exact is not None:
        return exact.name
    if facts.size_from != "file":
        return f"{_number(facts.width_mm)}x{_number(facts.height_mm)}mm"
    trade = trade_size_of(facts.width_mm, facts.height_mm)
    return trade.name if trade else f"{facts.width_mm:.1f}x{facts.height_mm:.1f}mm"


def _number(value: float) -> str:
    """Write a number so that it is read back the same: nine decimals, those of a distance in m."""
    return f"{value:.9f}".rstrip("0").rstrip(".")


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text)

"""Options that several commands share, how their values are read, and how the help lists them."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

import click

from standback import __version__
from standback.sheet import parse_bleed_mm, parse_distance_m, parse_size
from standback.sight import parse_acuity_logmar, parse_age_years, parse_light_lx
from standback.stock import STOCKS, Stock

MOST_DISTANCES = 8
"""Most distances in one walk-up (ours)."""

Function = TypeVar("Function", bound=Callable[..., Any])


@dataclass(slots=True)
class Run:
    """What holds for a whole run, whichever command it is."""

    debug: bool = False


class Value(click.ParamType):  # type: ignore[type-arg] # generic in newer click only
    """A value on the command line, read by a function that raises `ValueError` with a plain sentence."""

    def __init__(self, name: str, parse: Callable[[str], object]) -> None:
        self.name = name
        self._parse = parse

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> object:
        """Read the value, or refuse it as wrong usage."""
        if not isinstance(value, str):
            return value
        try:
            return self._parse(value)
        except ValueError as error:
            self.fail(str(error), param, ctx)


def parse_count(text: str) -> int:
    """Read a whole number of 1 or more."""
    try:
        count = int(text)
    except ValueError:
        count = 0
    if count < 1:
        raise ValueError(f"'{text}' is not a whole number of 1 or more")
    return count


def parse_seconds(text: str) -> float:
    """Read a time in seconds above 0, with or without its unit."""
    try:
        seconds = float(text.strip().removesuffix("s"))
    except ValueError:
        seconds = 0.0
    if not 0 < seconds < math.inf:
        raise ValueError(f"'{text}' is not a time in seconds above 0, such as 60")
    return seconds


def parse_megapixels(text: str) -> float:
    """Read a number of megapixels above 0."""
    try:
        megapixels = float(text)
    except ValueError:
        megapixels = 0.0
    if not (math.isfinite(megapixels) and megapixels > 0):
        raise ValueError(f"'{text}' is not a number of megapixels above 0")
    return megapixels


def parse_stock(text: str) -> Stock:
    """Read the name of a stock."""
    stock = STOCKS.get(text.strip().lower())
    if stock is None:
        raise ValueError(f"'{text}' is none of {', '.join(STOCKS)}")
    return stock


def parse_distances_m(text: str) -> tuple[float, ...]:
    """Read distances parted by commas, in m."""
    distances_m = tuple(parse_distance_m(part) for part in text.split(","))
    if len(distances_m) > MOST_DISTANCES:
        raise ValueError(f"these are {len(distances_m)} distances: write at most {MOST_DISTANCES}")
    return distances_m


def parse_file(text: str) -> str:
    """Take a path as it is, unless it is empty: then it would stand for the folder that we are in."""
    if not text:
        raise ValueError("there is an empty name; see that whatever stands for it is set")
    return text


DISTANCE = Value("distance", parse_distance_m)
DISTANCES = Value("distances", parse_distances_m)
COUNT = Value("number", parse_count)
SECONDS = Value("seconds", parse_seconds)
FILE = Value("file", parse_file)


STDOUT = "-"
"""A path that stands for standard output."""
_OTHER = "Other"


class GroupedOption(click.Option):
    """An option that the help lists under a heading of its own."""

    def __init__(self, *args: Any, heading: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.heading = heading


class GroupedCommand(click.Command):
    """A command whose help lists its options under headings."""

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, heading by heading, in the order they were declared."""
        options = [param for param in self.get_params(ctx) if isinstance(param, click.Option)]
        headings = dict.fromkeys(getattr(param, "heading", _OTHER) for param in options)
        headings.pop(_OTHER, None)
        for heading in (*headings, _OTHER):
            with formatter.section(heading):
                under_it = [option for option in options if getattr(option, "heading", _OTHER) == heading]
                records = [option.get_help_record(ctx) for option in under_it]
                formatter.write_dl([record for record in records if record is not None])


def option(*names: str, heading: str, **kwargs: Any) -> Callable[[Function], Function]:
    """Declare an option under a heading."""
    return click.option(*names, cls=GroupedOption, heading=heading, **kwargs)


def _set_debug(ctx: click.Context, _param: click.Parameter, value: bool) -> None:
    if value:
        ctx.ensure_object(Run).debug = True


def for_all(function: Function) -> Function:
    """Declare the options of every command."""
    version = click.version_option(__version__, message="%(prog)s %(version)s", prog_name="standback")
    debug = click.option(
        "--debug",
        is_flag=True,
        expose_value=False,
        is_eager=True,
        callback=_set_debug,
        help="After a fault of standback's own, show where in the program it happened.",
    )
    return debug(version(function))


_ARTWORK, _VIEWER = "The artwork", "The viewer"
_ARTWORK_OPTIONS = (
    option(
        "--size",
        heading=_ARTWORK,
        type=Value("size", parse_size),
        help="Printed size: a trade size such as A2 or B1, or width by height such as 420x594mm or "
        "18x24in. Left out: the size that the file's own resolution gives.",
    ),
    option(
        "--bleed",
        "bleed_mm",
        heading=_ARTWORK,
        type=Value("length", parse_bleed_mm),
        default=0.0,
        help="Bleed that the file holds beyond the printed size on each side, such as 3mm. Left out: none.",
    ),
    option(
        "--stock",
        heading=_ARTWORK,
        type=Value("stock", parse_stock),
        help="What it is printed on: coated, uncoated or newsprint. Blacks print as dark greys and paper is less than "
        "white, so distances are judged as printed, and ratios are given both ways. Left out: as exported; a CMYK file "
        "with a profile tells of its own paper.",
    ),
    option(
        "--page",
        heading=_ARTWORK,
        type=COUNT,
        default=1,
        help="Which page of a file that has several, counted from 1. Left out: the first.",
    ),
    option(
        "--max-megapixels",
        heading=_ARTWORK,
        type=Value("number", parse_megapixels),
        default=400.0,
        help="Refuse a file of more million pixels than this. Left out: 400.",
    ),
)


def artwork_options(function: Function) -> Function:
    """Declare the options that say what the artwork is."""
    for declare in reversed(_ARTWORK_OPTIONS):
        function = declare(function)
    return function


def _set_read(_ctx: click.Context, _param: click.Parameter, value: bool) -> bool:
    """Refuse at once where what reads is not installed, before any audit."""
    if value:
        from standback.wording.recogniser import require_reader

        require_reader()
    return value


def read_option(function: Function) -> Function:
    """Declare the option that has the wording read."""
    declare = option(
        "--read",
        heading="The verdict",
        is_flag=True,
        callback=_set_read,
        help="Read what the lines say, and tell what may be misread and which facts are missing. Needs the reader: pip "
        "install 'standback[reader]'. Left out: type is measured, not read.",
    )
    return declare(function)


def far_option(function: Function) -> Function:
    """Declare the option that says where the viewer stands."""
    declare = option(
        "--from",
        "far_m",
        heading=_VIEWER,
        type=DISTANCE,
        help="How far away the viewer first meets the poster, such as 5m or 15ft. Left out: 5 m, or seven "
        "sheet diagonals where that is nearer.",
    )
    return declare(function)


_SIGHT_OPTIONS = (
    option(
        "--light",
        "illuminance_lx",
        heading=_VIEWER,
        type=Value("light", parse_light_lx),
        default=150.0,
        help="Light on the poster in lux. Left out: 150. As lit by standard (EN 12464-1): corridor 100, "
        "waiting room 200, classroom 300, office 500; a wall often gets half of that. A dim café has 50, "
        "a bright shop 1000.",
    ),
    option(
        "--age",
        "age_years",
        heading=_VIEWER,
        type=Value("years", parse_age_years),
        default=30.0,
        help="Age of the public in years: from 30 to 75 letters have to be larger and inks to stand off more. "
        "Left out: 30.",
    ),
    option(
        "--acuity",
        "acuity_logmar",
        heading=_VIEWER,
        type=Value("acuity", parse_acuity_logmar),
        default=0.0,
        help="How sharp the public sees, with glasses if it wears them: 6/12, 20/40, 0.5 or 'logMAR 0.3' all say the "
        "same. Better than 6/6 counts as 6/6. Left out: 6/6.",
    ),
)


def sight_options(function: Function) -> Function:
    """Declare the options that say who looks, and in what light; named as the fields of `Settings`."""
    for declare in reversed(_SIGHT_OPTIONS):
        function = declare(function)
    return function

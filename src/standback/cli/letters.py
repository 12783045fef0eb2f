"""`standback letters`: how tall letters must be, or how far they reach, before anything is drawn."""

import math

import click

from standback import console
from standback.cli.options import DISTANCES, STDOUT, GroupedCommand, Value, for_all, option, sight_options
from standback.errors import ExitCode, UsageError
from standback.settings import Settings
from standback.sheet import parse_length_mm

MOST_RATIO = 21.0
"""Black on white: WCAG 2.2."""
STROKE_SHARES = (0.01, 0.5)
"""Thinnest and heaviest strokes that letters are drawn with (ours)."""

_ASKED, _LETTERS, _WRITTEN = "What is asked", "The letters", "What is written"
_HELP = """Tell how tall letters must be to be read from a distance, or how far letters of a height are read.

Beside our own numbers stands what handbooks and standards ask. No artwork is needed.

\b
standback letters --from 8m,5m,2m
standback letters --from 25ft --contrast 7 --stroke 0.12
standback letters --height 20mm
"""


def parse_ratio(text: str) -> float:
    """Read a contrast ratio, "4.5" or "4.5:1"."""
    ratio = _number(text.strip().removesuffix(":1"))
    if not 1 < ratio <= MOST_RATIO:
        raise ValueError(f"'{text}' is not a contrast ratio: write a number above 1 and up to 21, such as 4.5")
    return ratio


def parse_stroke(text: str) -> float:
    """Read a stroke width as a share of the letter height."""
    share = _number(text)
    if not STROKE_SHARES[0] <= share <= STROKE_SHARES[1]:
        raise ValueError(
            f"'{text}' is not a share of the letter height: write a number from {STROKE_SHARES[0]:g} to "
            f"{STROKE_SHARES[1]:g}, such as 0.2"
        )
    return share


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan


@click.command(cls=GroupedCommand, help=_HELP, short_help="Tell how tall letters must be, or how far they reach.")
@option(
    "--from",
    "distances_m",
    heading=_ASKED,
    type=DISTANCES,
    help="How tall to be read from here: one distance or several, parted by commas, such as 8m,5m,2m.",
)
@option(
    "--height",
    "height_mm",
    heading=_ASKED,
    type=Value("length", parse_length_mm),
    help="How far letters of this height are read, such as 20mm: of the capitals, or the x-height of lowercase.",
)
@option(
    "--contrast",
    "ratio",
    heading=_LETTERS,
    type=Value("ratio", parse_ratio),
    default=4.5,
    help="Contrast ratio of ink to ground as WCAG counts it, up to 21 for black on white. Left out: 4.5.",
)
@option(
    "--stroke",
    "stroke_share",
    heading=_LETTERS,
    type=Value("share", parse_stroke),
    default=0.2,
    help="Width of the strokes as a share of the letter height: about 0.1 is light, 0.2 is bold. Left out: 0.2.",
)
@sight_options
@option(
    "--json",
    "json_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Write the numbers to this file as JSON; - prints them in place of the table.",
)
@option("--force", heading=_WRITTEN, is_flag=True, help="Replace a file that standback did not make.")
@for_all
def letters(
    distances_m: tuple[float, ...] | None,
    height_mm: float | None,
    ratio: float,
    stroke_share: float,
    illuminance_lx: float,
    age_years: float,
    acuity_logmar: float,
    json_path: str | None,
    force: bool,
) -> int:
    """Print the table or write the numbers, and return the exit code."""
    if (distances_m is None) == (height_mm is None):
        raise UsageError("say either --from, such as --from 8m, or --height, such as --height 20mm")
    from standback.letters.table import Type, heights_for, reaches_of
    from standback.reports import letters as table
    from standback.reports import letters_json

    output = None
    if json_path not in (None, STDOUT):
        from standback import outputs

        output = outputs.Output(option="--json", given=json_path, force=force)
        outputs.check_outputs([output], [])
    type_ = Type(ratio=ratio, stroke_share=stroke_share)
    settings = Settings(illuminance_lx=illuminance_lx, age_years=age_years, acuity_logmar=acuity_logmar)
    if height_mm is not None:
        answer = reaches_of(height_mm, type_, settings)
    else:
        answer = heights_for(distances_m or (), type_, settings)
    if output is not None:
        output.write(letters_json.dumps(answer).encode("utf-8"))
    if json_path == STDOUT:
        console.out_utf8(letters_json.dumps(answer))
    else:
        console.out(table.render(answer, width=console.width(), colour=console.colour()))
    return ExitCode.GOOD

"""`standback explain`: how one element's numbers came about."""

import click

from standback import console
from standback.cli.briefing import with_brief_of
from standback.cli.options import (
    FILE,
    GroupedCommand,
    artwork_options,
    far_option,
    for_all,
    option,
    read_option,
    sight_options,
)
from standback.errors import ExitCode, UnreadableError
from standback.settings import Settings
from standback.sheet import SheetSize
from standback.stock import Stock

_HELP = """Tell how the numbers of one element came about, step by step: its size, contrast, reach, what is seen of it.

ELEMENT is the name that the report gives it, such as L03, D02 or F01. Say what was said for the audit, and the
numbers are the same.

\b
standback explain poster.png L03 --size A2 --from 8m
"""


@click.command(cls=GroupedCommand, help=_HELP, short_help="Tell how the numbers of one element came about.")
@click.argument("artwork", type=FILE)
@click.argument("element")
@artwork_options
@far_option
@sight_options
@option(
    "--brief",
    "brief_path",
    heading="The verdict",
    metavar="FILE",
    help="What the poster must do: the TOML file that the audit had. Options given here outrank it.",
)
@read_option
@for_all
@click.pass_context
def explain(
    ctx: click.Context,
    artwork: str,
    element: str,
    size: SheetSize | None,
    bleed_mm: float,
    stock: Stock | None,
    page: int,
    max_megapixels: float,
    far_m: float | None,
    illuminance_lx: float,
    age_years: float,
    acuity_logmar: float,
    brief_path: str | None,
    read: bool,
) -> int:
    """Audit the artwork, print one element's explanation and return the exit code."""
    from standback import batch

    settings = Settings(
        size=size,
        stock=stock,
        far_m=far_m,
        bleed_mm=bleed_mm,
        page=page,
        max_megapixels=max_megapixels,
        illuminance_lx=illuminance_lx,
        age_years=age_years,
        acuity_logmar=acuity_logmar,
        read=read,
    )
    if brief_path is not None:
        settings = with_brief_of(settings, brief_path, ctx)
    with console.Progress(1, quiet=False) as progress:
        progress.show(0, artwork)
        try:
            explanation = batch.explain_file(artwork, settings, element)
        except UnreadableError as error:
            raise UnreadableError(f"{artwork}: {error}") from error
    from standback.reports import explanation as text

    console.out(text.render(explanation, width=console.width(), colour=console.colour()))
    return ExitCode.GOOD

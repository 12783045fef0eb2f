"""`standback explain`: how one element's numbers came about."""

import click

from standback import console
from standback.cli.briefing import settings_of
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
    /,
    artwork: str,
    element: str,
    brief_path: str | None,
    **_settings: object,
) -> int:
    """Audit the artwork, print one element's explanation and return the exit code."""
    from standback import batch

    settings = settings_of(ctx, brief_path)
    with console.Progress(1, quiet=False) as progress:
        progress.show(0, artwork)
        try:
            explanation = batch.explain_file(artwork, settings, element)
        except UnreadableError as error:
            raise UnreadableError(f"{artwork}: {error}") from error
    from standback.reports import explanation as text

    console.out(text.render(explanation, width=console.width(), colour=console.colour()))
    return ExitCode.GOOD

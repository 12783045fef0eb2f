"""`standback brief`: a brief to begin with."""

from typing import TYPE_CHECKING

import click

from standback import console
from standback.cli.briefing import settings_of
from standback.cli.options import (
    FILE,
    STDOUT,
    GroupedCommand,
    Run,
    artwork_options,
    far_option,
    for_all,
    option,
    sight_options,
)
from standback.cli.telling import tell
from standback.errors import ExitCode
from standback.reports.wrapping import clean

if TYPE_CHECKING:
    from standback.outputs import Output

_HELP = """Write a brief to begin with: the lines found on a poster, to be told what they must do.

As it stands it changes no verdict; all that it could say besides is in it as a comment.

\b
standback brief poster.png --size A2 -o brief.toml
standback audit poster.png --brief brief.toml
"""


@click.command(cls=GroupedCommand, help=_HELP, short_help="Write a brief to begin with, for you to fill in.")
@click.argument("artwork", type=FILE)
@artwork_options
@far_option
@sight_options
@option(
    "--output",
    "-o",
    "output_path",
    heading="What is written",
    metavar="PATH",
    help="The file to write; left out, or -: the brief is printed.",
)
@option(
    "--force",
    heading="What is written",
    is_flag=True,
    help="Replace a file that standback did not make, or that somebody has changed since.",
)
@for_all
@click.pass_context
def brief(
    ctx: click.Context,
    /,
    artwork: str,
    output_path: str | None,
    force: bool,
    **_settings: object,
) -> int:
    """Audit the artwork, write the brief with its lines and return the exit code."""
    from standback import batch, outputs
    from standback.findings import Unreadable

    run = ctx.ensure_object(Run)
    output: Output | None = None
    if output_path not in (None, STDOUT):
        output = outputs.Output(option="--output", given=output_path, force=force)
        outputs.check_outputs([output], [artwork])
    settings = settings_of(ctx)
    with console.Progress(1, quiet=False) as progress:
        progress.show(0, artwork)
        outcome = batch.audit_file(artwork, batch.Task(settings=settings, quiet_warnings=not run.debug))
    if isinstance(outcome, Unreadable):
        tell(outcome, debug=run.debug)
        return ExitCode.UNREADABLE if outcome.trace is None else ExitCode.BUG
    from standback.brief.starter import starter_brief

    text = outputs.stamped(starter_brief(outcome.poster, settings))
    if output is None:
        console.out_utf8(text)
    else:
        output.write(text.encode("utf-8"))
        console.out(f"{clean(output.given)}\n")
    return ExitCode.GOOD

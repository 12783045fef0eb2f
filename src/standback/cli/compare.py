"""`standback compare`: what was mended from one draft to the next, and what got worse."""

from dataclasses import replace
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
from standback.settings import Settings

if TYPE_CHECKING:  # numpy and what stands on it are loaded only once there is something to compare
    from standback.drafts.model import Run as Compared

_VERDICT, _WRITTEN = "The verdict", "What is written"
_HELP = """Compare two drafts of one poster: what was mended, what got worse, what is new, what stayed.

Lines are known again by the shapes of their letters, so that they may have moved, grown or changed their
colours; the drafts may differ in resolution, and one may be a crop. Both are judged from where the later one is met.

\b
standback compare first.png second.png --size A2
standback compare first.png second.tif --from 8m --gate warn --json compare.json

\b
Exit codes:
  0   nothing got worse, and AFTER passes
  1   something got worse, or AFTER has findings at or above the gate
  2   the command line or the brief is wrong, or a file can't be written
  3   a draft could not be read or judged
  70  a fault of standback's own
"""


@click.command(cls=GroupedCommand, help=_HELP, short_help="Compare two drafts: what was mended, what got worse.")
@click.argument("before", type=FILE)
@click.argument("after", type=FILE)
@artwork_options
@far_option
@sight_options
@option(
    "--brief",
    "brief_path",
    heading=_VERDICT,
    metavar="FILE",
    help="What the poster must do: a TOML file for both drafts. Options given here outrank it.",
)
@option(
    "--gate",
    heading=_VERDICT,
    type=click.Choice(["fail", "warn", "off"]),
    default="fail",
    help="The mildest finding that AFTER may not have, or not anew: fail, warn, or off to end in 0 whatever is "
    "found. Left out: fail.",
)
@option(
    "--json",
    "json_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Write what became of every element and finding to this file as JSON; - prints it in place of the report.",
)
@option(
    "--html",
    "html_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Write a page to this HTML file: both drafts side by side from each station, and what became of each finding.",
)
@option("--force", heading=_WRITTEN, is_flag=True, help="Replace files that standback did not make.")
@for_all
@click.pass_context
def compare(
    ctx: click.Context,
    /,
    before: str,
    after: str,
    brief_path: str | None,
    json_path: str | None,
    html_path: str | None,
    force: bool,
    **_settings: object,
) -> int:
    """Audit both drafts, print what became of the poster and return the exit code."""
    from standback import outputs

    settings = settings_of(ctx, brief_path)
    named = (("--json", None if json_path == STDOUT else json_path), ("--html", html_path))
    files = {
        option: outputs.Output(option=option, given=path, force=force) for option, path in named if path is not None
    }
    outputs.check_outputs(tuple(files.values()), [before, after], brief=brief_path)
    run = _compared(before, after, settings, debug=ctx.ensure_object(Run).debug)
    text = ""
    if json_path is not None:
        from standback.reports import compare_json

        text = compare_json.dumps(run)
    if "--json" in files:
        files["--json"].write(text.encode("utf-8"))
    if "--html" in files and run.comparison is not None:
        from standback.batch import comparison_page

        files["--html"].write(comparison_page(run.comparison, settings))
    if json_path == STDOUT:
        console.out_utf8(text)
    elif run.comparison is not None:
        from standback.reports import compare_text

        console.out(compare_text.render(run.comparison, width=console.width(), colour=console.colour()))
    return run.exit_code


def _compared(before: str, after: str, settings: Settings, *, debug: bool) -> "Compared":
    """Audit the later draft, then the earlier from the same distance; what can't be read is told."""
    from standback.batch import Audited, Outcome, Task, audit_file
    from standback.drafts import compared
    from standback.drafts.model import Run as Compared
    from standback.findings import Unreadable

    outcomes: list[Outcome] = []
    task = Task(settings=settings, masks=True, quiet_warnings=not debug)
    with console.Progress(2, quiet=False) as progress:
        for number, file in enumerate((after, before)):
            progress.show(number, file)
            outcomes.append(audit_file(file, task))
            if isinstance(outcomes[0], Audited):
                far_m = outcomes[0].poster.stations[0].distance_m
                task = replace(task, settings=replace(settings, far_m=far_m))
    comparison = None
    now, was = outcomes
    if isinstance(was, Audited) and isinstance(now, Audited):
        comparison = compared(was.poster, now.poster)
    unreadable = tuple(outcome for outcome in (was, now) if isinstance(outcome, Unreadable))
    for draft in unreadable:
        tell(draft, debug=debug)
    return Compared(settings=settings, comparison=comparison, unreadable=unreadable)

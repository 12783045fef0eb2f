"""`standback checks`: what is judged, by what measure, and why."""

import click

from standback import console
from standback.cli.options import GroupedCommand, for_all
from standback.errors import ExitCode, UsageError

_HELP = """List the checks; of one, tell why it matters, what it asks for, and where that comes from.

\b
standback checks
standback checks faint-text
"""
_ALL = "'standback checks' lists them"


@click.command(cls=GroupedCommand, help=_HELP, short_help="List the checks, or tell all of one.")
@click.argument("check_id", metavar="[ID]", required=False)
@for_all
def checks(check_id: str | None) -> int:
    """Print the checks and return the exit code."""
    from standback.brief.tables import guess, shown
    from standback.checks import CHECKS, check_of
    from standback.reports import catalogue
    from standback.settings import Limits

    ids = [check.id for check in CHECKS]
    if check_id is None:
        console.out(catalogue.list_checks(CHECKS, width=console.width()))
    elif check_id in ids:
        console.out(catalogue.tell_check(check_of(check_id), Limits(), width=console.width()))
    else:
        raise UsageError(f"there is no check {shown(check_id)}; {guess(check_id, ids, otherwise=_ALL)}")
    return ExitCode.GOOD

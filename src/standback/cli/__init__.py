"""The command line: options become settings, the audit runs, files are written, the report is printed."""

import click

from standback.cli.audit import audit
from standback.cli.brief import brief
from standback.cli.checks import checks
from standback.cli.compare import compare
from standback.cli.explain import explain
from standback.cli.letters import letters
from standback.cli.options import Run, for_all
from standback.cli.view import view
from standback.errors import ExitCode, UsageError

_HELP = """Stand back from a poster: what a viewer across the room still sees of it, and what to change.

\b
standback audit poster.png --size A2 --proof proof.png
standback view poster.png --size A2 --from 10m,5m,2m
"""

__all__ = ["Run", "program"]


@click.group(
    help=_HELP,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    invoke_without_command=True,
    subcommand_metavar="COMMAND ...",
)
@for_all
@click.pass_context
def program(ctx: click.Context) -> int:
    """Run a command."""
    if ctx.invoked_subcommand is None:
        raise UsageError("say what to do, such as 'standback audit poster.png'; see 'standback --help'")
    return ExitCode.GOOD


program.add_command(audit)
program.add_command(view)
program.add_command(compare)
program.add_command(brief)
program.add_command(explain)
program.add_command(letters)
program.add_command(checks)

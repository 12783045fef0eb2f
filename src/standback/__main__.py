"""The entry of `standback` and `python -m standback`: every way a run can end becomes an exit code."""

import gc
import os
import sys
import traceback
import warnings
from collections.abc import Sequence
from typing import TYPE_CHECKING, NoReturn

from standback.errors import ExitCode, StandbackError
from standback.threads import OF_NUMPY

if TYPE_CHECKING:
    import click

_NEW_OBJECTS = 10_000
"""After so many new objects Python looks for circles of them, of which few are made: by itself far more often. As it
ends it would look through all, which takes a tenth of a second: so they are frozen."""
_OUR_FAULT = "a fault of standback's own stopped it; run the same command with --debug to see where"


def main(args: Sequence[str] | None = None) -> NoReturn:
    """Run the program and exit."""
    gc.set_threshold(_NEW_OBJECTS)
    code = run(args)
    gc.freeze()
    sys.exit(code)


def run(args: Sequence[str] | None = None) -> int:
    """Run the program on `args` (the command line's own by default) and return its exit code."""
    try:
        return _run(sys.argv[1:] if args is None else list(args))
    except KeyboardInterrupt:
        return ExitCode.STOPPED


def _run(args: list[str]) -> int:
    import click

    from standback import cli, console

    console.prepare_streams()
    for name in OF_NUMPY:
        os.environ.setdefault(name, "1")
    state = cli.Run()
    try:
        with warnings.catch_warnings():
            if not sys.warnoptions:
                warnings.simplefilter("ignore")
            return int(cli.program.main(args, prog_name="standback", standalone_mode=False, obj=state) or 0)
    except StandbackError as error:
        console.error(str(error))
        return error.exit_code
    except click.Abort:
        console.error("stopped; nothing more is written")
        return ExitCode.STOPPED
    except click.FileError as error:
        console.error(error.format_message())
        return ExitCode.USAGE
    except click.ClickException as error:
        console.error(usage_line(error))
        return ExitCode.USAGE
    except SystemExit:
        # click ends this way where the reader of --help has gone away
        return ExitCode.GOOD
    except Exception:
        console.error(_OUR_FAULT)
        if state.debug:
            console.trace(traceback.format_exc())
        return ExitCode.BUG


def usage_line(error: "click.ClickException") -> str:
    """Return what is wrong with the command line, and where its rules are told, in one line."""
    import click

    if isinstance(error, click.NoSuchOption):
        nearest = f" (did you mean {error.possibilities[0]}?)" if error.possibilities else ""
        text = f"there is no option {error.option_name}{nearest}"
    elif isinstance(error, click.BadParameter) and error.message and error.param is not None:
        text = f"{error.param.opts[0]}: {error.message}"
    else:
        text = error.format_message()
        text = text[:1].lower() + text[1:]
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "standback"
    return f"{' '.join(text.split()).rstrip('.')}; see '{command} --help'"


if __name__ == "__main__":
    main()

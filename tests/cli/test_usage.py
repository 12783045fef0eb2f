"""The command line itself: help, version, and what counts as wrong usage."""

import os
import re
import subprocess
import sys

import pytest

from cli.support import Program

OPTIONS = {
    "audit": {
        "--size", "--bleed", "--stock", "--page", "--max-megapixels", "--from", "--light", "--age", "--acuity",
        "--brief", "--read", "--gate", "--json", "--proof", "--html", "--mend", "--force", "--quiet", "--deep",
        "--jobs", "--out", "--resume", "--timeout", "--cluster", "--debug",
        "--version", "--help",
    },
    "brief": {
        "--size", "--bleed", "--stock", "--page", "--max-megapixels", "--from", "--light", "--age", "--acuity",
        "--output", "--force", "--debug", "--version", "--help",
    },
    "checks": {"--debug", "--version", "--help"},
    "compare": {
        "--size", "--bleed", "--stock", "--page", "--max-megapixels", "--from", "--light", "--age", "--acuity",
        "--brief", "--gate", "--json", "--html", "--force", "--debug", "--version", "--help",
    },
    "explain": {
        "--size", "--bleed", "--stock", "--page", "--max-megapixels", "--from", "--light", "--age", "--acuity",
        "--brief", "--read", "--debug", "--version", "--help",
    },
    "letters": {
        "--from", "--height", "--contrast", "--stroke", "--light", "--age", "--acuity", "--json", "--force",
        "--debug", "--version", "--help",
    },
    "view": {
        "--as", "--size", "--bleed", "--stock", "--page", "--max-megapixels", "--from", "--light", "--age", "--acuity",
        "--output", "--force", "--debug", "--version", "--help",
    },
}  # fmt: skip


@pytest.mark.parametrize("command", sorted(OPTIONS))
def test_help_lists_every_option_and_no_other(program: Program, command: str) -> None:
    ended = program(command, "--help")
    assert ended.code == 0
    assert ended.err == ""
    listed = re.findall(r"^  (?:-\w, )?(--[a-z-]+)", ended.out, flags=re.MULTILINE)
    assert set(listed) == OPTIONS[command]
    assert f"\n  standback {command}" in ended.out


def test_help_names_the_commands(program: Program) -> None:
    ended = program("-h")
    assert ended.code == 0
    assert re.findall(r"^  ([a-z]+) ", ended.out.partition("Commands:")[2], flags=re.MULTILINE) == [
        "audit",
        "brief",
        "checks",
        "compare",
        "explain",
        "letters",
        "view",
    ]


@pytest.mark.parametrize("args", [("--version",), ("audit", "--version"), ("view", "--version")])
def test_version(program: Program, args: tuple[str, ...]) -> None:
    ended = program(*args)
    assert ended.code == 0
    assert re.fullmatch(r"standback \d+\.\d+\.\d+\n", ended.out)


def test_help_loads_no_picture_library() -> None:
    code = (
        "import sys; from standback.__main__ import run; run(['audit', '--help']); "
        "sys.exit(str(sorted({'numpy', 'scipy', 'skimage', 'PIL'} & sys.modules.keys())))"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert ended.stderr == "[]\n"


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ("", "say what to do, such as 'standback audit poster.png'; see 'standback --help'"),
        ("audit", "give at least one artwork, such as poster.png; see 'standback audit --help'"),
        ("view a.png", "missing option '--from'; see 'standback view --help'"),
        ("view --from 5m", "missing argument 'ARTWORK'; see 'standback view --help'"),
        ("view a.png b.png --from 5m", "got unexpected extra argument (b.png)"),
        ("polish a.png", "no such command 'polish'"),
        ("compare a.png", "missing argument 'AFTER'"),
        ("lettering", "no such command 'lettering'"),
        ("--size A2 audit a.png", "there is no option --size"),
        ("audit a.png --brief b.toml", "b.toml: there is no such file: check the name of the brief"),
        ("audit a.png --brief .", ".: it is a folder: name the brief inside it"),
        ("view a.png --from 5m --brief b.toml", "there is no option --brief"),
        ("brief", "missing argument 'ARTWORK'; see 'standback brief --help'"),
        ("brief a.png b.png", "got unexpected extra argument (b.png)"),
        ("checks faint", "there is no check 'faint'; did you mean 'faint-text'?"),
        ("checks zzz", "there is no check 'zzz'; 'standback checks' lists them"),
        ("checks faint-text fades", "got unexpected extra argument (fades)"),
        ("audit a.png --timeout 0", "--timeout: '0' is not a time in seconds above 0"),
        ("audit a.png --stock glossy", "--stock: 'glossy' is none of coated, uncoated, newsprint"),
        ("audit a.png --blead 3mm", "there is no option --blead (did you mean --bleed?)"),
        ("audit a.png --json", "option '--json' requires an argument"),
        ("audit a.png --gate hard", "--gate: 'hard' is not one of 'fail', 'warn', 'off'"),
        ("audit a.png --size 0mm", "--size: '0mm' is not a sheet size"),
        ("audit a.png --size 0x0mm", "--size: '0x0mm' is no size for a sheet"),
        ("audit a.png --size 1e9x1e9ft", "--size: '1e9x1e9ft' is no size for a sheet"),
        ("audit a.png --from 0m", "--from: '0m' is out of range"),
        ("audit a.png --from -3m", "--from: '-3m' is out of range"),
        ("audit a.png --from nan", "--from: 'nan' is not a distance"),
        ("audit a.png --from 5", "--from: '5' has no unit"),
        ("audit a.png --bleed -3mm", "--bleed: '-3mm' is out of range"),
        ("audit a.png --page 0", "--page: '0' is not a whole number of 1 or more"),
        ("audit a.png --page 1.5", "--page: '1.5' is not a whole number of 1 or more"),
        ("audit a.png --jobs 0", "--jobs: '0' is not a whole number of 1 or more"),
        ("audit a.png --max-megapixels -1", "--max-megapixels: '-1' is not a number of megapixels above 0"),
        ("audit a.png --max-megapixels nan", "--max-megapixels: 'nan' is not a number of megapixels above 0"),
        ("view a.png --from 5m,,2m", "--from: '' is not a distance"),
        ("view a.png --from 0m", "--from: '0m' is out of range"),
        ("view a.png --from 1m,2m,3m,4m,5m,6m,7m,8m,9m", "--from: these are 9 distances"),
    ],
)
def test_wrong_usage_is_told_in_one_line(program: Program, args: str, says: str) -> None:
    ended = program(*args.split())
    assert ended.code == 2
    assert ended.out == ""
    (line,) = ended.error_lines
    assert line.startswith(f"standback: {says}")


def test_control_characters_do_not_reach_the_terminal(program: Program) -> None:
    ended = program("audit", "a.png", "--gate", "\x1b[31mred\nnext")
    assert ended.code == 2
    assert "\x1b" not in ended.err
    assert len(ended.error_lines) == 1


def test_the_shell_can_complete_commands() -> None:
    asked = {"_STANDBACK_COMPLETE": "bash_complete", "COMP_WORDS": "standback au", "COMP_CWORD": "1"}
    command = [sys.executable, "-m", "standback"]
    done = subprocess.run(command, env={**os.environ, **asked}, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["plain,audit"]

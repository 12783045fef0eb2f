"""`standback checks`: the registry in words."""

import re
import subprocess
import sys

import pytest

from cli.support import Program
from standback.checks import CHECKS, Check, check_of
from standback.reports.catalogue import limits_of, list_checks, tell_check
from standback.reports.wrapping import columns
from standback.settings import Limits

IDS = [check.id for check in CHECKS]


def test_every_check_is_listed_with_its_title(program: Program) -> None:
    ended = program("checks")
    assert (ended.code, ended.err) == (0, "")
    rows = ended.out.partition("\n\n")[0].splitlines()
    assert [re.split("  +", row) for row in rows] == [[check.id, check.title] for check in CHECKS]


@pytest.mark.parametrize("check", CHECKS, ids=IDS)
def test_all_is_told_of_every_check(program: Program, check: Check) -> None:
    ended = program("checks", check.id)
    assert (ended.code, ended.err) == (0, "")
    text = " ".join(ended.out.split())
    assert text.startswith(f"{check.id}: {check.title} Why ")
    assert " ".join(check.rationale.split()) in text
    for part in (check.asks, check.severity, check.source):
        assert part, "nothing is left untold"
    assert check.source[1:].rstrip(".") in text
    assert "{" not in text
    assert re.search(r"Severity (Fail|Warn|Note)", text)


@pytest.mark.parametrize("check", CHECKS, ids=IDS)
def test_limits_are_named_as_a_brief_names_them(check: Check) -> None:
    assert {*limits_of(check)} <= {*Limits.__dataclass_fields__}


def test_the_limits_told_are_those_in_use() -> None:
    text = tell_check(check_of("short-reach"), Limits(reach_fail_share=0.7), width=100)
    assert "Fail under 0.7 times, else warn" in text
    assert "reach_fail_share = 0.7" in " ".join(text.split())


@pytest.mark.parametrize("width", [40, 73, 100])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    told = [list_checks(CHECKS, width=width), *(tell_check(c, Limits(), width=width) for c in CHECKS)]
    for text in told:
        assert max(columns(line) for line in text.splitlines()) <= width
        assert not re.search(r" $", text, re.MULTILINE)


def test_it_starts_without_what_only_an_audit_needs() -> None:
    code = (
        "import sys; from standback.__main__ import run; run(['checks']); "
        "sys.exit(str(sorted({'scipy', 'skimage', 'PIL'} & sys.modules.keys())))"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert ended.stderr == "[]\n"

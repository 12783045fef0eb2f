"""The same artwork gives the same bytes, however the run is set up."""

import os
import subprocess
import sys
from pathlib import Path

from cli.support import Program

WRITTEN = ("json", "png", "html")


def asked(name: str) -> tuple[str, ...]:
    return (
        "audit",
        "faint.png",
        "--quiet",
        "--json",
        f"{name}.json",
        "--proof",
        f"{name}.png",
        "--html",
        f"{name}.html",
    )


def test_what_is_written_is_the_same_to_the_byte(program: Program, faint: Path) -> None:
    assert program(*asked("here")).code == 1
    # by a worker, with another order of hashes and another number of threads
    ended = subprocess.run(
        [sys.executable, "-m", "standback", *asked("there"), "--jobs", "4", "--timeout", "300"],
        env={**os.environ, "PYTHONHASHSEED": "1234", "OMP_NUM_THREADS": "3", "OPENBLAS_NUM_THREADS": "3"},
        capture_output=True,
        text=True,
    )
    assert (ended.returncode, ended.stderr) == (1, "")
    for suffix in WRITTEN:
        assert Path(f"here.{suffix}").read_bytes() == Path(f"there.{suffix}").read_bytes()

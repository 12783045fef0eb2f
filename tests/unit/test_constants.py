"""The JSON report holds every number in our code that decides a verdict."""

import ast
import importlib
import json
from collections.abc import Iterator
from importlib.resources import files
from numbers import Number
from pathlib import Path
from typing import Any

import pytest

from standback.constants import UNDECIDING, constants
from standback.findings import Report
from standback.reports.as_json import document
from standback.settings import Settings

SOURCE = Path(str(files("standback")))
MODULES = {
    ".".join(path.relative_to(SOURCE).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(SOURCE.rglob("*.py"))
}
FOUND: dict[str, Any] = document(Report(settings=Settings(), posters=(), unreadable=()))["settings"]["constants"]


def written(module: str) -> Iterator[str]:
    """Yield the names in capitals that a module gives a value to, read off its source."""
    for node in ast.parse(MODULES[module].read_text(encoding="utf-8")).body:
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        for target in targets:
            names = target.elts if isinstance(target, ast.Tuple) else [target]
            yield from (name.id for name in names if isinstance(name, ast.Name) and name.id.isupper())


DECIDING = [name for name in MODULES if name != "__init__" and name.partition(".")[0] not in UNDECIDING]


@pytest.mark.parametrize("module", DECIDING)
def test_every_number_is_there(module: str) -> None:
    for name in written(module):
        value = getattr(importlib.import_module(f"standback.{module}"), name)
        numbers = value if isinstance(value, tuple) else (value,)
        if numbers and all(isinstance(number, Number) for number in numbers):
            said = FOUND[module][name.removeprefix("_").lower()]
            assert said == pytest.approx(list(value) if isinstance(value, tuple) else value, rel=1e-5)


def test_rooms_left_out_are_rooms() -> None:
    assert {name.partition(".")[0] for name in MODULES} >= UNDECIDING


def test_what_is_known_to_decide_is_there() -> None:
    """A few from each kind of module, by hand: a science, a measure, the finder, a check's limits, the weights."""
    assert FOUND["eye"]["contrast_decades"] == 1.82
    assert FOUND["visibility"]["noticed_jnd"] == 3.0
    assert FOUND["sensitivity"]["gain"] == 373.08
    assert FOUND["measure.along"]["worst_quantile"] == 0.1
    assert FOUND["reading"]["x_per_em"] == 0.52
    assert FOUND["light"]["luminance_weights"] == [0.2126, 0.7152, 0.0722]
    assert FOUND["sheet"]["iso_216"]["A2"] == [420, 594]
    assert FOUND["pipeline"]["most_searched_px"] > 0
    assert len(FOUND["find.scorer"]["weights_sha256"]) == 64


def test_they_are_the_same_every_time_and_few_enough_to_read() -> None:
    assert constants() == constants()
    assert len(json.dumps(FOUND)) < 40_000

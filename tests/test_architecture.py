"""The rules of the architecture, checked on the source itself.

Data is handed on in one direction. What each room may import of ours is written down here, with the
reason where it is not plain; a new room has to be entered before it passes.
"""

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "standback"
MODULES = {
    ".".join(path.relative_to(SOURCE).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(SOURCE.rglob("*.py"))
}
MOST_LINES = 400

DATA = {
    "errors", "doubts", "elements", "arrangement", "settings", "numbers", "places", "artwork.model", "brief.model",
    "measure.model", "findings",
}  # fmt: skip
"""What the stages hand on: frozen data and plain words, at the bottom of everything."""

ROOMS: dict[str, set[str]] = {
    # sciences of their own
    "light": set(),
    "sheet": set(),
    "sight": set(),
    "stock": set(),
    "eye": set(),
    "colour_vision": {"light"},
    "sensitivity": set(),
    "merging": set(),
    "masks": set(),
    "threads": set(),
    "forking": {"threads"},
    "saliency": {"light"},
    "data": {"sheet", "stock"},  # the settings hold a sheet size and a stock
    # the stages, in the order of the flow
    "artwork": {"data", "light", "sheet", "stock", "threads"},
    "sampling": {"data", "light", "artwork"},
    "viewing": {"data", "light", "sheet", "eye", "threads", "artwork", "sampling"},
    "reading": {"data", "eye"},
    "letters": {"data", "eye", "reading"},
    "target": {"merging"},
    "visibility": {"light", "sensitivity", "target"},
    "find": {"data", "light", "masks", "threads", "forking", "artwork"},
    "measure": {
        "data", "light", "stock", "colour_vision", "eye", "artwork", "viewing", "reading", "target", "visibility",
        "saliency", "sheet", "facts", "masks", "forking",
        "find",  # a redrawn line is found again
    },
    "checks": {
        "data", "light", "colour_vision", "reading", "same_words", "facts", "measure",
    },  # measure: what a viewer takes for the same
    "brief": {"data", "sheet", "sight", "stock", "checks"},  # checks: the ids that a brief may name
    "judge": {"data", "checks"},
    "changes": {
        "data", "light", "masks", "forking", "visibility", "checks", "measure",
    },  # a change is measured again before it is offered
    "summary": {"data", "checks"},
    "auditing": {"data", "sheet", "artwork", "brief", "pipeline"},  # the whole audit as one call
    "approach": {"data"},
    "same_words": set(),
    "facts": {"data"},
    "wording": {"data", "light", "artwork", "viewing", "same_words", "measure"},  # measure: what is seen around a line
    "beside": {"data", "artwork", "find", "measure", "forking"},
    "pipeline": {
        "data", "sheet", "artwork", "find", "measure", "beside", "wording", "checks", "brief", "judge", "changes",
        "summary", "approach",
    },
    "explain": {
        "data", "light", "colour_vision", "stock", "eye", "artwork", "reading", "target", "visibility", "measure",
    },  # the very functions that the audit goes by
    "constants": set(),  # it reads the numbers off the other modules, whatever they are
    "drafts": {"data", "light", "checks", "measure"},  # light, measure: when two colours count as one
    # reports turn a finished report into text or a picture: they find, measure and judge nothing
    "reports": {
        "data", "checks", "light", "colour_vision", "sheet", "stock", "eye", "artwork", "viewing", "letters",
        "explain", "drafts", "reading", "constants", "measure", "facts", "outputs", "forking",
    },  # reading: what share of the em letters are tall; measure: a change is shown by the redraw that proved it;
    # outputs: the names by which a table of ours is known again
    # the rim
    "outputs": {"data"},
    "console": {"data", "reports"},  # reports: how foreign text is made safe to print
    "keeping": {"data", "outputs"},
    "documents": {"data", "artwork", "reports", "outputs"},
    "workers": {"data", "threads"},  # they call a function that they are given, whatever it does
    "batch": {
        "data", "artwork", "pipeline", "changes", "drafts", "explain", "reports", "outputs", "documents", "threads",
        "workers",
    },  # changes: their picture is drawn while the artwork is at hand
    "cli": {
        "data", "sheet", "sight", "stock", "eye", "letters", "checks", "brief", "drafts", "reports", "outputs",
        "console", "batch", "documents", "keeping", "wording", "workers",
    },
    "__main__": {"data", "console", "cli", "threads"},
}  # fmt: skip
"""Room -> the rooms it may import from, besides itself."""

ONLY_IN = {
    "click": {"cli", "__main__"},
    "PIL": {
        "artwork", "cli", "reports.proof", "reports.walkup", "reports.lettering", "reports.views",
        "reports.page.pictures", "reports.page.wall", "reports.thumbnail", "reports.suggestion",
    },
    "pypdfium2": {"artwork.pdf", "artwork.pdf_text"},
    "onnxruntime": {"wording.recogniser"},
    "distributed": {"workers.cluster"},
}  # fmt: skip
"""Outside package -> the rooms or modules that may import it."""

EXTRAS = {"pdf": {"pypdfium2"}, "reader": {"onnxruntime"}, "cluster": {"distributed"}}
"""Extra -> the packages that it brings and that are imported only where they are asked for."""

SCIENCES = {"sheet": set[str](), "sight": set[str](), "stock": set[str](), "light": {"numpy"}, "eye": {"numpy"}}
"""Module -> the outside packages that it may stand on."""

STREAMS = {
    "console",
    "artwork.decode",  # flushes stderr before it silences a library that writes to it past Python
}
"""The modules that may touch the process's streams."""

IMPORT_NAMES = {"pillow": "PIL", "scikit-image": "skimage"}


def room_of(module: str) -> str:
    return "data" if module in DATA else module.partition(".")[0]


def imports(module: str) -> Iterator[str]:
    """Yield the full name of everything that a module imports, inside functions too."""
    for node in ast.walk(ast.parse(MODULES[module].read_text(encoding="utf-8"))):
        yield from imported_by(node)


def imported_by(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        assert node.level == 0, "a relative import"
        if node.module == "standback":
            yield from (f"standback.{alias.name}" for alias in node.names)
        else:
            yield str(node.module)


def ours(module: str) -> set[str]:
    inside = {name.removeprefix("standback.") for name in imports(module) if name.startswith("standback.")}
    return inside - {"__version__"}


def outside(module: str) -> set[str]:
    tops = {name.partition(".")[0] for name in imports(module)}
    return {top for top in tops if top != "standback" and top not in sys.stdlib_module_names}


@pytest.mark.parametrize("module", sorted(MODULES.keys() - {"__init__"}))
def test_imports_go_in_one_direction(module: str) -> None:
    room = room_of(module)
    imported = ours(module)
    assert imported <= MODULES.keys(), "only modules, or what is in them"
    assert {room_of(other) for other in imported} <= ROOMS[room] | {room}


def test_every_room_stands() -> None:
    assert {room_of(module) for module in MODULES} - {"__init__"} == ROOMS.keys()
    assert MODULES.keys() >= DATA


def test_the_rooms_make_no_circle() -> None:
    done: set[str] = set()
    while len(done) < len(ROOMS):
        ready = {room for room, below in ROOMS.items() if room not in done and below <= done}
        assert ready, f"a circle among {ROOMS.keys() - done}"
        done |= ready


def test_nothing_imports_the_command_line() -> None:
    importing = {module for module in MODULES if any(room_of(other) == "cli" for other in ours(module))}
    assert {room_of(module) for module in importing} == {"__main__", "cli"}


@pytest.mark.parametrize("package", sorted(ONLY_IN))
def test_packages_that_stay_at_the_rim(package: str) -> None:
    importing = {module for module in MODULES if package in outside(module)}
    assert importing
    assert {m for m in importing if m not in ONLY_IN[package] and room_of(m) not in ONLY_IN[package]} == set()


@pytest.mark.parametrize("module", sorted(SCIENCES))
def test_the_sciences_stand_on_little(module: str) -> None:
    assert outside(module) <= SCIENCES[module]


def test_only_declared_dependencies_are_imported() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = [re.split(r"[^a-z0-9-]", line, maxsplit=1)[0] for line in project["dependencies"]]
    declared = {IMPORT_NAMES.get(name, name) for name in names}
    extras = set[str]().union(*EXTRAS.values())
    assert set[str]().union(*(outside(module) for module in MODULES)) == declared | extras


@pytest.mark.parametrize("extra", sorted(EXTRAS))
def test_extras_bring_what_is_imported_late(extra: str) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = {re.split(r"[^a-z0-9-]", line, maxsplit=1)[0] for line in project["optional-dependencies"][extra]}
    assert named >= EXTRAS[extra]
    for path in MODULES.values():
        at_the_top = ast.parse(path.read_text(encoding="utf-8")).body
        tops = [node for node in at_the_top if isinstance(node, ast.Import | ast.ImportFrom)]
        assert not any(name.partition(".")[0] in EXTRAS[extra] for node in tops for name in imported_by(node))


@pytest.mark.parametrize("module", sorted(MODULES))
def test_only_the_rim_prints_and_exits(module: str) -> None:
    for node in ast.walk(ast.parse(MODULES[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Name) and node.id == "print":
            assert room_of(module) == "cli"
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "sys":
            assert node.attr not in {"stdout", "stderr"} or module in STREAMS
            assert node.attr != "exit" or module == "__main__"


@pytest.mark.parametrize("module", sorted(MODULES))
def test_a_file_holds_one_idea(module: str) -> None:
    lines = MODULES[module].read_text(encoding="utf-8").count("\n")
    assert lines <= MOST_LINES

#!/usr/bin/env bash
# What is built, and what it needs: the wheel and the source distribution hold all of the package and nothing
# else; from the wheel, in two empty environments, one with the oldest versions that pyproject.toml allows and
# one with the newest, the demo's drafts are audited, and the two JSON reports must say the same: numbers to one
# unit of the sixth digit, verdicts and order exactly.
#
#   bash tests/check_wheel.sh [PYTHON]    PYTHON must have wheels of the oldest versions: 3.11 or 3.12 (python3)
#
# It takes a few minutes, most of them for installing, and needs the package index.
set -euo pipefail
cd "$(dirname "$0")/.."

python=${1:-python3}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export PIP_DISABLE_PIP_VERSION_CHECK=1
unset PYTHONPATH  # what is installed is to be run

step() { printf '\n== %s\n' "$*"; }

step "build"
"$python" -m venv "$work/build"
"$work/build/bin/pip" install --quiet build
"$work/build/bin/python" -m build --outdir "$work/dist" . >"$work/build.log" 2>&1 || { cat "$work/build.log"; exit 1; }
ls -l "$work/dist" | tail -n +2

step "what is in it"
git ls-files --cached --others --exclude-standard >"$work/files.txt"
"$work/build/bin/python" - "$work"/dist/standback-*.whl "$work"/dist/standback-*.tar.gz "$work/files.txt" <<'PYTHON'
import sys
import tarfile
import zipfile
from pathlib import Path

wheel, sdist, files = sys.argv[1:]
ours = [line for line in Path(files).read_text(encoding="utf-8").splitlines() if Path(line).is_file()]
with zipfile.ZipFile(wheel) as archive:
    in_wheel = {name for name in archive.namelist() if ".dist-info/" not in name}
with tarfile.open(sdist) as archive:
    in_sdist = {name.partition("/")[2] for name in archive.getnames()}
package = {name.removeprefix("src/") for name in ours if name.startswith("src/")}
whole = {name for name in ours if name.startswith(("src/", "tests/", "demo/"))}
whole |= {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
for what, has, wants, may in (
    ("wheel", in_wheel, package, set()),
    ("source distribution", in_sdist, whole, {"PKG-INFO", ".gitignore"}),
):
    missing, other = sorted(wants - has), sorted(has - wants - may)
    if missing or other:
        sys.exit(f"FAILED: the {what} lacks {missing} and has besides {other}")
    print(f"{what}: all {len(wants)} files, nothing else")
PYTHON

"$work/build/bin/python" - >"$work/oldest.txt" <<'PYTHON'
import tomllib

with open("pyproject.toml", "rb") as stream:
    project = tomllib.load(stream)["project"]
for line in project["dependencies"]:
    print(line.replace(">=", "=="))
PYTHON
cp demo/first-draft.png demo/second-draft.png "$work"

# $1 is the name of an environment; what is to be installed beside the wheel follows. Run outside the sources, so
# that what is installed has to stand by itself.
audited() {
  step "the demo with the $1 versions"
  "$python" -m venv "$work/$1"
  "$work/$1/bin/pip" install --quiet "$work"/dist/standback-*.whl "${@:2}"
  "$work/$1/bin/pip" list 2>/dev/null | grep -i -E '^(click|numpy|pillow|scikit-image|scipy|standback) '
  local code=0
  (cd "$work" && "$1/bin/standback" audit first-draft.png second-draft.png --quiet --json "$1.json") || code=$?
  [ "$code" -eq 1 ] || { echo "FAILED: it ended in exit code $code, not 1" >&2; exit 1; }
}
audited oldest --requirement "$work/oldest.txt"
audited newest

step "the same?"
"$work/build/bin/python" - "$work/oldest.json" "$work/newest.json" <<'PYTHON'
import json
import math
import sys
from collections.abc import Iterator
from typing import Any


def differences(old: Any, new: Any, at: str = "") -> Iterator[str]:
    """Yield each place where the two documents say something else."""
    if isinstance(old, dict) and isinstance(new, dict) and list(old) == list(new):
        for key in old:
            yield from differences(old[key], new[key], f"{at}.{key}")
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for index, (before, after) in enumerate(zip(old, new)):
            yield from differences(before, after, f"{at}[{index}]")
    elif isinstance(old, float) and isinstance(new, float):
        largest = max(abs(old), abs(new))
        # one unit of the sixth digit, and a little for the way floats are kept
        if largest and abs(old - new) > 1.001 * 10.0 ** (math.floor(math.log10(largest)) - 5):
            yield f"{at}: {old!r}, {new!r}"
    elif type(old) is not type(new) or old != new:
        yield f"{at}: {str(old)[:60]!r}, {str(new)[:60]!r}"


documents = []
for path in sys.argv[1:]:
    with open(path, encoding="utf-8") as stream:
        documents.append(json.load(stream))
found = list(differences(*documents))
if found:
    print(*found[:20], sep="\n")
    sys.exit(f"FAILED: {len(found)} differences (oldest, newest)")
posters = documents[0]["posters"]
elements, findings = (sum(len(poster[what]) for poster in posters) for what in ("elements", "findings"))
print(f"yes: {elements} elements, {findings} findings")
PYTHON

"""Print whether planted faults are named, and what is said of their good twins.

    python tests/measure_planted.py [--each 10] [--kinds faint-text,fades] [--first-seed 0] [--save FOLDER]

Posters of invented events are drawn twice: good, and with exactly one fault planted. A fault counts as named
where one of the first three findings is of its check, or of another that rightly comes first for it (see
`synth.faults.KINDS`), and lies on it.
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from standback.checks import title_of
from standback.findings import Finding, PosterReport, Severity
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth.faults import KINDS, case, found_at, naming

TOP = 3


def quotes(findings: Sequence[Finding], check: str) -> bool:
    """Whether a finding of another cause says this check's fault too."""
    title = title_of(check)
    return any(f"Also {title[0].lower()}{title[1:]}" in f.says for f in findings)


def summary(report: PosterReport) -> str:
    """Write a report's findings in a line."""
    told = (f"{f.check} {f.severity.word} {','.join(f.elements)}" for f in report.findings)
    return "; ".join(told) or "nothing"


def measure(kind: str, seeds: Sequence[int], save: Path | None) -> None:
    """Print one kind's shares and misses."""
    own = other = quoted = fails = warns = notes = 0
    lines = []
    for seed in seeds:
        drawn = case(kind, seed)
        planted, good = drawn.planted.drawn(), drawn.good.drawn()
        report = audit_artwork(planted.artwork(), Settings())
        twin = audit_artwork(good.artwork(), Settings())
        finding = naming(report, planted, drawn)
        name = finding.check if finding is not None and finding.rank <= TOP else None
        own += name == kind
        other += name is not None and name != kind
        quoted += name != kind and quotes(found_at(report, planted, drawn.lines), kind)
        worst = twin.worst
        fails += worst == Severity.FAIL
        warns += worst == Severity.WARN
        notes += worst == Severity.NOTE
        if name is None:
            lines.append(f"    seed {seed} missed: says {summary(report)}")
        if worst is not None:
            lines.append(f"    seed {seed} good twin: says {summary(twin)}")
        if save is not None and (name is None or worst is not None):
            planted.save(save / f"{kind}-{seed}-planted.png")
            good.save(save / f"{kind}-{seed}-good.png")
    count = len(seeds)
    print(
        f"{kind:14} named {own + other}/{count} (by its own check {own}, by one before it {other}, of these "
        f"quoted {quoted}); good twins with a fail {fails}, a warn {warns}, a note {notes}"
    )
    print(*lines, sep="\n", end="\n" if lines else "", flush=True)


def main(arguments: Sequence[str]) -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--each", type=int, default=10, help="posters of each kind")
    parser.add_argument("--kinds", default=",".join(KINDS), help="kinds, with commas")
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--save", type=Path, help="folder for pictures of what went wrong")
    options = parser.parse_args(arguments)
    seeds = range(options.first_seed, options.first_seed + options.each)
    for kind in options.kinds.split(","):
        measure(kind, seeds, options.save)


if __name__ == "__main__":
    main(sys.argv[1:])

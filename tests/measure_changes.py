"""Print how many drawn faults are offered a change, and how many are gone once it is made.

    python tests/measure_changes.py [--count 100] [--kinds faint-text,fades] [--first-seed 1000] [--verbose]

Faults are planted kind after kind. The change offered for each is read from its words, the poster is drawn
again with it, and audited again from the same distance.
"""

import argparse
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import count

from standback.findings import Finding, PosterReport, Severity
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth.faults import KINDS, Case, case, findings_on, found_at, lines_of, naming
from synth.mended import NotUnderstoodError, exported, mended, redrawn
from synth.plans import Plan
from synth.sheet import Poster

Said = tuple[str, int]


@dataclass(eq=False)
class Tally:
    """What became of one kind's faults."""

    faults: int = 0
    offered: int = 0
    holds: int = 0
    clear: int = 0
    harmless: int = 0
    lines: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.faults} faults, {self.offered} offered a change; then gone {self.holds}, nothing left "
            f"on the line {self.clear}, nothing new elsewhere {self.harmless}"
        )


def said(report: PosterReport, poster: Poster) -> set[Said]:
    """Return the checks that fail or warn, with the lines they do so for."""
    bad = [f for f in report.findings if f.severity >= Severity.WARN]
    return {(f.check, number) for f in bad for number in lines_of(f, poster)}


def follow(drawn: Case, finding: Finding, report: PosterReport, poster: Poster, tally: Tally) -> None:
    """Make the change offered for a finding, and note what is found then."""
    tally.faults += 1
    told = f"    {drawn.check} seed {drawn.seed}: {finding.check} {finding.severity.word}"
    if finding.change is None:
        tally.lines.append(f"{told}: no change offered. {finding.says}")
        return
    tally.offered += 1
    numbers = lines_of(finding, poster)
    try:
        plan = _made(drawn, numbers, finding.change)
    except NotUnderstoodError:
        tally.lines.append(f"{told}: not understood: {finding.change}")
        return
    again = plan.drawn()
    new = audit_artwork(again.artwork(), Settings(far_m=report.stations[0].distance_m))
    left = found_at(new, again, numbers) if drawn.lines else findings_on(new, again, drawn)
    holds = all(f.check != finding.check for f in left)
    elsewhere = {s for s in said(new, again) - said(report, poster) if s[1] not in numbers}
    tally.holds += holds
    tally.clear += holds and not left
    tally.harmless += not elsewhere
    if left or elsewhere:
        what = [f"left on it: {f.check} {f.severity.word} {f.measured}/{f.needed}" for f in left]
        what += [f"new elsewhere: {check} on {again.lines[n].text!r}" for check, n in sorted(elsewhere)]
        tally.lines.append(f"{told}: {finding.change} -> {'; '.join(what)}")


def _made(drawn: Case, numbers: Sequence[int], change: str) -> Plan:
    """Make a change to the planted poster: to how it is exported, to its figure, or to some lines."""
    if drawn.check == "many-inks" or KINDS[drawn.check].of_sheet:
        return exported(drawn.planted, change)
    return mended(drawn.planted, numbers, change) if drawn.lines else redrawn(drawn.planted, change)


def measure(faults: int, kinds: Sequence[str], first_seed: int, verbose: bool) -> None:
    """Print the shares for so many faults that were found."""
    tallies = {kind: Tally() for kind in kinds}
    missed = 0
    rounds = ((kind, seed) for seed in count(first_seed) for kind in kinds)
    while sum(t.faults for t in tallies.values()) < faults:
        kind, seed = next(rounds)
        drawn = case(kind, seed)
        poster = drawn.planted.drawn()
        report = audit_artwork(poster.artwork(), Settings())
        finding = naming(report, poster, drawn)
        if finding is None:
            missed += 1
            continue
        if verbose:
            print(f"    {kind} seed {seed}: {finding.check}: {finding.change}", flush=True)
        follow(drawn, finding, report, poster, tallies[kind])
        if verbose:
            done = [sum(getattr(t, part) for t in tallies.values()) for part in ("faults", "offered", "holds")]
            print("        so far {} faults, {} offered a change, {} hold".format(*done), flush=True)
    for kind, tally in tallies.items():
        print(f"{kind:14} {tally}")
        print(*tally.lines, sep="\n", end="\n" if tally.lines else "")
    offered = sum(t.offered for t in tallies.values())
    holds = sum(t.holds for t in tallies.values())
    print(f"offered {offered / faults:.0%} of {faults} faults named ({missed} more were not)")
    print(f"holds {holds / max(offered, 1):.1%} of {offered} offered")


def main(arguments: Sequence[str]) -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--count", type=int, default=100, help="how many faults")
    parser.add_argument("--kinds", default=",".join(KINDS), help="kinds, with commas")
    parser.add_argument("--first-seed", type=int, default=1000)
    parser.add_argument("--verbose", action="store_true", help="a line for each change offered")
    options = parser.parse_args(arguments)
    measure(options.count, options.kinds.split(","), options.first_seed, options.verbose)


if __name__ == "__main__":
    main(sys.argv[1:])

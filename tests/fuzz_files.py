"""Spoil valid files at random and load them: each must be taken or refused in one plain sentence, soon.

    python tests/fuzz_files.py [--count N] [--seconds S] [--seed N] [--kinds png,tiff] [--keep DIR]

Without --count and --seconds it goes on until Ctrl-C. The same seed spoils the same files in the same way. A
fault is a traceback, words that are no plain sentence, more than 5 s, more memory than the worker is given, a
worker that dies, or anything on stderr; the files that lead to one are kept in --keep.
"""

import argparse
import random
import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic

from fuzzing.corpus import corpus
from fuzzing.mutate import spoilt
from fuzzing.trying import PAGES, Bench, Tried

_NUMBER = re.compile(r"\d[\d.]*")
_MOST_SHOWN = 12


@dataclass(slots=True)
class Tally:
    """What became of the files of one kind."""

    files: int = 0
    taken: int = 0
    slowest_s: float = 0.0
    refusals: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    def note(self, tried: Tried) -> None:
        """Count one file."""
        self.files += 1
        self.taken += not tried.says and tried.fault is None
        self.slowest_s = max(self.slowest_s, tried.took_s)
        if tried.says:
            self.refusals[_NUMBER.sub("N", tried.says)] += 1
        if tried.fault is not None:
            self.faults.append(tried.fault)


def fuzz(
    *,
    seed: int,
    kinds: Sequence[str],
    count: int | None = None,
    seconds: float | None = None,
    keep: Path | None = None,
) -> dict[str, Tally]:
    """Spoil and load files of each kind in turn, until there are `count` or the time is over."""
    files, tallies = corpus(), defaultdict[str, Tally](Tally)
    begun_s, number, peak_bytes = monotonic(), 0, 0
    with Bench() as bench:
        try:
            while (count is None or number < count) and (seconds is None or monotonic() - begun_s < seconds):
                kind = kinds[number % len(kinds)]
                chance = random.Random(f"{seed} {number}")
                data = spoilt(chance, kind, files[kind])
                tried = bench.trial(kind, data, chance.choice(PAGES.get(kind, (1,))))
                tallies[kind].note(tried)
                peak_bytes = max(peak_bytes, tried.peak_bytes)
                if tried.fault is not None:
                    print(f"{kind} {number}: {tried.fault}", flush=True)
                    if keep is not None:
                        keep.mkdir(parents=True, exist_ok=True)
                        (keep / f"{seed}-{number}.{kind}").write_bytes(data)
                number += 1
        except KeyboardInterrupt:
            pass
    print(f"{number} files in {monotonic() - begun_s:.0f} s; the worker's peak {peak_bytes / 1e6:.0f} MB")
    return dict(tallies)


def main() -> None:
    """Read the options, spoil and load, and print what became of it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int)
    parser.add_argument("--seconds", type=float)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", default=",".join(corpus()))
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    kinds = asked.kinds.split(",")
    tallies = fuzz(seed=asked.seed, kinds=kinds, count=asked.count, seconds=asked.seconds, keep=asked.keep)
    for kind, tally in tallies.items():
        print(
            f"\n{kind}: {tally.files} files, {tally.taken} taken, {len(tally.faults)} faults, "
            f"the slowest {tally.slowest_s:.2f} s"
        )
        for says, times in tally.refusals.most_common(_MOST_SHOWN):
            print(f"  {times:5} {says[:150]}")
    if any(tally.faults for tally in tallies.values()):
        raise SystemExit(1)


if __name__ == "__main__":
    main()

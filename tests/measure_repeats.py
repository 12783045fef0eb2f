"""Print how far the same poster, drawn or exported otherwise, gives the same lines and the same findings.

    python tests/measure_repeats.py [--count 24] [--posters FOLDER]

Drawn posters, in faces that nothing was tuned on, are audited at 100, 150 and 300 ppi, as they are and as JPEG of
quality 90; each is held against 300 ppi as it is. Posters of a folder (see measure_finder.py) are searched as
they are, as such a JPEG, and with two thirds of their pixels, as at 100 ppi for 150.
"""

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PIL import Image

from standback.artwork import from_srgb8
from standback.find import find_lines
from standback.findings import PosterReport, Severity
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth import GROUNDS, draw_poster, matched, measuring_faces

FIRST_SEED = 74_000
SMALLER = 2 / 3
LEAST_PX = 7.0
"""Letters that are lower than this in the smaller picture are counted apart: there are hardly pixels for them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What an audit says of one line."""

    ratio: float
    reach_m: float
    letter_mm: float
    verdicts: frozenset[tuple[str, Severity]]


def repeated(count: int) -> None:
    """Audit the same posters at three resolutions, as they are and after JPEG, against 300 ppi as it is."""
    reads: dict[str, list[tuple[Read, Read]]] = {}
    same: dict[str, list[int]] = {}
    turned_over: dict[str, int] = {}
    for n in range(count):
        files, judged = {}, {}
        for ppi in (100.0, 150.0, 300.0):
            poster = draw_poster(FIRST_SEED + n, GROUNDS[n % 3], measuring_faces(), ppi=ppi)
            for name, file in ((f"{ppi:.0f} ppi", poster), (f"{ppi:.0f} ppi JPEG 90", poster.as_jpeg(90))):
                report = audit_artwork(file.artwork(), Settings())
                files[name], judged[name] = _by_place(report), report.verdict
        wanted = files["300 ppi"]
        for name, found in files.items():
            turned_over[name] = turned_over.get(name, 0) + (judged[name] != judged["300 ppi"])
            pairs = matched([place for place, _ in found], [place for place, _ in wanted]).pairs
            same.setdefault(name, []).extend((len(pairs), max(len(found), len(wanted))))
            reads.setdefault(name, []).extend((found[i][1], wanted[j][1]) for i, j in pairs)
    print(f"the same {count} posters, against 300 ppi:")
    for name, both in reads.items():
        moves = np.array(
            [
                (one.ratio / other.ratio - 1, one.reach_m / other.reach_m - 1, one.letter_mm / other.letter_mm - 1)
                for one, other in both
            ]
        )
        (ratio, reach, letter), (most_ratio, most_reach, _) = np.quantile(np.abs(moves), [0.9, 1.0], axis=0)
        changed = [one.verdicts ^ other.verdicts for one, other in both if one.verdicts != other.verdicts]
        checks = sorted({check for verdicts in changed for check, _ in verdicts})
        print(
            f"  {name:16} the same lines {sum(same[name][::2]) / max(1, sum(same[name][1::2])):.1%} of {len(both)};"
            f" nine in ten ratios move by {ratio:.2%}, the most {most_ratio:.1%}; reach {reach:.1%}, {most_reach:.1%};"
            f" letter heights {letter:.1%}; posters with another verdict {turned_over[name]},"
            f" lines with other faults {len(changed)} {' '.join(checks)}",
            flush=True,
        )


def _by_place(report: PosterReport) -> list[tuple[tuple[float, float, float, float], Read]]:
    """What an audit says of each line, with its place in mm."""
    verdicts: dict[str, set[tuple[str, Severity]]] = {}
    for fault in report.faults:
        for element in fault.elements:
            verdicts.setdefault(element, set()).add((fault.check, fault.severity))
    return [
        (
            m.box_mm,
            Read(ratio=m.ratio, reach_m=m.reach_m, letter_mm=m.letter_mm, verdicts=frozenset(verdicts.get(m.id, ()))),
        )
        for m in report.elements
    ]


def resampled(folder: Path, part: tuple[int, int]) -> None:
    """Search posters of a folder as they are, smaller and as JPEG, against as they are."""
    index = json.loads((folder / "index.json").read_text())
    chosen = sorted((entry for entry in index if entry.get("pdf_pt")), key=lambda entry: str(entry["file"]))
    same: dict[str, list[int]] = {}
    for entry in chosen[part[0] - 1 :: part[1]]:
        whole = Image.open(folder / entry["file"]).convert("RGB")
        less = whole.resize((round(SMALLER * whole.width), round(SMALLER * whole.height)), Image.Resampling.BOX)
        width_mm, height_mm = (points / 72 * 25.4 for points in entry["pdf_pt"])
        found: dict[str, list[tuple[tuple[float, float, float, float], float]]] = {}
        for name, srgb8 in (
            ("as it is", np.asarray(whole)),
            ("as JPEG 90", _packed(whole)),
            ("two thirds", np.asarray(less)),
            ("two thirds as JPEG 90", _packed(less)),
        ):
            artwork = from_srgb8(srgb8, size_mm=(width_mm, height_mm), file=entry["file"])
            found[name] = [
                (artwork.box_mm(line.box_px), line.letter_px / artwork.px_per_mm) for line in find_lines(artwork)
            ]
        least_mm = LEAST_PX / SMALLER / whole.width * width_mm
        for name, lines in found.items():
            wanted = found["as it is"]
            match = matched([box for box, _ in lines], [box for box, _ in wanted])
            loose = [lines[n][1] for n in match.false] + [wanted[m][1] for m in match.missed]
            of_large = [sum(v >= least_mm for v in heights) for heights in (loose, [v for _, v in wanted])]
            same.setdefault(name, []).extend((len(match.pairs), len(loose), *of_large))
    print(f"{len(chosen[part[0] - 1 :: part[1]])} posters in {folder}, against as they are:")
    for name, counts in same.items():
        right, wrong, large_wrong, large = (sum(counts[n::4]) for n in range(4))
        print(
            f"  {name:22} {right} lines the same, {wrong} not ({right / max(1, right + wrong):.1%} the same); of"
            f" letters of {LEAST_PX:.0f} px and more in the smaller picture {large_wrong} not, of {large}",
            flush=True,
        )


def _packed(picture: Image.Image) -> npt.NDArray[np.uint8]:
    packed = BytesIO()
    picture.save(packed, "JPEG", quality=90)
    return np.asarray(Image.open(packed).convert("RGB"))


def main(arguments: Sequence[str]) -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--count", type=int, default=24, help="how many drawn posters; 0 for none")
    parser.add_argument("--posters", type=Path, help="folder of posters with index.json")
    parser.add_argument("--part", default="1/1", help="which of every so many files, as 2/3")
    options = parser.parse_args(arguments)
    if options.count:
        repeated(options.count)
    if options.posters:
        first, of = (int(v) for v in options.part.split("/"))
        resampled(options.posters, (first, of))


if __name__ == "__main__":
    main(sys.argv[1:])

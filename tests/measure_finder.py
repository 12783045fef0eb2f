"""Print how well lines of text are found and measured.

On drawn posters, whose truth is exact and whose faces nothing was tuned on:

    python tests/measure_finder.py [--count 40]

and on other posters, in a folder with an `index.json` (file, px, truth: complete, partial or none) and a
`truth.json` (file -> lines with box and ignore):

    python tests/measure_finder.py --posters FOLDER [--part 2/3]

The yardstick is a general neural text detector, model loaded, median of five runs after one warm-up, on the
same picture at 2000 px, in the same run.
"""

import argparse
import json
import statistics
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab

from standback.artwork import from_srgb8
from standback.doubts import Doubt
from standback.elements import Line
from standback.find import find_lines
from standback.light import contrast_ratio
from synth import GROUNDS, TrueLine, draw_poster, draw_text_free, matched, measuring_faces
from synth.display import draw_display, draw_emblems
from synth.strokes import true_stroke_px
from synth.turned import draw_turned

COUNT = 40
FIRST_SEED = 70_000
A2_MM = (420.0, 594.0)


@dataclass(eq=False)
class Tally:
    """Counts and errors, summed over posters."""

    right: int = 0
    false: int = 0
    missed: int = 0
    errors: dict[str, list[float]] = field(default_factory=dict)

    def note(self, name: str, measured: float | None, true: float | None) -> None:
        """Note a relative error where both sides have a value."""
        if measured is not None and true is not None:
            self.errors.setdefault(name, []).append(measured / true - 1)

    def scores(self) -> str:
        """Precision, recall and F in words."""
        precision = self.right / max(1, self.right + self.false)
        recall = self.right / max(1, self.right + self.missed)
        f = 2 * precision * recall / max(precision + recall, 1e-9)
        counts = f"({self.right} right, {self.false} false, {self.missed} missed)"
        return f"precision {precision:.3f}  recall {recall:.3f}  F {f:.3f}  {counts}"

    def print_errors(self) -> None:
        """Print each error's median and ninth decile."""
        for name, values in self.errors.items():
            off = np.abs(values)
            print(
                f"  {name:12} n {len(off):5}  median {np.median(off):7.2%}  nine in ten within"
                f" {np.quantile(off, 0.9):7.2%}  worst {off.max():7.1%}  bias {np.median(values):+7.2%}"
            )


def compare(found: Sequence[Line], true: Sequence[TrueLine], tally: Tally) -> None:
    """Add one drawn poster to the tally."""
    match = matched([line.box_px.as_tuple() for line in found], [line.box_px for line in true])
    tally.right += len(match.pairs)
    tally.false += len(match.false)
    tally.missed += len(match.missed)
    for n, m in match.pairs:
        line, truth = found[n], true[m]
        tally.note("ratio", contrast_ratio(line.ink_srgb8, line.ground_srgb8), truth.ratio)
        tally.note("cap height", line.cap_px, truth.cap_px)
        tally.note("x-height", line.x_px, truth.x_px)
        tally.note("letter", line.letter_px, truth.letter_px)
        tally.note("stroke", line.stroke_px, true_stroke_px(truth))


def drawn(count: int) -> None:
    """Measure on drawn posters, plain grounds and then picture grounds."""
    for name, grounds, many in (("plain", GROUNDS, count), ("picture", ("photo",), max(1, count // 2))):
        tally, seconds = Tally(), []
        for n in range(many):
            ppi = (100.0, 150.0)[n // len(GROUNDS) % 2]
            poster = draw_poster(FIRST_SEED + n, grounds[n % len(grounds)], measuring_faces(), ppi=ppi)
            artwork = poster.artwork()
            start = perf_counter()
            found = find_lines(artwork)
            seconds.append(perf_counter() - start)
            compare(found, poster.lines, tally)
        print(f"drawn posters, {name} grounds ({many}, A4 at 100 and 150 ppi): {tally.scores()}", flush=True)
        tally.print_errors()
        print(f"  finder: median {statistics.median(seconds):.2f} s a poster", flush=True)


def text_free(count: int) -> None:
    """Count false lines where there is no text."""
    false = [len(find_lines(draw_text_free(FIRST_SEED + n).artwork())) for n in range(count)]
    print(f"text-free posters ({count}): {sum(false)} false lines, {sum(false) / count:.2f} a poster", flush=True)


def turned(count: int) -> None:
    """Measure on sheets of turned lines."""
    tally, off = Tally(), []
    for n in range(count):
        angle_deg, artwork, lines = draw_turned(FIRST_SEED + n, measuring_faces())
        found = find_lines(artwork)
        match = matched([line.box_px.as_tuple() for line in found], [line.box_px for line in lines])
        tally.right += len(match.pairs)
        tally.false += len(match.false)
        tally.missed += len(match.missed)
        for n_found, n_true in match.pairs:
            line, truth = found[n_found], lines[n_true]
            off.append(abs((line.angle_deg - angle_deg + 90) % 180 - 90))
            tally.note("ratio", contrast_ratio(line.ink_srgb8, line.ground_srgb8), truth.ratio)
            tally.note("cap height", line.cap_px, truth.cap_px)
    print(f"turned lines, capitals of 5 mm and more ({count} sheets): {tally.scores()}", flush=True)
    tally.print_errors()
    print(
        f"  direction off by {np.median(off):.1f} degrees, nine in ten within {np.quantile(off, 0.9):.1f}", flush=True
    )


def display(count: int) -> None:
    """Measure on sheets with one very large letter, numeral or short word, and on as many of large signs."""
    hits: dict[str, list[bool]] = {"one letter": [], "more": []}
    tally, false = Tally(), 0
    for n in range(count):
        poster = draw_display(FIRST_SEED + n, measuring_faces())
        found = find_lines(poster.artwork())
        match = matched([line.box_px.as_tuple() for line in found], [line.box_px for line in poster.lines])
        false += len(match.false)
        large = {true: line for line, true in match.pairs}.get(0)
        hits["one letter" if len(poster.lines[0].text) == 1 else "more"].append(large is not None)
        if large is not None:
            tally.note("letter", found[large].letter_px, poster.lines[0].letter_px)
    counts = ", ".join(f"{name} {sum(hit)} of {len(hit)}" for name, hit in hits.items())
    print(
        f"letters of 8 to 33 % of the sheet's height ({count} sheets): found {counts}; {false} false lines beside them"
    )
    tally.print_errors()
    signs = sum(len(find_lines(draw_emblems(FIRST_SEED + n).artwork())) for n in range(count))
    print(f"large signs and no text ({count} sheets): {signs} false lines", flush=True)


def real(folder: Path, part: tuple[int, int], verbose: bool) -> None:
    """Measure on posters with truth files."""
    index: list[dict[str, Any]] = json.loads((folder / "index.json").read_text())
    truth: dict[str, list[dict[str, Any]]] = json.loads((folder / "truth.json").read_text())
    tallies = {"complete": Tally(), "partial": Tally()}
    inks: list[tuple[tuple[int, ...], tuple[int, ...]]] = []
    chosen = sorted(index, key=lambda entry: str(entry["file"]))[part[0] - 1 :: part[1]]
    for entry in chosen:
        if entry["truth"] == "none":
            continue
        srgb8 = np.asarray(Image.open(folder / entry["file"]).convert("RGB"))
        points = entry.get("pdf_pt")
        size_mm = (points[0] / 72 * 25.4, points[1] / 72 * 25.4) if points else A2_MM
        if not points and srgb8.shape[1] > srgb8.shape[0]:
            size_mm = (A2_MM[1], A2_MM[0])
        start = perf_counter()
        found = find_lines(from_srgb8(srgb8, size_mm=size_mm, file=entry["file"]))
        took = perf_counter() - start
        lines = truth.get(entry["file"], [])
        match = matched(
            [line.box_px.as_tuple() for line in found],
            [tuple(line["box"]) for line in lines],
            [line["ignore"] for line in lines],
        )
        tally = tallies[entry["truth"]]
        tally.right += len(match.pairs)
        tally.false += len(match.false)
        tally.missed += len(match.missed)
        for n, m in match.pairs:
            tally.note("cap height", found[n].cap_px, lines[m].get("cap_height_px"))
            tally.note("x-height", found[n].x_px, lines[m].get("x_height_px"))
            fill = lines[m].get("fill_rgba")
            if fill and fill[3] == 255 and Doubt.BUSY_GROUND not in found[n].doubts:
                inks.append((found[n].ink_srgb8, tuple(fill[:3])))
        if verbose:
            counts = f"{len(match.pairs)} right, {len(match.false)} false, {len(match.missed)} missed"
            print(f"  {entry['file'][:60]:60} {entry['truth']:8} {counts}, {took:.2f} s")
    print(f"posters in {folder} (part {part[0]} of {part[1]}: {len(chosen)} files)")
    print(f"  complete truth: {tallies['complete'].scores()}")
    tallies["complete"].print_errors()
    if inks:
        ours, theirs = rgb2lab(np.array(inks) / 255).transpose(1, 0, 2)
        off = deltaE_ciede2000(ours, theirs)
        print(
            f"  ink against the file's fill, CIEDE2000 ({len(off)} lines): median {np.median(off):.1f},"
            f" nine in ten {np.quantile(off, 0.9):.1f}, under 4 {np.mean(off < 4):.1%}"
        )
    partial = tallies["partial"]
    print(f"  partial truth: recall {partial.right / max(1, partial.right + partial.missed):.3f}")


def yardstick(pictures: Iterable[npt.NDArray[np.uint8]]) -> float:
    """Seconds of the neural detector: median of five after one warm-up, over all the pictures."""
    from rapidocr import RapidOCR

    engine = RapidOCR(params={"Global.log_level": "critical"})
    times = []
    for picture in pictures:
        small = Image.fromarray(picture)
        small.thumbnail((2000, 2000))
        bgr = np.asarray(small)[..., ::-1].copy()
        for n in range(6):
            start = perf_counter()
            engine(bgr, use_det=True, use_cls=False, use_rec=False)
            if n:
                times.append(perf_counter() - start)
    return statistics.median(times)


def speed() -> None:
    """Time the finder on an A2 at 150 ppi against the yardstick."""
    poster = draw_poster(FIRST_SEED + 500, "panel", measuring_faces(), size_mm=A2_MM, ppi=150.0)
    artwork = poster.artwork()
    find_lines(artwork)
    times = []
    for _ in range(3):
        start = perf_counter()
        found = find_lines(artwork)
        times.append(perf_counter() - start)
    ours, theirs = statistics.median(times), yardstick([poster.srgb8])
    print(
        f"A2 at 150 ppi, {len(found)} lines found of {len(poster.lines)}: {ours:.2f} s;"
        f" yardstick {theirs:.2f} s; ratio {ours / theirs:.2f}"
    )


def main(arguments: Sequence[str]) -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--posters", type=Path, help="folder of posters with index.json and truth.json")
    parser.add_argument("--part", default="1/1", help="which of every so many files, as 2/3")
    parser.add_argument("--count", type=int, default=COUNT, help="how many drawn posters; 0 for none")
    parser.add_argument("--quick", action="store_true", help="leave out the timing")
    parser.add_argument("--verbose", action="store_true", help="a line for each poster")
    options = parser.parse_args(arguments)
    if options.count:
        drawn(options.count)
        text_free(max(2, options.count * 3 // 4))
        turned(max(4, options.count // 4))
        display(max(24, options.count))
    if options.count and not options.quick:
        speed()
    if options.posters:
        first, of = (int(v) for v in options.part.split("/"))
        real(options.posters, (first, of), options.verbose)


if __name__ == "__main__":
    main(sys.argv[1:])

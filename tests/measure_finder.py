"""Print how well lines of text are found and measured.

On drawn posters, whose truth is exact and whose faces nothing was tuned on:

    python tests/measure_finder.py

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

from standback.artwork import from_srgb8
from standback.elements import Line
from standback.find import find_lines
from standback.light import contrast_ratio
from synth import GROUNDS, Poster, TrueLine, draw_poster, draw_text_free, matched, measuring_faces
from synth.strokes import true_stroke_px

DRAWN, TEXT_FREE = 40, 10
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


def drawn(count: int, text_free: int) -> None:
    """Measure on drawn posters."""
    tally, seconds = Tally(), []
    for n in range(count):
        poster = draw_poster(FIRST_SEED + n, GROUNDS[n % 3], measuring_faces(), ppi=(100.0, 150.0)[n // 3 % 2])
        artwork = poster.artwork()
        start = perf_counter()
        found = find_lines(artwork)
        seconds.append(perf_counter() - start)
        compare(found, poster.lines, tally)
    print(f"drawn posters ({count}, A4 at 100 and 150 ppi): {tally.scores()}")
    tally.print_errors()
    print(f"  finder: median {statistics.median(seconds):.2f} s a poster")
    false = [len(find_lines(draw_text_free(FIRST_SEED + n).artwork())) for n in range(text_free)]
    print(f"text-free posters ({text_free}): {sum(false)} false lines {false}")


def same_poster() -> None:
    """Measure what resolution and compression do to the same poster."""
    lines = {}
    for ppi in (100.0, 150.0, 300.0):
        poster = draw_poster(FIRST_SEED + 900, "panel", measuring_faces(), ppi=ppi)
        lines[f"{ppi:.0f} ppi"] = _by_place(poster)
        lines[f"{ppi:.0f} ppi JPEG 90"] = _by_place(poster.as_jpeg(90))
    reference = lines["300 ppi"]
    for name, found in lines.items():
        pairs = matched(list(found), list(reference)).pairs
        values, wanted = list(found.values()), list(reference.values())
        ratio = [abs(values[n][0] / wanted[m][0] - 1) for n, m in pairs]
        letter = [abs(values[n][1] / wanted[m][1] - 1) for n, m in pairs]
        print(
            f"  {name:16} {len(found)} lines, {len(pairs)} the same;"
            f" ratio moves at most {max(ratio):.2%}, letter height {max(letter):.2%}"
        )


def _by_place(poster: Poster) -> dict[tuple[float, float, float, float], tuple[float, float]]:
    """Ratio and letter height in mm of each line, by its place in mm."""
    mm = 25.4 / poster.ppi
    places = {}
    for line in find_lines(poster.artwork()):
        x0, y0, x1, y1 = (v * mm for v in line.box_px.as_tuple())
        places[(x0, y0, x1, y1)] = (contrast_ratio(line.ink_srgb8, line.ground_srgb8), line.letter_px * mm)
    return places


def real(folder: Path, part: tuple[int, int], verbose: bool) -> None:
    """Measure on posters with truth files."""
    index: list[dict[str, Any]] = json.loads((folder / "index.json").read_text())
    truth: dict[str, list[dict[str, Any]]] = json.loads((folder / "truth.json").read_text())
    tallies = {"complete": Tally(), "partial": Tally(), "none": Tally()}
    chosen = sorted(index, key=lambda entry: str(entry["file"]))[part[0] - 1 :: part[1]]
    for entry in chosen:
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
        if verbose:
            counts = f"{len(match.pairs)} right, {len(match.false)} false, {len(match.missed)} missed"
            print(f"  {entry['file'][:60]:60} {entry['truth']:8} {counts}, {took:.2f} s")
    print(f"posters in {folder} (part {part[0]} of {part[1]}: {len(chosen)} files)")
    print(f"  complete truth: {tallies['complete'].scores()}")
    tallies["complete"].print_errors()
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
    parser.add_argument("--drawn", type=int, default=DRAWN, help="how many drawn posters")
    parser.add_argument("--text-free", type=int, default=TEXT_FREE, help="how many text-free posters")
    parser.add_argument("--quick", action="store_true", help="leave out the timing and the resolutions")
    parser.add_argument("--verbose", action="store_true", help="a line for each poster")
    options = parser.parse_args(arguments)
    if options.drawn:
        drawn(options.drawn, options.text_free)
    if not options.quick:
        same_poster()
        speed()
    if options.posters:
        first, of = (int(v) for v in options.part.split("/"))
        real(options.posters, (first, of), options.verbose)


if __name__ == "__main__":
    main(sys.argv[1:])

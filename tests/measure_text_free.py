"""Count the lines that are found where posters have no text.

From every poster with complete truth, the largest rectangles are cut that keep clear of all its lines, those to be
ignored too, and are at least 200 px and an eighth of the sheet wide and high. Each is searched as a sheet of its own:

    python tests/measure_text_free.py FOLDER [--keep PICTURES] [--most 6]

The folder is as `measure_finder.py` takes it. With `--keep`, a picture of every line found is written, since truth may
lack what is drawn in pictures: such a line isn't false, and only an eye can tell.
"""

import argparse
import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from standback.artwork import Artwork, from_srgb8
from standback.elements import Line
from standback.find import find_details, find_lines, outside_codes

LEAST_PX, LEAST_SHARE = 200, 1 / 8
CELL_PX = 8
MARGIN = 0.4
"""What is kept clear around a line, in heights of its box, and CELL_PX at least: outlines and shadows reach past it."""
FLAT = 2.0
"""A crop whose codes spread no more than this shows nothing (ours)."""
A2_MM = (420.0, 594.0)
BoxPx = tuple[int, int, int, int]


def crops(size: tuple[int, int], lines: Sequence[Sequence[float]], most: int) -> Iterator[BoxPx]:
    """Yield the largest rectangles (x0, y0, x1, y1) free of lines, none on another."""
    wide, high = size[0] // CELL_PX, size[1] // CELL_PX
    taken = np.zeros((high, wide), dtype=bool)
    for x0, y0, x1, y1 in lines:
        around = max(MARGIN * min(x1 - x0, y1 - y0), CELL_PX)
        left, top = (max(0, int((v - around) // CELL_PX)) for v in (x0, y0))
        taken[top : int((y1 + around) // CELL_PX) + 1, left : int((x1 + around) // CELL_PX) + 1] = True
    least = [int(np.ceil(max(LEAST_PX, LEAST_SHARE * side) / CELL_PX)) for side in size]
    for _ in range(most):
        best = max(_free(taken, *least), key=lambda b: (b[2] - b[0]) * (b[3] - b[1]), default=None)
        if best is None:
            return
        x0, y0, x1, y1 = best
        taken[y0:y1, x0:x1] = True
        yield (x0 * CELL_PX, y0 * CELL_PX, x1 * CELL_PX, y1 * CELL_PX)


def _free(taken: npt.NDArray[np.bool_], least_wide: int, least_high: int) -> Iterator[BoxPx]:
    """Yield every free rectangle that can't be widened, row by row."""
    high, wide = taken.shape
    column = np.zeros(wide, dtype=int)
    for row in range(high):
        column = np.where(taken[row], 0, column + 1)
        open_: list[tuple[int, int]] = []
        for x, tall in enumerate([*column.tolist(), 0]):
            start = x
            while open_ and open_[-1][1] >= tall:
                start, height = open_.pop()
                if x - start >= least_wide and height >= least_high:
                    yield (start, row + 1 - height, x, row + 1)
            open_.append((start, tall))


def outside(artwork: Artwork, lines: Sequence[Line]) -> int:
    """Count the lines that an audit would keep: rows of a code's modules are none."""
    return len(outside_codes(lines, find_details(artwork, lines))) if lines else 0


def keep(srgb8: npt.NDArray[np.uint8], line: Line, path: Path) -> None:
    """Write a picture of a line and its surroundings, its box drawn in and its numbers in the name."""
    x0, y0, x1, y1 = (round(v) for v in line.box_px.as_tuple())
    around = 60 + (y1 - y0)
    left, top = max(0, x0 - around), max(0, y0 - around)
    picture = Image.fromarray(srgb8[top : y1 + around, left : x1 + around])
    ImageDraw.Draw(picture).rectangle((x0 - left - 2, y0 - top - 2, x1 - left + 1, y1 - top + 1), outline=(255, 0, 255))
    picture.save(path)


def main(arguments: Sequence[str]) -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("posters", type=Path, help="folder of posters with index.json and truth.json")
    parser.add_argument("--keep", type=Path, help="folder for a picture of every line found")
    parser.add_argument("--most", type=int, default=6, help="so many crops of a poster at most")
    options = parser.parse_args(arguments)
    index: list[dict[str, Any]] = json.loads((options.posters / "index.json").read_text())
    truth: dict[str, list[dict[str, Any]]] = json.loads((options.posters / "truth.json").read_text())
    if options.keep:
        options.keep.mkdir(parents=True, exist_ok=True)
    counts: list[tuple[int, int, bool]] = []
    posters = 0
    for entry in sorted(index, key=lambda entry: str(entry["file"])):
        if entry["truth"] != "complete":
            continue
        posters += 1
        sheet = np.asarray(Image.open(options.posters / entry["file"]).convert("RGB"))
        width_px = sheet.shape[1]
        width_mm = entry["pdf_pt"][0] / 72 * 25.4 if entry.get("pdf_pt") else A2_MM[0]
        for x0, y0, x1, y1 in crops(
            (width_px, sheet.shape[0]), [line["box"] for line in truth[entry["file"]]], options.most
        ):
            srgb8 = np.ascontiguousarray(sheet[y0:y1, x0:x1])
            size_mm = ((x1 - x0) * width_mm / width_px, (y1 - y0) * width_mm / width_px)
            artwork = from_srgb8(srgb8, size_mm=size_mm, file=entry["file"])
            lines = find_lines(artwork)
            counts.append((len(lines), outside(artwork, lines), bool(srgb8.std(axis=(0, 1)).max() > FLAT)))
            for line in lines:
                box = line.box_px
                print(
                    f"  poster {posters}, crop {x0} {y0} {x1} {y1}: line at {box.x0:.0f} {box.y0:.0f} {box.x1:.0f}"
                    f" {box.y1:.0f}, letters {line.letter_px:.0f} px, confidence {line.confidence:.2f}",
                    flush=True,
                )
                if options.keep:
                    name = f"{posters:02}_{x0}_{y0}_{box.x0:.0f}_{box.y0:.0f}_{100 * line.confidence:.0f}.png"
                    keep(srgb8, line, options.keep / name)
    found, kept, shows = np.array(counts).T
    print(
        f"{len(counts)} crops of {posters} posters, {shows.sum()} of them not flat: {found.sum()} lines found,"
        f" {found.sum() / len(counts):.2f} a crop ({found.sum() / max(1, shows.sum()):.2f} a crop that isn't flat);"
        f" {kept.sum()} that are no rows of a code; {(found > 0).sum()} crops with any"
    )


if __name__ == "__main__":
    main(sys.argv[1:])

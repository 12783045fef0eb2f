"""Print how well x-heights and heights of capitals are measured, size by size, on drawn lines and on real ones.

    python tests/measure_heights.py [--posters FOLDER]

Drawn: every measuring face at ten x-heights, two lines each. Real: the posters of the folder (see measure_finder.py)
whose PDF lies in its `pdf/`. There the truth is read from the outlines of the letters themselves: an x-height is how
far letters with level tops (x, v, and so on) rise over the baseline. The folder's own `x_height_px` is the height of
the whole box of small letters, most of them round: it holds what o and e overshoot at the top and at the foot.
"""

import argparse
import ctypes
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median

import numpy as np
from PIL import Image

from standback.artwork import from_srgb8
from standback.elements import Line
from standback.find import find_lines
from synth import matched, measuring_faces
from synth.fonts import Face
from synth.sheet import MM_PER_INCH, Poster, Sheet

SIZES_PX = (5, 6, 7, 8, 10, 12, 16, 24, 40, 80)
LINES = ("Evening brass and strings", "Hazel voices move", "Under dim zinc waves", "Exact views from roads")
LARGE = ("Vexed mower", "Waxen ore")
FLAT = frozenset("xvwzuyıвгиклмнптхцшщ")
"""Small letters, Latin and Cyrillic, whose tops are level."""
PPI = 100.0


def specimen(face: Face, number: int) -> Poster:
    """Draw a sheet of lines of one face at every size, off the grid of pixels by another part of a pixel each."""
    sheet = Sheet(297.0, 420.0, PPI, ground=(250, 248, 240))
    y = 10.0
    for n, size_px in enumerate(SIZES_PX):
        size_mm = size_px / PPI * MM_PER_INCH
        texts = (LARGE[size_px >= 80],) if size_px >= 40 else tuple(LINES[(n + number + k) % 4] for k in range(2))
        for text in texts:
            y += 2.6 * size_mm + 1.5
            sheet.text(text, face, (20, 20, 30), (15 + 0.037 * n, y + 0.013 * number), x_mm=size_mm)
            y += 0.5 * size_mm
    return sheet.finish()


def drawn() -> None:
    """Measure on specimens."""
    small: dict[int, list[float]] = {}
    tall: dict[int, list[float]] = {}
    asked = 0
    for number, face in enumerate(measuring_faces()):
        poster = specimen(face, number)
        asked += len(poster.lines)
        found = find_lines(poster.artwork())
        match = matched([line.box_px.as_tuple() for line in found], [line.box_px for line in poster.lines])
        for n, m in match.pairs:
            line, truth = found[n], poster.lines[m]
            if truth.x_px is None or truth.cap_px is None:
                continue
            size = round(truth.x_px)
            if line.x_px is not None:
                small.setdefault(size, []).append(line.x_px / truth.x_px - 1)
            if line.cap_px is not None:
                tall.setdefault(size, []).append(line.cap_px / truth.cap_px - 1)
    print(f"{len(measuring_faces())} faces, {asked} lines; x-heights and capitals, error by x-height in px:")
    for size in sorted(small):
        print(f"  {size:3} px: x-height {_words(small[size])}; capitals {_words(tall[size])}", flush=True)
    every = ([error for errors in sizes.values() for error in errors] for sizes in (small, tall))
    print("  all: x-height {}; capitals {}".format(*map(_words, every)))


def real(folder: Path) -> None:
    """Measure on the posters whose PDF is there."""
    index = {entry["file"]: entry for entry in json.loads((folder / "index.json").read_text())}
    truth = json.loads((folder / "truth.json").read_text())
    against: dict[str, list[float]] = {"level tops": [], "the folder's truth": []}
    for file in sorted((folder / "pdf").glob("*.pdf")):
        name, entry = f"{file.stem}.png", index[f"{file.stem}.png"]
        lines = [line for line in truth.get(name, []) if not line["ignore"]]
        if not lines:
            continue
        srgb8 = np.asarray(Image.open(folder / name).convert("RGB"))
        width_mm, height_mm = (points / 72 * 25.4 for points in entry["pdf_pt"])
        found: Sequence[Line] = find_lines(from_srgb8(srgb8, size_mm=(width_mm, height_mm), file=name))
        match = matched([line.box_px.as_tuple() for line in found], [tuple(line["box"]) for line in lines])
        level_px = level_tops(file, srgb8.shape[0])
        for n, m in match.pairs:
            ours, level, theirs = found[n].x_px, level_px(lines[m]["box"]), lines[m].get("x_height_px")
            if ours is not None and level is not None and theirs is not None:
                against["level tops"].append(ours / level - 1)
                against["the folder's truth"].append(ours / theirs - 1)
    for name, errors in against.items():
        print(f"real lines, x-height against {name}: {_words(errors)}")


def level_tops(file: Path, height_px: int) -> Callable[[Sequence[float]], float | None]:
    """Return a function from a box (x0, y0, x1, y1) in px to how high level small letters in it rise, in px."""
    import pypdfium2 as pdfium
    import pypdfium2.raw as raw

    page = pdfium.PdfDocument(file)[0]
    text, high = page.get_textpage(), page.get_height()
    scale = height_px / high
    tops: list[tuple[float, float, float]] = []
    for n in range(text.count_chars()):
        if chr(raw.FPDFText_GetUnicode(text, n)) not in FLAT:
            continue
        left, right, foot, top, x, base = (ctypes.c_double() for _ in range(6))
        raw.FPDFText_GetCharBox(text, n, left, right, foot, top)
        raw.FPDFText_GetCharOrigin(text, n, x, base)
        rise = top.value - base.value
        tops.append(((left.value + right.value) / 2 * scale, (high - base.value - rise / 2) * scale, rise * scale))

    def inside(box: Sequence[float]) -> float | None:
        x0, y0, x1, y1 = box
        rises = [rise for x, y, rise in tops if x0 <= x <= x1 and y0 <= y <= y1]
        return median(rises) if rises else None

    return inside


def _words(errors: Sequence[float]) -> str:
    within = np.quantile(np.abs(errors), 0.9)
    return f"bias {median(errors):+.2%}, nine in ten within {within:.2%} ({len(errors)} lines)"


def main(arguments: Sequence[str]) -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--posters", type=Path, help="folder of posters with index.json, truth.json and pdf/")
    options = parser.parse_args(arguments)
    drawn()
    if options.posters:
        real(options.posters)


if __name__ == "__main__":
    main(sys.argv[1:])

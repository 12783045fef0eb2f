"""Fit the weights of `find.textlike.WEIGHTS`: what speaks for text and what against, on drawn posters.

    PYTHONPATH=tests python -m training.weigh [--count 60] [--posters FOLDER]

Posters are drawn in tuning faces, never in those that figures are measured with. A folder of other posters with
truth files (see measure_finder.py) adds those of complete truth, but every third, which is kept unseen. Prints
the weights of a logistic regression with a slight pull to 0, in which a false line counts four times.
"""

import argparse
import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PIL import Image

from standback.artwork import Artwork, from_srgb8
from standback.find import learned, lines
from standback.find.textlike import WEIGHTS, evidence
from synth import GROUNDS, draw_poster, draw_text_free, tuning_faces
from synth.display import draw_display, draw_emblems
from synth.matching import Bounds, iou

FIRST_SEED = 90_000
LEAST_IOU, TOUCHING = 0.5, 0.1
FALSE_COUNTS, PULL, ROUNDS = 4.0, 0.5, 60

Doubles = npt.NDArray[np.float64]


def sheets(count: int, folder: Path | None) -> Iterator[tuple[Artwork, list[Bounds]]]:
    """Yield artworks with the boxes of their lines."""
    for n in range(count):
        ground = (*GROUNDS, "photo")[n % 4]
        poster = draw_poster(FIRST_SEED + n, ground, tuning_faces(), ppi=(100.0, 150.0)[n // 4 % 2])
        yield poster.artwork(), [line.box_px for line in poster.lines]
        yield draw_text_free(FIRST_SEED + n, ppi=(100.0, 150.0)[n % 2]).artwork(), []
        poster = draw_display(FIRST_SEED + n, tuning_faces())
        yield poster.artwork(), [line.box_px for line in poster.lines]
        yield draw_emblems(FIRST_SEED + n).artwork(), []
    if folder is None:
        return
    truth = json.loads((folder / "truth.json").read_text())
    index = sorted(json.loads((folder / "index.json").read_text()), key=lambda entry: str(entry["file"]))
    for n, entry in enumerate(index):
        if entry["truth"] == "complete" and n % 3 != 2:
            srgb8 = np.asarray(Image.open(folder / entry["file"]).convert("RGB"))
            width_mm, height_mm = (points / 72 * 25.4 for points in entry["pdf_pt"])
            boxes = [tuple(line["box"]) for line in truth[entry["file"]]]
            yield from_srgb8(srgb8, size_mm=(width_mm, height_mm), file=entry["file"]), boxes


def examples(artwork: Artwork, boxes: list[Bounds]) -> Iterator[tuple[list[float], bool]]:
    """Yield the evidence on each candidate that is a line or touches none."""
    for band in learned.bands_of(learned.looks_at(artwork)):
        for candidate in lines.candidates_of(artwork, band):
            best = max((iou(candidate.line.box_px.as_tuple(), box) for box in boxes), default=0.0)
            if best >= LEAST_IOU or best < TOUCHING:
                yield list(evidence(candidate.traits).values()), best >= LEAST_IOU


def fitted(traits: Doubles, is_text: Doubles) -> Doubles:
    """Return the weights by Newton's method."""
    counts = np.where(is_text > 0, 1.0, FALSE_COUNTS)
    pull = np.full(traits.shape[1], PULL)
    pull[0] = 0.01
    weights = np.zeros(traits.shape[1])
    for _ in range(ROUNDS):
        likely = 1 / (1 + np.exp(-traits @ weights))
        slope = traits.T @ (counts * (is_text - likely)) - pull * weights
        bend = (traits * (counts * likely * (1 - likely))[:, None]).T @ traits + np.diag(pull)
        weights = weights + np.linalg.solve(bend, slope)
    return weights


def main() -> None:
    """Draw, propose, measure, fit and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument(
        "--count", type=int, default=60, help="how many posters and display sheets, with text and without"
    )
    parser.add_argument("--posters", type=Path, help="folder of posters with index.json and truth.json")
    options = parser.parse_args()
    found = [one for artwork, boxes in sheets(options.count, options.posters) for one in examples(artwork, boxes)]
    traits, is_text = np.array([one[0] for one in found]), np.array([float(one[1]) for one in found])
    print(f"{int(is_text.sum())} lines, {int((is_text == 0).sum())} others")
    for name, weight in zip(WEIGHTS, fitted(traits, is_text), strict=True):
        print(f'    "{name}": {weight:.2f},')


if __name__ == "__main__":
    main()

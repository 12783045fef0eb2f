"""Print how well words are read, and whether a letter that was replaced by a drawing is told.

On drawn sheets, in faces nothing was tuned on; each line's wording is in the brief:

    python tests/measure_words.py [--count 24]

and on other posters, in a folder with an `index.json` and a `truth.json` as tests/measure_finder.py reads them
(lines with `text` and `x_height_px`):

    python tests/measure_words.py --posters FOLDER [--part 2/3]

Character accuracy is one minus the edits that turn what was read into the text, over the text's length; case and
accents count. The plain reader is the same recogniser on a single crop of each line, as it was drawn.
"""

import argparse
import json
import random
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from measure_finder import A2_MM, Tally
from standback.artwork import Artwork, from_srgb8
from standback.brief.model import Brief, BriefLine, Where
from standback.elements import Box, Line
from standback.find import find_text
from standback.pipeline import audit_artwork
from standback.same_words import difference
from standback.settings import Settings
from standback.wording.crops import near_crop
from standback.wording.lines import read_text
from standback.wording.recogniser import recogniser
from synth import matched, measuring_faces
from synth.fonts import Face

FIRST_SEED, FIRST_SHAPES = 81_000, 84_000
PPI, SHEET_MM = 100.0, (297.0, 420.0)
LEAST_X_MM = 3.0
MASKED = "[url]"
"""What a truth file writes in place of an address: such a line's wording isn't known."""
WORDS = [
    "HARBOUR",
    "LANTERN",
    "MARKET",
    "ORCHARD",
    "VILLAGE",
    "GARDEN",
    "MUSEUM",
    "CONCERT",
    "READING",
    "SUMMER",
    "AUTUMN",
    "WINTER",
    "RIVER",
    "BRIDGE",
    "THEATRE",
    "CINEMA",
    "DANCE",
    "CHORUS",
    "FESTIVAL",
    "WORKSHOP",
    "KITCHEN",
    "LIBRARY",
    "MOUNTAIN",
    "FOREST",
    "RADIO",
    "STATION",
    "POTTERY",
    "BICYCLE",
]
DRAWINGS = ("disc", "ring", "star", "heart", "tree", "face")


def edits(a: str, b: str) -> int:
    """Count the least insertions, deletions and replacements that turn one text into another."""
    row = list(range(len(b) + 1))
    for n, letter in enumerate(a, start=1):
        above, row[0] = row[0], n
        for m, other in enumerate(b, start=1):
            above, row[m] = row[m], min(row[m] + 1, row[m - 1] + 1, above + (letter != other))
    return row[-1]


@dataclass(frozen=True, slots=True)
class Worded:
    """A drawn line: its wording, its ink box in px, and the word with a drawing in it, if any."""

    text: str
    box: tuple[int, int, int, int]
    spoilt: str | None


def sheet(seed: int) -> tuple[Artwork, list[Worded]]:
    """Draw a sheet of four lines; about half of them with a drawing in a letter's place."""
    rng = random.Random(seed)
    width, height = (round(side / 25.4 * PPI) for side in SHEET_MM)
    ground, ink = rng.choice(
        [((250, 247, 240), (24, 30, 60)), ((28, 40, 70), (245, 240, 225)), ((240, 200, 60), (40, 20, 20))]
    )
    picture = Image.new("RGB", (width, height), ground)
    draw = ImageDraw.Draw(picture)
    face = rng.choice(measuring_faces())
    lines, y = [], 90
    unused = rng.sample(WORDS, len(WORDS))  # no word twice: a word is told by its name
    for cap_mm, count in ((26.0, 1), (16.0, 2), (11.0, 2), (8.0, 3)):
        words = [unused.pop() for _ in range(count)]
        em = cap_mm / 25.4 * PPI / face.cap_em
        spoilt = rng.randrange(count) if rng.random() < 0.5 else None
        lines.append(_line(draw, words, spoilt, face, em, (70, y), ink, rng))
        y += round(em * 1.9)
    return from_srgb8(np.asarray(picture), size_mm=SHEET_MM), lines


def _line(
    draw: ImageDraw.ImageDraw,
    words: list[str],
    spoilt: int | None,
    face: Face,
    em: float,
    at: tuple[int, int],
    ink: tuple[int, int, int],
    rng: random.Random,
) -> Worded:
    text, font = " ".join(words), face.at(em)
    cap = face.cap_em * em
    place = None
    if spoilt is not None:
        place = len(" ".join(words[:spoilt])) + (spoilt > 0) + rng.randrange(1, len(words[spoilt]) - 1)
    x, y = at[0], at[1] + cap
    for n, letter in enumerate(text):
        left = x + font.getlength(text[:n])
        if n != place:
            draw.text((left, y), letter, font=font, fill=ink, anchor="ls")
            continue
        wide = font.getlength(letter)
        side = min(cap, wide * 0.92)
        middle = (left + wide / 2, y - cap / 2)
        _drawing(draw, rng.choice(DRAWINGS), middle, side, cap, rng.choice([ink, (200, 60, 50), (40, 140, 90)]))
    right = x + font.getlength(text)
    box = (int(x), int(y - cap), int(right) + 1, int(y) + 1)
    return Worded(text, box, None if spoilt is None else words[spoilt])


def _drawing(
    draw: ImageDraw.ImageDraw,
    kind: str,
    middle: tuple[float, float],
    wide: float,
    high: float,
    colour: tuple[int, int, int],
) -> None:
    """Draw a small picture as wide and high as the letter it stands for."""
    x, y = middle
    a, b = wide / 2, high / 2
    if kind in ("disc", "face", "ring"):
        draw.ellipse((x - a, y - a, x + a, y + a), fill=None if kind == "ring" else colour, outline=colour, width=3)
        if kind == "ring":
            draw.line((x - a, y + b, x + a, y - b), fill=colour, width=max(2, round(wide / 10)))
        if kind == "face":
            for side in (-0.4, 0.4):
                draw.ellipse((x + (side - 0.12) * a, y - 0.3 * a, x + (side + 0.12) * a, y), fill=(255, 255, 255))
    elif kind == "star":
        points = [
            (
                x + (a if n % 2 == 0 else 0.42 * a) * np.sin(n * np.pi / 5),
                y - (b if n % 2 == 0 else 0.42 * b) * np.cos(n * np.pi / 5),
            )
            for n in range(10)
        ]
        draw.polygon(points, fill=colour)
    elif kind == "heart":
        draw.ellipse((x - a, y - b, x, y), fill=colour)
        draw.ellipse((x, y - b, x + a, y), fill=colour)
        draw.polygon([(x - a, y - b / 2), (x + a, y - b / 2), (x, y + b)], fill=colour)
    else:
        for top, bottom, share in ((-1.0, 0.1, 0.7), (-0.4, 0.7, 1.0)):
            draw.polygon(
                [(x, y + top * b), (x - share * a, y + bottom * b), (x + share * a, y + bottom * b)], fill=colour
            )
        draw.rectangle((x - a / 6, y + 0.7 * b, x + a / 6, y + b), fill=colour)


def drawn(count: int, verbose: bool) -> None:
    """Measure which words are told to be misread on drawn sheets."""
    untouched = reported = spoilt = failed = told_failed = told = lost = 0
    for n in range(count):
        artwork, lines = sheet(FIRST_SEED + n)
        entries = tuple(
            BriefLine(where=Where(box_mm=artwork.box_mm(Box(**_named(line.box)))), wording=line.text, row=row)
            for row, line in enumerate(lines, start=1)
        )
        report = audit_artwork(artwork, Settings(far_m=5.0, read=True, brief=Brief(file="brief.toml", lines=entries)))
        said = " ".join(f.says for f in report.findings if f.check == "misread")
        holes = [p.box_px for f in report.findings if f.check == "misread" for p in f.places]
        lost += sum(why.why.startswith("the reader can make nothing") for why in report.not_judged)
        plain = recogniser()([near_crop(_as_line(line.box), artwork) for line in lines])
        for line, reading in zip(lines, plain, strict=True):
            apart = difference(reading.wording, line.text)
            unread = {wanted for _, wanted in (apart.words if apart is not None else ())}
            for word in line.text.split():
                named = f"“{word}”" in said
                if word != line.spoilt:
                    untouched += 1
                    reported += named
                    if named and verbose:
                        print(f"    untouched {word!r} in {line}: {said}")
                    continue
                in_it = named or any(_inside(hole, line.box) for hole in holes)
                spoilt += 1
                told += in_it
                failed += word in unread
                told_failed += in_it and word in unread
    print(
        f"drawn sheets ({count}, A3 at {PPI:g} ppi): {spoilt} words with a drawing in a letter's place,"
        f" {untouched} without"
    )
    print(f"  told of those that a plain reader fails on: {told_failed} of {failed}; of all: {told} of {spoilt}")
    print(f"  untouched words told: {reported} of {untouched} ({reported / max(1, untouched):.1%})")
    print(f"  sheets with lines that the reader is lost with: {lost}", flush=True)


def by_shape(count: int, verbose: bool) -> None:
    """Measure which drawings are told by their shapes alone, in the two larger lines: those for far and mid."""
    told = spoilt = words = false = 0
    for n in range(count):
        artwork, lines = sheet(FIRST_SHAPES + n)
        findings = audit_artwork(artwork, Settings(far_m=5.0)).findings
        places = [place.box_px for f in findings if f.check == "misread" for place in f.places]
        for row, line in enumerate(lines):
            inside, drawn_in = sum(_inside(place, line.box) for place in places), line.spoilt is not None
            words += len(line.text.split()) - drawn_in
            false += max(0, inside - drawn_in)
            if row < 2 and drawn_in:
                spoilt += 1
                told += inside > 0
            if verbose and row < 2 and (inside > 0) != drawn_in:
                print(f"    {'missed' if drawn_in else 'false'}: sheet {n}, {line}")
    print(f"drawn sheets ({count}), without a reader or wording: told by shape {told} of {spoilt} drawings")
    print(f"  in words without any: {false} of {words}", flush=True)


def _named(box: tuple[int, int, int, int]) -> dict[str, int]:
    return dict(zip(("x0", "y0", "x1", "y1"), box, strict=True))


def _as_line(box: tuple[int, int, int, int]) -> Line:
    mask = np.ones((2, 2), dtype=np.bool_)
    return Line(
        box_px=Box(**_named(box)), mask=mask, core=mask, ink_srgb8=(0, 0, 0), ground_srgb8=(255, 255, 255),
        cap_px=None, x_px=None, letter_px=10.0, stroke_px=2.0,
    )  # fmt: skip


def _inside(hole: Box, box: tuple[int, int, int, int]) -> bool:
    x, y = (hole.x0 + hole.x1) / 2, (hole.y0 + hole.y1) / 2
    return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def real(folder: Path, part: tuple[int, int], verbose: bool) -> None:
    """Measure wording and lines on posters with truth files."""
    index: list[dict[str, Any]] = json.loads((folder / "index.json").read_text())
    truth: dict[str, list[dict[str, Any]]] = json.loads((folder / "truth.json").read_text())
    reader = recogniser()
    with_reader, without = Tally(), Tally()
    wrong = length = 0
    seconds, cpu, least = [], [], []
    for entry in sorted(index, key=lambda one: str(one["file"]))[part[0] - 1 :: part[1]]:
        if entry["truth"] == "none":
            continue
        srgb8 = np.asarray(Image.open(folder / entry["file"]).convert("RGB"))
        points = entry.get("pdf_pt")
        size_mm = (points[0] / 72 * 25.4, points[1] / 72 * 25.4) if points else A2_MM
        if not points and srgb8.shape[1] > srgb8.shape[0]:
            size_mm = (A2_MM[1], A2_MM[0])
        artwork = from_srgb8(srgb8, size_mm=size_mm, file=entry["file"])
        lines, doubtful = find_text(artwork)
        start, worked = perf_counter(), process_time()
        read = read_text(lines, doubtful, artwork, reader)
        seconds.append(perf_counter() - start)
        cpu.append(process_time() - worked)
        true = truth.get(entry["file"], [])
        boxes, ignored = [tuple(line["box"]) for line in true], [line["ignore"] for line in true]
        match = matched([line.box_px.as_tuple() for line in read.lines], boxes, ignored)
        if entry["truth"] == "complete":
            _count(with_reader, match)
            _count(without, matched([line.box_px.as_tuple() for line in lines], boxes, ignored))
        for n, m in match.pairs:
            text = " ".join(str(true[m]["text"]).split())
            x_mm = (true[m].get("x_height_px") or 0.7 * (true[m].get("cap_height_px") or 0)) / artwork.px_per_mm
            if x_mm < LEAST_X_MM or not _latin(text) or MASKED in text:
                continue
            off = edits(read.near[n].wording, text)
            wrong, length = wrong + min(off, len(text)), length + len(text)
            least.append((off / len(text), read.near[n].wording, text))
        if verbose:
            print(
                f"  {entry['file'][:60]:60} {len(lines)} lines, {len(read.lines)} with the reader, {seconds[-1]:.2f} s"
            )
    print(f"posters in {folder} (part {part[0]} of {part[1]}: {len(seconds)} files)")
    print(
        f"  character accuracy of matched Latin lines of {LEAST_X_MM:g} mm and more ({len(least)}):"
        f" {1 - wrong / max(1, length):.4f}"
    )
    print(f"  complete truth, without: {without.scores()}")
    print(f"  complete truth, reading: {with_reader.scores()}")
    print(
        f"  reading: median {np.median(seconds):.2f} s, at most {max(seconds):.2f} s;"
        f" {np.median(cpu):.2f} s of one core"
    )
    if verbose:
        for share, got, wanted in sorted(least, reverse=True)[:12]:
            print(f"    {share:.2f} {got!r} for {wanted!r}")


def _count(tally: Tally, match: Any) -> None:
    tally.right += len(match.pairs)
    tally.false += len(match.false)
    tally.missed += len(match.missed)


def _latin(text: str) -> bool:
    letters = [letter for letter in text if letter.isalpha()]
    return len(letters) >= 2 and all(ord(letter) < 0x250 for letter in letters)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=24)
    parser.add_argument("--posters", type=Path)
    parser.add_argument("--part", default="1/1")
    parser.add_argument("--verbose", action="store_true")
    given = parser.parse_args(arguments)
    if given.posters is None:
        by_shape(given.count, given.verbose)
        drawn(given.count, given.verbose)
    else:
        first, parts = (int(number) for number in given.part.split("/"))
        real(given.posters, (first, parts), given.verbose)


if __name__ == "__main__":
    main()

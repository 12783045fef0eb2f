"""Time and memory of whole runs, each with its yardstick in the same run.

    python tests/measure_speed.py [start] [a2] [huge] [pixels] [lines] [batch] [--most-megapixels 400] [--posters 40]

start    `--help` and `letters`, median of five; beside them Python on nothing
a2       an A2 at 150 ppi, in runs of a general text detector (rapidocr's detection alone, model loaded, median of
         five after one warm-up, picture at 2000 px on the long side)
huge     24 x 36 in at 300 ppi on photographic content, in decodes: Pillow decodes the file and averages it down
pixels   one A2 drawn at 1, 4, 16 and 64 megapixels, and up to as many as asked for, in decodes
lines    an A2 with 5, 20 and 80 lines, in runs of the detector
batch    many A4 at 100 ppi, one and two at a time

Without a name all are measured. It takes minutes; other work on the machine spoils it.
"""

import argparse
import tempfile
from collections.abc import Callable
from pathlib import Path

from speed import drawing
from speed.running import apart, bare_python, median_s, ran

AUDIT = ("audit", "--quiet", "--gate", "off")
MEGAPIXELS, LINES = (1, 4, 16, 64, 150, 400), (5, 20, 80)


def start() -> None:
    """Time how soon the program is there."""
    python_s = median_s(bare_python, 5)
    print(f"python -c '': {1000 * python_s:.0f} ms")
    for args, most_ms in ((("--help",), 250), (("letters", "--from", "8m"), 400)):
        taken_s = median_s(lambda args=args: ran(*args, watched=False), 5)  # type: ignore[misc]
        print(f"standback {args[0]}: {1000 * taken_s:.0f} ms (under {most_ms})")


def a2(folder: Path) -> None:
    """Measure an A2 at 150 ppi."""
    file = folder / "a2.png"
    lines = apart(drawing.draw_a2, file)
    detector_s = apart(drawing.detector_s, file)
    taken_s = _audit_s(file)
    print(
        f"A2 at 150 ppi, {lines} lines: audit {taken_s:.1f} s, detector {detector_s:.2f} s: "
        f"{taken_s / detector_s:.1f} yardsticks (at most 3)"
    )


def _audit_s(file: Path) -> float:
    """Time an audit: the median of three, the first of which compiles, and unwatched, since that takes time as well."""
    return median_s(lambda: ran(*AUDIT, file, watched=False), 3)


def huge(folder: Path) -> None:
    """Measure a large photograph."""
    file = folder / "huge.png"
    lines = apart(drawing.draw_huge, file)
    decode_s = apart(drawing.decode_s, file)
    audit_s, held = _audit_s(file), ran(*AUDIT, file)
    print(
        f"24 x 36 in at 300 ppi, {lines} lines: audit {audit_s:.1f} s, decode and average {decode_s:.1f} s: "
        f"{audit_s / decode_s:.1f} decodes (at most 4), peak {held.peak_mib:.0f} MiB (under 1000)"
    )


def pixels(folder: Path, most_megapixels: float) -> None:
    """Measure one poster at more and more pixels."""
    for megapixels in MEGAPIXELS:
        if megapixels <= most_megapixels:
            file, ppi = folder / "pixels.png", drawing.a2_ppi(megapixels)
            apart(drawing.draw_a2, file, ppi)
            decode_s = apart(drawing.decode_s, file)
            run = ran(*AUDIT, "--max-megapixels", "401", file)
            print(
                f"A2 at {ppi:.0f} ppi, {megapixels} megapixels: audit {run.wall_s:.1f} s ({run.cpu_s:.1f} s of "
                f"processors), decode and average {decode_s:.2f} s, peak {run.peak_mib:.0f} MiB"
            )


def lines(folder: Path) -> None:
    """Measure a sheet with more and more lines."""
    for count in LINES:
        file = folder / "lines.png"
        apart(drawing.draw_lines, file, count)
        detector_s = apart(drawing.detector_s, file)
        run = ran(*AUDIT, file)
        print(
            f"A2 at 100 ppi, {count} lines: audit {run.wall_s:.1f} s ({run.cpu_s:.1f} s of processors), "
            f"detector {detector_s:.2f} s: {run.wall_s / detector_s:.1f} yardsticks"
        )


def batch(folder: Path, posters: int) -> None:
    """Measure what a second worker gains."""
    drafts = folder / "drafts"
    drafts.mkdir(exist_ok=True)
    apart(drawing.draw_many, drafts, posters)
    one = ran(*AUDIT, drafts, "--jobs", "1")
    two = ran(*AUDIT, drafts, "--jobs", "2")
    for jobs, run in ((1, one), (2, two)):
        print(
            f"{posters} A4 at 100 ppi, --jobs {jobs}: {run.wall_s:.1f} s ({run.cpu_s:.1f} s of processors), "
            f"peak {run.together_mib:.0f} MiB in all processes, {run.peak_mib:.0f} MiB in the largest"
        )
    print(f"two at a time: {one.wall_s / two.wall_s:.2f} times as fast (at least 1.8)")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sections", nargs="*", help="what to measure; left out: all")
    parser.add_argument("--folder", type=Path, help="where to draw the posters; left out: a temporary one")
    parser.add_argument("--most-megapixels", type=float, default=64.0, help="of the curve by pixels; left out: 64")
    parser.add_argument("--posters", type=int, default=40, help="in the batch; left out: 40")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        place = given.folder or Path(temporary)
        sections: dict[str, Callable[[], None]] = {
            "start": start,
            "a2": lambda: a2(place),
            "huge": lambda: huge(place),
            "pixels": lambda: pixels(place, given.most_megapixels),
            "lines": lambda: lines(place),
            "batch": lambda: batch(place, given.posters),
        }
        if unknown := set(given.sections) - sections.keys():
            parser.error(f"there is no {', '.join(sorted(unknown))}; there are {', '.join(sections)}")
        for name, section in sections.items():
            if not given.sections or name in given.sections:
                section()


if __name__ == "__main__":
    main()

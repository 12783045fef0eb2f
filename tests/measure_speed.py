"""Time and memory of whole audits, with their yardsticks in the same run.

    python tests/measure_speed.py [--folder DIR]

The yardstick of an A2 at 150 ppi is a general text detector (rapidocr's detection alone, model loaded,
median of five after one warm-up, picture at 2000 px on the long side); that of a 24 x 36 in poster at 300 ppi
is the time to decode the same file with Pillow.
"""

import argparse
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from PIL import Image

from measure_finder import yardstick
from synth import draw_poster, measuring_faces

HUGE_MM, HUGE_PPI = (609.6, 914.4), 300
RUN = "import sys; from standback.__main__ import main; main(sys.argv[1:])"


def seconds(action: Callable[[], object], times: int) -> float:
    """Median of several runs."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        action()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def audit(file: Path) -> int:
    """Run the whole command; return its exit code."""
    return subprocess.run(
        [sys.executable, "-c", RUN, "audit", file, "--quiet", "--gate", "off"], check=False
    ).returncode


def a2_at_150(folder: Path) -> None:
    """Whole audit of an A2 at 150 ppi in yardsticks."""
    poster = draw_poster(9500, "panel", measuring_faces(), size_mm=(420.0, 594.0), ppi=150.0)
    file = poster.save(folder / "a2.png")
    detector_s = yardstick([poster.srgb8])
    audit_s = seconds(lambda: audit(file), 3)
    print(
        f"A2 at 150 ppi: {len(poster.lines)} lines, audit {audit_s:.1f} s, detector {detector_s:.2f} s: "
        f"{audit_s / detector_s:.1f} yardsticks (at most 6)"
    )


def huge_photograph(folder: Path) -> None:
    """Whole audit of a 24 x 36 in poster at 300 ppi, PNG of photographic content, in decodes."""
    poster = draw_poster(9501, "photo", measuring_faces(), size_mm=HUGE_MM, ppi=HUGE_PPI)
    file = folder / "huge.png"
    poster.save(file)
    lines, pixels = len(poster.lines), poster.srgb8.shape[0] * poster.srgb8.shape[1]
    del poster

    def decode() -> None:
        Image.MAX_IMAGE_PIXELS = None
        with Image.open(file) as image:
            image.load()

    decode_s = seconds(decode, 3)
    before_kib = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    audit_s = seconds(lambda: audit(file), 1)
    peak_mib = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    note = "" if peak_mib * 1024 > before_kib else " or less"
    print(
        f"{pixels / 1e6:.0f} megapixels, {lines} lines: audit {audit_s:.1f} s, decode {decode_s:.1f} s: "
        f"{audit_s / decode_s:.1f} decodes (at most 10), peak {peak_mib:.0f} MiB{note} (under 2000)"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--folder", type=Path, help="where to draw the posters; left out: a temporary one")
    folder = parser.parse_args().folder
    with tempfile.TemporaryDirectory() as temporary:
        place = folder or Path(temporary)
        a2_at_150(place)
        huge_photograph(place)


if __name__ == "__main__":
    main()

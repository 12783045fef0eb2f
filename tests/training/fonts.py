"""The faces that training posters are set in: gather them once into a small folder, then draw from it.

Gathering needs fontTools and a folder of unpacked fonts (Debian's `fonts-*` packages, see MODEL.md):

    PYTHONPATH=tests python -m training.fonts FONT_ROOT... --out FOLDER

Each file is cut down to the characters used here, so that the folder is a few megabytes.
"""

import argparse
import json
import random
from dataclasses import dataclass
from pathlib import Path

from PIL import ImageFont

from training.words import SCRIPTS, characters

MEASURING_FAMILIES = (
    "lato", "carlito", "roboto", "manrope", "sourcesans", "sourceserif", "source sans", "source serif",
    "hanken", "caladea", "fjalla", "fredoka", "amatic", "red hat", "redhat", "intuitive",
)  # fmt: skip
"""Families (and near copies of them) kept for measuring: never trained on."""
PICTOGRAMS = ("awesome", "elusive", "entypo", "glyphicons", "material", "symbola", "d050000l", "dingbat")
SKIPPED = ("mathjax", "math", "unifont", "lastresort", "adobeblank", "emoji", "tamilinclined", "variable")
PER_FAMILY = 6
PER_WILD_FOLDER = 36
WILD_FOLDERS = ("aenigma", "adf", "uralic")


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One font file: where it lies, what it can set, whether it is kept for validation."""

    file: str
    number: int
    scripts: tuple[str, ...]
    family: str
    kept: bool
    lacks: str = ""


class FontBook:
    """The gathered faces, by script."""

    def __init__(self, folder: Path, *, kept: bool) -> None:
        entries = json.loads((folder / "fonts.json").read_text())
        self.folder = folder
        self.pictograms = [str(folder / e["file"]) for e in entries if "pictogram" in e["scripts"]]
        self.signs = {str(folder / e["file"]): e["signs"] for e in entries if "pictogram" in e["scripts"]}
        self.by_script: dict[str, dict[str, list[Face]]] = {}
        for entry in entries:
            face = Face(
                file=entry["file"],
                number=entry["number"],
                scripts=tuple(entry["scripts"]),
                family=entry["family"],
                kept=entry["kept"],
                lacks=entry["lacks"],
            )
            if face.kept != kept and face.scripts != ("pictogram",):
                continue
            for script in face.scripts:
                self.by_script.setdefault(script, {}).setdefault(face.family, []).append(face)
        self._cache: dict[tuple[str, int], ImageFont.FreeTypeFont] = {}

    def pick(self, rng: random.Random, script: str) -> Face | None:
        """Return a face for a script: first a family, then one of its files."""
        families = self.by_script.get(script)
        if not families:
            return None
        return rng.choice(families[rng.choice(sorted(families))])

    def font(self, face: Face, size_px: int) -> ImageFont.FreeTypeFont:
        """Return the face at a size, from a small cache."""
        key = (face.file, size_px)
        if key not in self._cache:
            if len(self._cache) > 200:
                self._cache.clear()
            self._cache[key] = ImageFont.truetype(str(self.folder / face.file), size_px, index=face.number)
        return self._cache[key]

    def at_path(self, path: str, size_px: int) -> ImageFont.FreeTypeFont:
        """Return a pictogram font at a size."""
        return ImageFont.truetype(path, size_px)


def gather(roots: list[Path], out: Path, seed: int) -> None:
    """Subset every usable face under `roots` into `out` and write `fonts.json`."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    rng = random.Random(seed)
    out.mkdir(parents=True, exist_ok=True)
    wanted = set("".join(characters(script) for script in SCRIPTS))
    files = sorted(p for root in roots for p in root.rglob("*") if p.suffix.lower() in {".ttf", ".otf", ".ttc"})
    rng.shuffle(files)
    entries: list[dict[str, object]] = []
    seen: set[str] = set()
    per_family: dict[str, int] = {}
    for path in files:
        low = path.name.lower()
        if low in seen or any(s in low for s in SKIPPED):
            continue
        seen.add(low)
        try:
            font = TTFont(path, fontNumber=0, lazy=True)
            family = str(font["name"].getDebugName(16) or font["name"].getDebugName(1) or path.stem)
            cmap = set(font.getBestCmap() or ())
        except Exception as error:  # a damaged or bitmap face: leave it out
            print("left out", path.name, error)
            continue
        if "fvar" in font or any(m in (family + " " + low).lower() for m in MEASURING_FAMILIES):
            continue
        wild = next((w for w in WILD_FOLDERS if w in str(path.parent).lower()), None)
        group, limit = (wild, PER_WILD_FOLDER) if wild else (family, PER_FAMILY)
        pictogram = any(s in (family + " " + low).lower() for s in PICTOGRAMS)
        scripts = [s for s in SCRIPTS if all(ord(c) in cmap for c in SCRIPTS[s].probe)]
        if per_family.get(group, 0) >= limit or not (scripts or pictogram):
            continue
        per_family[group] = per_family.get(group, 0) + 1
        signs = sorted(c for c in cmap if 0x2190 <= c < 0x2C00 or 0xE000 <= c < 0xF900 or 0x1F300 <= c < 0x20000)
        if pictogram:
            scripts = ["pictogram"]
            keep = set(rng.sample(signs, min(len(signs), 500)))
        else:
            keep = {ord(c) for c in wanted if ord(c) in cmap}
        options = subset.Options()
        options.drop_tables += ["BASE", "DSIG", "meta", "FFTM", "PfEd", "CBDT", "CBLC", "SVG "]
        options.hinting = False
        options.ignore_missing_glyphs = True
        options.notdef_outline = True
        try:
            full = TTFont(path, fontNumber=0)
            cutter = subset.Subsetter(options)
            cutter.populate(unicodes=keep)
            cutter.subset(full)
            name = f"{len(entries):03d}{'.otf' if 'CFF ' in full else '.ttf'}"
            full.save(out / name)
            ImageFont.truetype(str(out / name), 20).getmask("A")
        except Exception as error:
            print("left out", path.name, error)
            continue
        entries.append({
            "file": name, "number": 0, "scripts": scripts, "family": wild + low[:4] if wild else family,
            "source": path.name, "signs": sorted(keep) if pictogram else [],
            "lacks": "".join(sorted(c for c in wanted if ord(c) not in cmap)) if not pictogram else "",
            "kept": (not pictogram) and random.Random(family).random() < 0.12,
        })  # fmt: skip
    (out / "fonts.json").write_text(json.dumps(entries))
    print(len(entries), "faces;", {s: sum(s in e["scripts"] for e in entries) for s in SCRIPTS})  # type: ignore[operator]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("roots", nargs="+", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--seed", type=int, default=1)
    options_ = parser.parse_args()
    gather(options_.roots, options_.out, options_.seed)

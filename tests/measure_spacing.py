"""Print how well letter spacing is measured, on type set letter by letter with known shifts.

    python tests/measure_spacing.py [--lines N]

The faces are those of the `test` extra, every weight and italic; nothing was tuned on them.
"""

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from standback.checks.spacing import OPENED
from standback.measure.spacing import Pair, Rhythm, rhythm_of
from standback.settings import Limits
from synth.fonts import Face, measuring_styles
from synth.typeset import SetLine, set_line

TITLES = (
    "OPEN QUARRY DAY", "MOONRISE CONCERT", "THE SALT ROAD", "GLASS AND FIRE", "VILLAGE SWIMMING",
    "NORTH PIER CINEMA", "BREAD FOR ALL", "LANTERN PARADE", "A HUNDRED KITES", "WOODLAND THEATRE",
    "Open quarry day", "Moonrise concert", "The salt road", "Glass and fire", "Village swimming",
    "North pier cinema", "Bread for all comers", "Lantern parade", "A hundred kites", "Woodland theatre",
    "Please bring a warm coat", "Doors open at half past seven", "Tickets at the harbour office",
)  # fmt: skip
HARD_TITLES = (
    "Waterford Tales", "Two Years of Tokyo Voices", "Young Readers Festival", "We Travel Far", "Five Keys to Ypres",
    "AVENUE WALTZ", "KAYAK TOURNEY", "FAIRWAY VALLEY", "LATE PARTY", "LAVA TOWER",
)  # fmt: skip
"""Full of letters that faces have to kern."""
SHIFTS_EM = (0.06, -0.06, 0.10, -0.10)
TRACKINGS_EM = (0.0, 0.12, 0.20)
WORD_SPACES = (0.7, 0.8, 1.4)
"""As justified text has them, in the face's own."""
LEAST_CAP_PX, MOST_CAP_PX = 60.0, 100.0
SEED = 20_26
LIMITS = Limits()


@dataclass(eq=False)
class Tally:
    """Shares and means, by what they are of."""

    of: dict[str, list[float]] = field(default_factory=dict)

    def note(self, name: str, value: float) -> None:
        """Note one case."""
        self.of.setdefault(name, []).append(float(value))

    def share(self, name: str) -> str:
        """Return a share in words."""
        cases = self.of.get(name, [])
        return f"{np.mean(cases):.3f} of {len(cases)}" if cases else "none"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One title in one face, and the letter (counted from 1) whose gap to the next is moved."""

    face: Face
    text: str
    cap_px: float
    start_px: float
    index: int

    @property
    def letter(self) -> int:
        """Which letter the moved gap follows."""
        return len(self.text[: self.index].replace(" ", ""))

    def set(self, *, shift_em: float = 0.0, tracking_em: float = 0.0, word_space: float = 1.0) -> SetLine:
        """Set the title."""
        return set_line(
            self.text,
            self.face,
            cap_px=self.cap_px,
            tracking_em=tracking_em,
            word_space=word_space,
            shifts_em={self.index: shift_em} if shift_em else None,
            start_px=self.start_px,
        )


def is_italic(face: Face) -> bool:
    """Whether a file holds an italic."""
    return "It" in face.path.stem.rpartition("-")[2].replace("Italic", "It")


def cases(faces: Sequence[Face], each: int, rng: np.random.Generator) -> Iterator[Case]:
    """Yield some titles of each face."""
    for face in faces:
        for n in rng.choice(len(TITLES), each, replace=False):
            text = TITLES[n]
            inside = [i for i in range(1, len(text)) if " " not in text[i - 1 : i + 1]]
            yield Case(
                face=face,
                text=text,
                cap_px=rng.uniform(LEAST_CAP_PX, MOST_CAP_PX),
                start_px=rng.uniform(),
                index=int(rng.choice(inside)),
            )


def whole(rhythm: Rhythm | None, text: str) -> bool:
    """Whether every letter was told apart."""
    return rhythm is not None and len(rhythm.row.letters) == len(text.replace(" ", ""))


def off(rhythm: Rhythm) -> tuple[tuple[Pair, ...], npt.NDArray[np.float64]]:
    """Return the pairs within words and how far each is off the line's own gap."""
    pairs = rhythm.within_words
    return pairs, np.array([pair.gap for pair in pairs]) - (rhythm.letter_gap or 0.0)


def limit_of(rhythm: Rhythm) -> float:
    """Return what the check allows in such a line, meant for far."""
    usual = LIMITS.pair_off_slanted if rhythm.row.slant else LIMITS.pair_off_upright
    opened = (rhythm.letter_gap or 0.0) / (OPENED * rhythm.expected)
    return usual * max(1.0, opened)


def as_set(case: Case, kind: str, tally: Tally) -> None:
    """Look at a line as its face sets it, and opened."""
    for tracking_em in TRACKINGS_EM:
        rhythm = rhythm_of(case.set(tracking_em=tracking_em).ink)
        counted = whole(rhythm, case.text)
        tally.note(f"letters counted right, tracking {tracking_em:+.2f}", counted)
        if rhythm is None or not counted:
            continue
        _words(case, rhythm, tally, "word or letter gap: wrong")
        if len(rhythm.within_words) < LIMITS.spacing_least_pairs or rhythm.letter_gap is None:
            continue
        if not tracking_em:
            tally.note(f"{kind}, unshifted: flagged", np.abs(off(rhythm)[1]).max() > limit_of(rhythm))
        upper = case.text.isupper()
        most = LIMITS.loose_capitals if rhythm.row.capitals else LIMITS.loose_lower
        apart = rhythm.word_gap is not None and rhythm.letter_gap > LIMITS.loose_of_word_gap * rhythm.word_gap
        loose = rhythm.letter_gap > most * rhythm.expected or apart
        tally.note(f"{'capitals' if upper else 'lower case'}, tracking {tracking_em:+.2f}: called loose", loose)


def hard(face: Face, kind: str, tally: Tally, rng: np.random.Generator) -> None:
    """Look at a title full of pairs that faces have to kern, as its face sets it."""
    text = str(rng.choice(HARD_TITLES))
    rhythm = rhythm_of(set_line(text, face, cap_px=rng.uniform(LEAST_CAP_PX, MOST_CAP_PX)).ink)
    if rhythm is not None and whole(rhythm, text):
        tally.note(f"{kind}, unshifted, full of kerned pairs: flagged", np.abs(off(rhythm)[1]).max() > limit_of(rhythm))


def justified(case: Case, kind: str, tally: Tally) -> None:
    """Look at a line with narrower and wider word spaces."""
    for space in WORD_SPACES if " " in case.text else ():
        rhythm = rhythm_of(case.set(word_space=space).ink)
        if rhythm is None or not whole(rhythm, case.text) or len(rhythm.within_words) < LIMITS.spacing_least_pairs:
            continue
        _words(case, rhythm, tally, f"word spaces x {space}: wrong")
        tally.note(f"{kind}, word spaces x {space}: flagged", np.abs(off(rhythm)[1]).max() > limit_of(rhythm))


def _words(case: Case, rhythm: Rhythm, tally: Tally, name: str) -> None:
    ends = np.cumsum([len(word) for word in case.text.split()])[:-1]
    for pair in rhythm.pairs:
        tally.note(name, pair.word != (pair.first in ends))


def shifted(case: Case, kind: str, tally: Tally) -> None:
    """Look at a line with one gap moved: found where it is the worst, over the limit, of the right sign."""
    for shift_em in SHIFTS_EM:
        set_ = case.set(shift_em=shift_em)
        rhythm = rhythm_of(set_.ink)
        name = f"{kind}, {1000 * shift_em:+.0f}/1000 em"
        if rhythm is None or not whole(rhythm, case.text):
            tally.note(f"{name}: letters joined", 1)
            continue
        tally.note(f"{name}: letters joined", 0)
        pairs, apart = off(rhythm)
        if len(pairs) < LIMITS.spacing_least_pairs:
            continue
        worst = int(np.abs(apart).argmax())
        named = abs(apart[worst]) > limit_of(rhythm) and pairs[worst].first == case.letter
        right = np.sign(apart[worst]) == np.sign(shift_em)
        tally.note(f"{name}: found", named and right)
        if named:
            tally.note("sign right", right)
            tally.note(
                "amount, error in 1000ths of the em",
                1000 * abs(apart[worst] * rhythm.row.height / set_.em_px - shift_em),
            )


def measured(faces: Sequence[Face], each: int) -> Tally:
    """Measure `each` titles in every face."""
    tally = Tally()
    rng, hard_rng = np.random.default_rng(SEED), np.random.default_rng(SEED)
    for case in cases(faces, each, rng):
        kind = "italic" if is_italic(case.face) else "roman"
        as_set(case, kind, tally)
        justified(case, kind, tally)
        shifted(case, kind, tally)
        hard(case.face, kind, tally, hard_rng)
    return tally


def main() -> None:
    """Read the command line, measure and print."""
    parser = argparse.ArgumentParser(description="Measure letter spacing on set type.")
    parser.add_argument("--lines", type=int, default=4, help="titles in each face")
    each = parser.parse_args().lines
    faces = measuring_styles()
    families = {face.path.stem.partition("-")[0] for face in faces}
    print(f"{len(faces)} faces of {len(families)} families, {each} titles each, capitals 60 to 100 px")
    tally = measured(faces, each)
    for name in sorted(tally.of):
        print(f"{name}: {tally.share(name)}")


if __name__ == "__main__":
    main()

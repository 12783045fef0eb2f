"""Where two wordings differ, as a reader of letters would see it."""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

_LOOK_ALIKE = str.maketrans({"0": "o", "1": "l", "i": "l", "|": "l", "ı": "l", "ß": "s"})
"""What no reader tells apart by its shape in every face."""
_GAP_IN_WORD = re.compile(r"[^\W\d_]\s+[^\W\d_]")
"""White between two letters; between a figure and its unit, as in 7 pm, it means nothing."""
TRACKED_SHARE = 0.34
"""Where more of the places between letters read as spaces, the type is set wide: no word is broken (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Words that read otherwise than wanted.

    Attributes
    ----------
    words
        (as read, as wanted), in the order wanted; "" where nothing was read.
    letters
        Whether letters differ; otherwise words are only broken by gaps.
    alike
        0 to 1: share of the wanted letters that were read in their order.
    """

    words: tuple[tuple[str, str], ...]
    letters: bool
    alike: float


def difference(read: str, wanted: str) -> Difference | None:
    """Compare what was read with what is wanted; None where they say the same.

    Case, accents, punctuation, look-alikes (0 and O, 1 and l) and missing spaces make no difference, nor does more
    being read before or after what is wanted.
    """
    folded_wanted, at_wanted = _folded(wanted)
    folded_read, at_read = _folded(read, ideographs=any(map(_ideograph, wanted)))
    if not folded_wanted:
        return None
    start = folded_read.find(folded_wanted)
    if start >= 0:
        places = [at_read[start + n] for n in range(len(folded_wanted))]
        broken = tuple(_broken(read, places, wanted, at_wanted))
        return Difference(words=broken, letters=False, alike=1.0) if broken else None
    blocks = SequenceMatcher(None, folded_read, folded_wanted, autojunk=False).get_matching_blocks()
    read_as = {block.b + n: block.a + n for block in blocks for n in range(block.size)}
    words = tuple(_changed(read, at_read, wanted, at_wanted, read_as))
    return Difference(words=words, letters=True, alike=len(read_as) / len(folded_wanted))


def _ideograph(letter: str) -> bool:
    return "CJK" in unicodedata.name(letter, "")


def _folded(text: str, *, ideographs: bool = True) -> tuple[str, list[int]]:
    """Return the letters and figures that count, folded together, and where each stands in the text.

    Among other letters a reader takes rules and pictures for ideographs; they don't count there.
    """
    letters, places = [], []
    for place, letter in enumerate(text):
        if not ideographs and _ideograph(letter):
            continue
        for part in unicodedata.normalize("NFKD", letter).casefold():
            if part.isalnum():
                letters.append(part.translate(_LOOK_ALIKE))
                places.append(place)
    return "".join(letters), places


def _words(text: str, places: list[int]) -> Iterator[tuple[str, list[int]]]:
    """Yield each word, and which of the folded letters are its."""
    start = 0
    for word in text.split():
        start = text.index(word, start)
        own = [n for n, place in enumerate(places) if start <= place < start + len(word)]
        if own:
            yield word, own
        start += len(word)


def _broken(read: str, places: list[int], wanted: str, at_wanted: list[int]) -> Iterator[tuple[str, str]]:
    """Yield the words that a space was read in."""
    found: list[tuple[str, str]] = []
    inside = 0
    for word, own in _words(wanted, at_wanted):
        as_read = read[places[own[0]] : places[own[-1]] + 1]
        inside += len(own) - 1
        if word.isalnum() and _GAP_IN_WORD.search(as_read):
            found.append((as_read, word))
    spaces = sum(letter.isspace() for as_read, _ in found for letter in as_read)
    if inside and spaces <= TRACKED_SHARE * inside:
        yield from found


def _changed(
    read: str, at_read: list[int], wanted: str, at_wanted: list[int], read_as: dict[int, int]
) -> Iterator[tuple[str, str]]:
    """Yield the words of which a letter was not read, or another among them."""
    for word, own in _words(wanted, at_wanted):
        hits = [read_as[n] for n in own if n in read_as]
        before = max((read_as[n] for n in range(own[0]) if n in read_as), default=-1)
        after = min((read_as[n] for n in range(own[-1] + 1, len(at_wanted)) if n in read_as), default=len(at_read))
        whole = len(hits) == len(own) and hits[-1] - hits[0] == len(own) - 1
        if not whole:
            first, last = before + 1, after - 1
            yield (read[at_read[first] : at_read[last] + 1].strip() if first <= last else ""), word

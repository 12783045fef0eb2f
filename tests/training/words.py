"""Made-up wording for drawn posters, in many scripts. Shape of the words matters, sense does not."""

import random
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A script: its letters, how its height is measured, how often posters use it.

    Attributes
    ----------
    letters
        Characters that words are made of (lowercase where there is case).
    probe
        Characters that a face must have to set this script.
    body
        A character whose box gives the top and bottom of the letters' body.
    body_share
        Share of the probe character's height that counts as body.
    spaced
        Words are parted by spaces.
    """

    letters: str
    probe: str
    body: str
    body_share: float = 1.0
    cased: bool = False
    spaced: bool = True
    weight: float = 1.0


def _range(first: int, last: int, skip: str = "") -> str:
    return "".join(chr(c) for c in range(first, last + 1) if chr(c) not in skip)


def _from_codec(codec: str, rows: range, count: int) -> str:
    """Return `count` characters spread over the rows of an old two-byte code table (common first)."""
    found: list[str] = []
    for row in rows:
        for column in range(0xA1, 0xFF):
            try:
                found.append(bytes((row, column)).decode(codec))
            except UnicodeDecodeError:
                continue
    return "".join(sorted(random.Random(7).sample(found, min(count, len(found)))))


HAN = _from_codec("gb2312", range(0xB0, 0xD8), 700)
HANGUL = _from_codec("euc_kr", range(0xB0, 0xC9), 450)
KANA = _range(0x3041, 0x3093) + _range(0x30A1, 0x30F4)

SCRIPTS: dict[str, Script] = {
    "latin": Script(letters="abcdefghijklmnopqrstuvwxyz", probe="AZaz09", body="x", cased=True, weight=74),
    "greek": Script(letters=_range(0x3B1, 0x3C9), probe="αωΑΩ", body="ν", cased=True, weight=3.5),
    "cyrillic": Script(letters=_range(0x430, 0x44F), probe="аяЖЯ", body="н", cased=True, weight=4.5),
    "armenian": Script(letters=_range(0x561, 0x586), probe="աԱ", body="ա", cased=True, weight=0.5),
    "georgian": Script(letters=_range(0x10D0, 0x10F0), probe="ა", body="ა", weight=0.5),
    "hebrew": Script(letters=_range(0x5D0, 0x5EA), probe="את", body="ה", weight=1),
    "arabic": Script(letters="ابتثجحخدذرزسشصضطظعغفقكلمنهوي", probe="ابيلم", body="ا", body_share=0.7, weight=3),
    "devanagari": Script(letters=_range(0x915, 0x939), probe="कम", body="क", weight=2.5),
    "bengali": Script(letters=_range(0x995, 0x9B9, "঩঱঳঴঵"), probe="কম", body="ক", weight=0.7),
    "tamil": Script(letters="கஙசஞடணதநபமயரலவழளறன", probe="கம", body="க", weight=0.7),
    "thai": Script(letters=_range(0xE01, 0xE2E), probe="กม", body="ก", spaced=False, weight=1),
    "ethiopic": Script(letters=_range(0x1200, 0x1206) + _range(0x1208, 0x1246), probe="ሀለ", body="ሀ", weight=0.4),
    "han": Script(letters=HAN, probe="中国大", body="国", spaced=False, weight=4),
    "kana": Script(letters=KANA + HAN[:90], probe="あんアン国", body="国", spaced=False, weight=2.5),
    "hangul": Script(letters=HANGUL, probe="가한", body="한", weight=2),
}
_ACCENTED = "àáâãäåæçèéêëìíîïñòóôõöøùúûüýßœšžčćđęąłńśźżğışťďőűāēīōū"
_MARKS = ".,:;!?&@#%()[]/+-–—'’“”«»*€$£•·|=<>°©®™…"
_FREQUENCY = "eeeeeeeeetttttttaaaaaaoooooooiiiiiinnnnnnsssssshhhhhrrrrrrddddllllcccuuummmwwffggyyppbbvkjxqz"
_VOWELS = "aeiou"
_COMMON_TEXT = """
the of and to in for on with at from by is are you we our your this that open free all day night live
music film art theatre dance jazz choir market fair festival workshop lecture exhibition gallery museum
library garden park street square hall room floor station city river harbour bridge school university
summer winter spring autumn monday tuesday wednesday thursday friday saturday sunday january february
march april may june july august september october november december doors tickets entry admission
children students seniors members guests speakers stage show concert opening closing season programme
join meet learn make build grow share read write listen look see hear walk run ride swim play do not use
avoid keep help support contact website email phone address hours daily weekly only until starting new
health safety water energy climate air food clean data research methods results conclusion figure table
introduction discussion references acknowledgements analysis model network community project design
"""
_COMMON = _COMMON_TEXT.split()


@cache
def characters(script: str) -> str:
    """Return every character that the words of a script may use, marks and digits included."""
    entry = SCRIPTS[script]
    upper = entry.letters.upper() if entry.cased else ""
    extra = _ACCENTED + _ACCENTED.upper() if script == "latin" else ""
    marks = _MARKS + "0123456789 " + "、。，！？「」・ー（）：" + "।؟،" + "ािीुूेोैौ्ंःَِِั่้ิีืุูาেিা்ாி"
    return entry.letters + upper + extra + marks + entry.probe


def _word(rng: random.Random, script: str) -> str:
    entry = SCRIPTS[script]
    if script == "latin":
        pick = rng.random()
        if pick < 0.5:
            return rng.choice(_COMMON)
        word = ""
        for i in range(rng.choice((2, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 9, 10, 12, 14))):
            word += rng.choice(_VOWELS) if i % 2 == 1 and rng.random() < 0.6 else rng.choice(_FREQUENCY)
        if pick > 0.85:
            place = rng.randrange(len(word))
            word = word[:place] + rng.choice(_ACCENTED) + word[place + 1 :]
        return word
    length = rng.choice((1, 2, 3, 4, 5, 6, 7, 8)) if script not in {"han", "hangul"} else rng.choice((2, 2, 3, 4, 5))
    letters = [rng.choice(entry.letters) for _ in range(length)]
    vowels = {"devanagari": "ािीुूेोैौ", "thai": "ัิีืุูา่้", "tamil": "ாி", "bengali": "ািে"}.get(script, "")
    if vowels:
        letters = [c + (rng.choice(vowels) if rng.random() < 0.45 else "") for c in letters]
    return "".join(letters)


def _digits(rng: random.Random) -> str:
    def number(low: int, high: int) -> str:
        return str(rng.randrange(low, high))

    return rng.choice((
        lambda: number(1, 10),
        lambda: number(10, 100),
        lambda: number(1900, 2100),
        lambda: f"{number(0, 24)}:{rng.choice(('00', '15', '30', '45'))}",
        lambda: f"{number(1, 29)}.{number(1, 13)}.",
        lambda: f"{number(1, 29)}–{number(1, 31)}",
        lambda: f"€{number(3, 60)}",
        lambda: f"{number(1, 100)}%",
        lambda: f"+{number(10, 99)} {number(100, 999)} {number(1000, 9999)}",
        lambda: f"{number(10000, 99999)}",
    ))()  # fmt: skip


def _as_case(rng: random.Random, words: list[str], case: str) -> list[str]:
    if case == "upper":
        return [w.upper() for w in words]
    if case == "title":
        return [w[:1].upper() + w[1:] for w in words]
    if case == "sentence":
        return [words[0][:1].upper() + words[0][1:], *words[1:]]
    return words


def line_of_text(rng: random.Random, script: str, case: str, words: int) -> str:
    """Return one line of made-up wording with `words` words or so."""
    found = [_digits(rng) if rng.random() < 0.08 else _word(rng, script) for _ in range(max(words, 1))]
    if SCRIPTS[script].cased:
        found = _as_case(rng, found, case)
    if rng.random() < 0.45:
        place = rng.randrange(len(found))
        mark = rng.choice(".,:;!?.,,.") if rng.random() < 0.75 else rng.choice("&@#/+-–…*|")
        found[place] = found[place] + mark if mark not in "&–|" else found[place] + " " + mark
    if rng.random() < 0.04:
        found[-1] = rng.choice(("www.{}.org", "{}@{}.com", "@{}", "#{}", "({})", "“{}”", "{}…", "’{}")).replace(
            "{}", found[-1]
        )
    return (" " if SCRIPTS[script].spaced else rng.choice(("", "", "", " "))).join(found)


def number_line(rng: random.Random) -> str:
    """Return a short line of digits: a year, a time, a price, a numeral."""
    return _digits(rng)

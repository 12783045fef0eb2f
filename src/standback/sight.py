"""How people write what matters of a viewer and the light: acuity, age, lux.

A science of its own, of numbers and notations; it knows neither artworks nor settings.
"""

import re
from math import isfinite, log10

LIGHT_LX = (1.0, 100_000.0)
"""From a moonlit wall to one in the sun (ours)."""
AGE_YEARS = (10.0, 110.0)
"""Ages that can be asked for (ours); the models hold from 20 on."""
ACUITY_LOGMAR = (-0.30103, 1.30103)
"""From 6/3 to 3/60, where ICD-11 speaks of blindness."""

_NUMBER = r"\d+(?:[.,]\d+)?"
_FRACTION = re.compile(rf"({_NUMBER})\s*/\s*({_NUMBER})")
_LOGMAR = re.compile(rf"logmar\s*([+-]?{_NUMBER})|([+-]?{_NUMBER})\s*logmar", re.IGNORECASE)
_PLAIN = re.compile(_NUMBER)
_LIGHT = re.compile(rf"({_NUMBER})\s*(?:lx|lux)?", re.IGNORECASE)
_AGE = re.compile(rf"({_NUMBER})\s*(?:y|years?)?", re.IGNORECASE)
_HOW = "write it as 6/12, 20/40, 0.5 or logMAR 0.3"


def parse_acuity_logmar(text: str) -> float:
    """Read a visual acuity as logMAR, 0 for 6/6, more for worse sight.

    Takes a Snellen fraction in metres or feet ("6/12", "20/40"), its decimal ("0.5") and logMAR
    ("logMAR 0.3"); logMAR is the logarithm of the smallest detail that is made out, in arcmin.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    said = text.strip()
    if found := _FRACTION.fullmatch(said):
        at, drawn_for = map(_number, found.groups())
        decimal = at / drawn_for if drawn_for else 0.0
    elif found := _LOGMAR.fullmatch(said):
        decimal = 10.0 ** -_number(found[1] or found[2])
    elif _PLAIN.fullmatch(said):
        decimal = _number(said)
    else:
        raise ValueError(f"{_shown(text)} is not an acuity: {_HOW}")
    best, worst = ACUITY_LOGMAR
    logmar = -log10(decimal) if decimal > 0 else worst + 1
    if not best - 1e-9 <= logmar <= worst + 1e-9:
        raise ValueError(f"{_shown(text)} is out of range: an acuity can be from 3/60 to 6/3; {_HOW}")
    return logmar + 0.0


def parse_light_lx(text: str) -> float:
    """Read the light on the poster in lux.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    return _within(text, _LIGHT, LIGHT_LX, what="light in lux", example="150lx")


def parse_age_years(text: str) -> float:
    """Read a viewer's age in years.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    return _within(text, _AGE, AGE_YEARS, what="age in years", example="75")


def _within(text: str, pattern: re.Pattern[str], span: tuple[float, float], *, what: str, example: str) -> float:
    found = pattern.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{_shown(text)} is no {what}: write it as {example}")
    value = _number(found[1])
    least, most = span
    if not least <= value <= most:
        raise ValueError(f"{_shown(text)} is out of range: write {_a(what)} from {least:.0f} to {most:.0f}")
    return value


def _a(what: str) -> str:
    return f"an {what}" if what[0] in "aeiou" else f"a {what}"


def _number(text: str) -> float:
    value = float(text.replace(",", "."))
    return value if isfinite(value) else 0.0


def _shown(text: str) -> str:
    """Quote what was typed, short and on one line."""
    plain = "".join(c if c.isprintable() else "?" for c in text.strip())
    return f"'{plain[:40]}…'" if len(plain) > 40 else f"'{plain}'"

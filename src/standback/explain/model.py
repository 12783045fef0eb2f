"""What an explanation is made of."""

from dataclasses import dataclass

from standback.findings import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One number on the way, written for people, and what it is."""

    value: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One number of the report, and how it came about.

    Attributes
    ----------
    title, source
        What is worked out, and whose formula or rule that is.
    givens
        What goes into it, in the order it is used.
    key
        Where the result stands in the JSON, below the element: "ratio", "reach.public.m", "seen.far.jnd".
    result, unit
        The number itself, unrounded, or a word; None where it can't be measured.
    says
        What the result is.
    """

    title: str
    source: str
    givens: tuple[Given, ...]
    key: str
    result: float | str | None
    unit: str = ""
    says: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Explanation:
    """One element explained.

    Attributes
    ----------
    what
        What the element is and where: "line of text, top left".
    findings
        The findings that name it, as ranked.
    """

    file: str
    id: str
    what: str
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
    doubts: tuple[str, ...]


def number(value: float, unit: str = "") -> str:
    """Write a number on the way with four significant digits, trailing zeros dropped."""
    text = f"{value:.4g}"
    if "e" in text:
        text = f"{value:.6f}".rstrip("0").rstrip(".") if abs(value) < 1 else f"{value:.0f}"
    return f"{text}{unit}" if unit == "′" else f"{text} {unit}".rstrip()

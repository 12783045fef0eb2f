"""The live text of a PDF page: lines with their wording, boxes, sizes and fills."""

import ctypes
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, radians, sin
from statistics import median
from typing import Any
from unicodedata import category, normalize

from standback.artwork.model import TextLine
from standback.elements import Srgb8

Rect = tuple[float, float, float, float]
WIDE_GAP = 0.65
"""A gap between letters wider than this many ems parts two lines: as wide as the finder allows for (ours)."""
OFF_BASELINE = 0.3
"""A letter so many ems off the baseline begins another line (ours)."""
OTHER_SIZE, SAME_ANGLE_DEG = 1.6, 1.0
"""Letters of one line differ by less (ours)."""
BACK, TYPICAL_WIDTH = 0.5, 0.5
"""How far a letter may stand back in its line, as in an overprint, and how wide one usually is, in ems (ours)."""
MOST_LETTERS = 20_000
"""No more of a page's characters are looked at: a poster has a few hundred, a full newspaper page as many (ours)."""
SPACE = 0.3
"""So many ems of white between two letters are a word space, though none is written (ours)."""
_INVISIBLE, _CLIPPING = 3, 7
"""Text rendering modes that leave no ink: ISO 32000-1:2008, table 106."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Letter:
    """One character as it stands on the drawn page, in px, y down."""

    text: str
    box: Rect
    x: float
    y: float
    em: float
    angle_deg: float
    fill: Srgb8 | None
    shown: bool

    def along(self, dx: float, dy: float) -> tuple[float, float]:
        """Return a step in px as along the reading direction and down from it."""
        turn = radians(self.angle_deg)
        return dx * cos(turn) - dy * sin(turn), dx * sin(turn) + dy * cos(turn)


def text_lines(page: Any, visible: Rect, width_px: int, height_px: int) -> tuple[TextLine, ...]:
    """Read the live text of an open page, in the file's own order.

    Parameters
    ----------
    visible
        The page's visible box in pt, drawn onto so many pixels.
    """
    letters = _letters(page, visible, width_px, height_px)
    lines = (_line(run) for run in _runs(letters))
    within = (0.0, 0.0, float(width_px), float(height_px))
    return tuple(line for line in lines if line is not None and _overlap(line.box_px, within))


def faces_are_there(page: Any) -> bool:
    """Tell whether every typeface of the page's text lies in the file itself."""
    import pypdfium2.raw as raw

    text_page = page.get_textpage()
    seen = set()
    for n in range(min(raw.FPDFText_CountChars(text_page.raw), MOST_LETTERS)):
        piece = raw.FPDFText_GetTextObject(text_page.raw, n)
        if piece:
            seen.add(ctypes.cast(raw.FPDFTextObj_GetFont(piece), ctypes.c_void_p).value)
    return all(raw.FPDFFont_GetIsEmbedded(ctypes.cast(face, raw.FPDF_FONT)) for face in seen if face)


def _letters(page: Any, visible: Rect, width_px: int, height_px: int) -> list[_Letter | None]:
    """Return the page's characters; None where the file begins a new line."""
    import pypdfium2.raw as raw

    text_page = page.get_textpage()
    place = _placer(visible, page.get_rotation(), width_px, height_px)
    found: list[_Letter | None] = []
    for n in range(min(raw.FPDFText_CountChars(text_page.raw), MOST_LETTERS)):
        text = chr(raw.FPDFText_GetUnicode(text_page.raw, n))
        if text in "\r\n":
            found.append(None)
        elif raw.FPDFText_IsGenerated(text_page.raw, n) != 1 or text == " ":
            found.append(_letter(raw, text_page.raw, n, text, place))
    return found


def _letter(raw: Any, text_page: Any, n: int, text: str, place: Any) -> _Letter:
    left, right, bottom, top, x, y = (ctypes.c_double() for _ in range(6))
    raw.FPDFText_GetCharBox(text_page, n, left, right, bottom, top)
    raw.FPDFText_GetCharOrigin(text_page, n, x, y)
    matrix = raw.FS_MATRIX()
    raw.FPDFText_GetMatrix(text_page, n, matrix)
    xs, ys = zip(place(left.value, bottom.value), place(right.value, top.value), strict=True)
    at_x, at_y = place(x.value, y.value)
    # one pt along the baseline, and up from it, as they come out in px
    along_x, along_y = (b - a for a, b in zip(place(0, 0), place(matrix.a, matrix.b), strict=True))
    up_x, up_y = (b - a for a, b in zip(place(0, 0), place(matrix.c, matrix.d), strict=True))
    colour = [ctypes.c_uint() for _ in range(4)]
    filled = raw.FPDFText_GetFillColor(text_page, n, *colour)
    r, g, b, _ = (part.value for part in colour)
    piece = raw.FPDFText_GetTextObject(text_page, n)
    mode = raw.FPDFTextObj_GetTextRenderMode(piece) if piece else 0
    return _Letter(
        text=text,
        box=(min(xs), min(ys), max(xs), max(ys)),
        x=at_x,
        y=at_y,
        em=raw.FPDFText_GetFontSize(text_page, n) * hypot(up_x, up_y),
        angle_deg=degrees(atan2(-along_y, along_x)),
        fill=(r, g, b) if filled else None,
        shown=mode not in (_INVISIBLE, _CLIPPING),
    )


def _placer(visible: Rect, turned_deg: int, width_px: int, height_px: int) -> Any:
    """Return the way from a point on the page in pt to one on the drawn page in px."""
    left, bottom, right, top = visible
    width, height = right - left, top - bottom

    def place(x: float, y: float) -> tuple[float, float]:
        u, v = (x - left) / width, (top - y) / height  # shares from the top left of the page as it lies in the file
        u, v = {0: (u, v), 90: (1 - v, u), 180: (1 - u, 1 - v), 270: (v, 1 - u)}[turned_deg]
        return u * width_px, v * height_px

    return place


def _runs(letters: list[_Letter | None]) -> Iterator[list[_Letter]]:
    """Yield the letters of one line after the other."""
    run: list[_Letter] = []
    last: _Letter | None = None  # the last that has ink
    for letter in letters:
        inked = letter is not None and not letter.text.isspace()
        if letter is None or (inked and last is not None and _parted(last, letter)):
            yield run
            run, last = [], None
        if letter is not None:
            run.append(letter)
            last = letter if inked else last
    yield run


def _parted(a: _Letter, b: _Letter) -> bool:
    """Whether a reader takes two letters that follow each other, but for spaces, for parts of two lines."""
    em = max(a.em, b.em, 1e-6)
    if em > OTHER_SIZE * min(a.em, b.em) or abs((a.angle_deg - b.angle_deg + 180) % 360 - 180) > SAME_ANGLE_DEG:
        return True
    ahead, down = a.along(b.x - a.x, b.y - a.y)
    if abs(down) > OFF_BASELINE * em or ahead < -BACK * em:
        return True
    if abs(a.angle_deg) <= SAME_ANGLE_DEG:
        return b.box[0] - a.box[2] > WIDE_GAP * em
    return ahead > (WIDE_GAP + TYPICAL_WIDTH) * em


def _line(letters: list[_Letter]) -> TextLine | None:
    """Make a line of a run of characters; None where it has no letter and no figure, as signs of an icon face."""
    readable = [letter for letter in letters if category(letter.text[0]) not in ("Co", "Cn", "Cc")]
    inked = [letter for letter in readable if not letter.text.isspace()]
    wording = " ".join(_spaced(readable).split())
    if not any(letter.isalnum() for letter in wording):
        return None
    fills = Counter(letter.fill for letter in inked)
    return TextLine(
        wording=wording,
        box_px=(
            min(letter.box[0] for letter in inked),
            min(letter.box[1] for letter in inked),
            max(letter.box[2] for letter in inked),
            max(letter.box[3] for letter in inked),
        ),
        em_px=median(letter.em for letter in inked),
        angle_deg=round(inked[0].angle_deg, 1) + 0.0,
        fill_srgb8=fills.most_common(1)[0][0],
        shown=any(letter.shown for letter in inked),
    )


def _spaced(letters: list[_Letter]) -> str:
    """Join letters, with a space where the file leaves room for one without writing it."""
    said, last = "", None
    for letter in letters:
        if letter.text.isspace():
            last = None
        else:
            apart = 0.0 if last is None or abs(last.angle_deg) > SAME_ANGLE_DEG else letter.box[0] - last.box[2]
            said += " " if apart > SPACE * letter.em else ""
            last = letter
        said += letter.text
    return normalize("NFKC", said)


def _overlap(a: Rect, b: Rect) -> bool:
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])

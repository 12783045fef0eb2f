"""A page of a PDF, drawn at a resolution that its printed size asks for.

pypdfium2 is an extra: it is imported where a PDF is opened, and nowhere else but in `pdf_text`.
"""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import floor, isfinite
from typing import IO, Any

import numpy as np

from standback.artwork.model import Srgb8Picture, TextLine
from standback.artwork.pdf_inks import uses_process_inks
from standback.artwork.pdf_text import faces_are_there, text_lines
from standback.artwork.size import PrintedSize, page_size, printed_size
from standback.doubts import Doubt
from standback.errors import UnreadableError
from standback.sheet import MM_PER_INCH, SheetSize

PT_MM = MM_PER_INCH / 72
DRAWN_PPI = 180.0
"""Finer than what the eye parts from half a metre (175 ppi), and the finest that lines are searched at (ours)."""
SMALL_SHEET_PPI, SMALL_SHEET_PX = 360.0, 4300
"""Sheets whose long side stays under so many pixels are drawn twice as fine: up to A4 (ours)."""
_STRIP_BYTES = 8_000_000
_NO_READER = "it is a PDF, and what reads those is not installed: pip install 'standback[pdf]'"
_DAMAGED = "its PDF data are damaged or cut short: export it again"

Rect = tuple[float, float, float, float]
"""(left, bottom, right, top) in pt of the page's own space, y up."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPage:
    """One page, drawn: its pixels, its printed size, and the live text on it."""

    srgb8: Srgb8Picture
    printed: PrintedSize
    bleed_mm: float
    text: tuple[TextLine, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What of a page is the sheet: the trim, what is drawn, and the bleed between them in pt."""

    trim: Rect
    drawn: Rect
    bleed_pt: float


def draw_page(
    file: IO[bytes],
    *,
    page: int,
    max_megapixels: float,
    size: SheetSize | None,
    bleed_mm: float,
    from_brief: Collection[str] = (),
) -> DrawnPage:
    """Draw one page of an open PDF.

    Parameters
    ----------
    page
        1-based.
    size, bleed_mm
        As asked for; they outrank the page's own boxes. No size and a bleed of 0 leave both to the boxes.

    Raises
    ------
    UnreadableError
        If pypdfium2 is not there, the file is encrypted or damaged, or there is no such page.
    """
    try:
        import pypdfium2 as pdfium
    except ImportError:
        raise UnreadableError(_NO_READER) from None
    data = file.read()
    with _opened(pdfium, data) as document:
        pages = len(document)
        if pages < 1:
            raise UnreadableError("the PDF has no page: export it again")
        if not 1 <= page <= pages:
            only = "it has only one, so leave --page out" if pages == 1 else f"give --page from 1 to {pages}"
            raise UnreadableError(f"there is no page {page}: {only}")
        return _drawn(pdfium, document, page - 1, data, max_megapixels, size, bleed_mm, from_brief)


def sheet_of(media: Rect, crop: Rect | None, trim: Rect | None, bleed: Rect | None, asked_pt: float | None) -> Sheet:
    """Decide what of a page is the sheet, and how much bleed is drawn with it.

    Parameters
    ----------
    media, crop, trim, bleed
        The page's boxes, None where the file gives none.
    asked_pt
        Bleed asked for, on the page's own scale; None to go by the boxes.

    Notes
    -----
    Bleed is one number here: where the four sides differ, the least of them. A bleed asked for lies around the
    trim box, or within the visible page where there is no such box.
    """
    page = media if crop is None else _within(crop, media)
    inner = None if trim is None else _within(trim, media)
    if inner is None or inner == page:
        bleed_pt = asked_pt or 0.0
        return Sheet(trim=_grown(page, -bleed_pt), drawn=page, bleed_pt=bleed_pt)
    room = _least_margin(inner, media)
    if asked_pt is None:
        bleed_pt = 0.0 if bleed is None else min(max(_least_margin(inner, bleed), 0.0), room)
    else:
        bleed_pt = asked_pt
        if bleed_pt > room + 0.01:
            raise UnreadableError(
                f"its page ends {room * PT_MM:.3g} mm beyond the trim box: give a smaller --bleed, or export with more"
            )
    return Sheet(trim=inner, drawn=_grown(inner, bleed_pt), bleed_pt=bleed_pt)


def drawn_ppi(width_mm: float, height_mm: float, max_megapixels: float) -> float:
    """Return the resolution that a sheet, bleed included, is drawn at: as fine as is of use, within the limit."""
    long_in = max(width_mm, height_mm) / MM_PER_INCH
    ppi = SMALL_SHEET_PPI if long_in * SMALL_SHEET_PPI <= SMALL_SHEET_PX else DRAWN_PPI
    area_in2 = width_mm * height_mm / MM_PER_INCH**2
    return float(min(ppi, (max_megapixels * 1e6 / area_in2) ** 0.5))


@contextmanager
def _opened(pdfium: Any, data: bytes) -> Iterator[Any]:
    try:
        document = pdfium.PdfDocument(data)
    except pdfium.PdfiumError as error:
        if getattr(error, "err_code", None) in (pdfium.raw.FPDF_ERR_PASSWORD, pdfium.raw.FPDF_ERR_SECURITY):
            raise UnreadableError("it is locked with a password: export it without one") from None
        raise UnreadableError(_DAMAGED) from None
    try:
        # A list of contents that had to be guessed together may have lost any of them.
        if not pdfium.raw.FPDF_DocumentHasValidCrossReferenceTable(document.raw):
            raise UnreadableError(_DAMAGED)
        yield document
    except pdfium.PdfiumError:
        raise UnreadableError(_DAMAGED) from None
    finally:
        document.close()


def _drawn(
    pdfium: Any,
    document: Any,
    index: int,
    data: bytes,
    max_megapixels: float,
    size: SheetSize | None,
    bleed_mm: float,
    from_brief: Collection[str],
) -> DrawnPage:
    page = document[index]
    turned = page.get_rotation() in (90, 270)
    boxes = [page.get_mediabox(), *(get(False) for get in (page.get_cropbox, page.get_trimbox, page.get_bleedbox))]
    media, crop, trim, bleed = (_credible(box) for box in boxes)
    if media is None:
        raise UnreadableError("its page has no size: export it again")
    scale = _scale(trim or crop or media, size, 0.0 if trim else bleed_mm, turned=turned)
    sheet = sheet_of(media, crop, trim, bleed, bleed_mm / PT_MM / scale if bleed_mm else None)
    bleed_mm = bleed_mm or round(sheet.bleed_pt * PT_MM * scale, 4)
    width_pt, height_pt = _sides(sheet.drawn)
    if turned:
        width_pt, height_pt = height_pt, width_pt
    ppi = drawn_ppi(width_pt * PT_MM * scale, height_pt * PT_MM * scale, max_megapixels)
    px_per_pt = ppi * scale / 72
    # down, so that the limit holds; a page a hair's breadth over whole pixels loses none
    width_px, height_px = (max(1, floor(side * px_per_pt + 0.01)) for side in (width_pt, height_pt))
    if size is None:
        width_mm, height_mm = width_pt * PT_MM - 2 * bleed_mm, height_pt * PT_MM - 2 * bleed_mm
        printed = page_size(width_mm, height_mm, width_px, height_px)
    else:
        printed = printed_size(
            width_px, height_px, resolutions_ppi=(), size=size, bleed_mm=bleed_mm, from_brief=from_brief
        )
    # The visible page is set to what is drawn: then the library itself turns it and counts from its corner.
    page.set_cropbox(*sheet.drawn)
    page.close()
    page = document[index]
    doubts = [Doubt.COLOURS_RENDERED] if uses_process_inks(data) else []
    if not faces_are_there(page):
        doubts.append(Doubt.FACE_REPLACED)
    return DrawnPage(
        srgb8=_pixels(pdfium.raw, page, width_px, height_px),
        printed=printed,
        bleed_mm=bleed_mm,
        text=text_lines(page, sheet.drawn, width_px, height_px),
        doubts=tuple(doubts),
    )


def _pixels(raw: Any, page: Any, width_px: int, height_px: int) -> Srgb8Picture:
    """Draw the visible page over white paper, a strip at a time, without notes and form fields."""
    import ctypes

    srgb8 = np.empty((height_px, width_px, 3), np.uint8)
    width_pt, height_pt = page.get_size()
    rows = max(64, _STRIP_BYTES // (4 * width_px))
    strip = np.empty((min(rows, height_px), width_px, 4), np.uint8)
    for top in range(0, height_px, rows):
        strip[:] = 255
        here = min(rows, height_px - top)
        buffer = strip.ctypes.data_as(ctypes.c_void_p)
        bitmap = raw.FPDFBitmap_CreateEx(width_px, here, raw.FPDFBitmap_BGRx, buffer, 4 * width_px)
        if not bitmap:
            raise UnreadableError("it is too large for this machine's memory: allow less with --max-megapixels")
        matrix = raw.FS_MATRIX(width_px / width_pt, 0, 0, height_px / height_pt, 0, -top)
        visible = raw.FS_RECTF(0, 0, width_px, here)
        raw.FPDF_RenderPageBitmapWithMatrix(bitmap, page.raw, matrix, visible, raw.FPDF_REVERSE_BYTE_ORDER)
        raw.FPDFBitmap_Destroy(bitmap)
        srgb8[top : top + here] = strip[:here, :, :3]
    return srgb8


def _scale(sheet: Rect, size: SheetSize | None, bleed_mm: float, *, turned: bool) -> float:
    """Return how much larger than its page says a sheet is printed, 1 where no size is asked for."""
    if size is None:
        return 1.0
    width_pt, height_pt = _sides(sheet)
    if turned:
        width_pt, height_pt = height_pt, width_pt
    wanted = size.oriented(width_pt, height_pt)
    asked_mm2 = (wanted.width_mm + 2 * bleed_mm) * (wanted.height_mm + 2 * bleed_mm)
    return float((asked_mm2 / (width_pt * height_pt)) ** 0.5 / PT_MM)


def _credible(box: Rect | None) -> Rect | None:
    if box is None or not all(isfinite(side) for side in box):
        return None
    left, right = sorted((box[0], box[2]))
    bottom, top = sorted((box[1], box[3]))
    return (left, bottom, right, top) if right - left >= 1 and top - bottom >= 1 else None


def _within(box: Rect, outer: Rect) -> Rect:
    """Cut a box to another; all of the other where they share nothing."""
    left, bottom = max(box[0], outer[0]), max(box[1], outer[1])
    right, top = min(box[2], outer[2]), min(box[3], outer[3])
    return (left, bottom, right, top) if right - left >= 1 and top - bottom >= 1 else outer


def _grown(box: Rect, by: float) -> Rect:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def _least_margin(inner: Rect, outer: Rect) -> float:
    return min(inner[0] - outer[0], inner[1] - outer[1], outer[2] - inner[2], outer[3] - inner[3])


def _sides(box: Rect) -> tuple[float, float]:
    return box[2] - box[0], box[3] - box[1]

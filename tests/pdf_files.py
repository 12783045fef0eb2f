"""PDF files written byte by byte (ISO 32000-1:2008), so that every box and colour in them is known."""

import zlib
from collections.abc import Mapping
from pathlib import Path

PT_MM = 25.4 / 72


def pdf_bytes(
    *contents: bytes,
    media_pt: tuple[float, float, float, float] = (0, 0, 595.2756, 841.8898),
    boxes: Mapping[str, tuple[float, float, float, float]] | None = None,
    turned_deg: int = 0,
    resources: bytes = b"",
    face: Path | None = None,
    trailer: bytes = b"",
) -> bytes:
    """Return a PDF of one page for each of `contents`.

    Parameters
    ----------
    boxes
        Such as {"TrimBox": (left, bottom, right, top)}.
    face
        A TrueType file that is put into the PDF as /F1; without one /F1 is Helvetica, which is not in the file.
    """
    objects = [b"<< /Type /Catalog /Pages 2 0 R >>", b"", *_face(face)]
    first = len(objects) + 1
    kids = b" ".join(b"%d 0 R" % (first + 2 * n) for n in range(len(contents)))
    objects[1] = b"<< /Type /Pages /Kids [%s] /Count %d >>" % (kids, len(contents))
    named = {"MediaBox": media_pt, **(boxes or {})}
    said = b" ".join(b"/%s [%s]" % (name.encode(), _numbers(box)) for name, box in named.items())
    for n, content in enumerate(contents):
        objects.append(
            b"<< /Type /Page /Parent 2 0 R %s /Rotate %d /Contents %d 0 R /Resources << /Font << /F1 3 0 R >> %s >> >>"
            % (said, turned_deg, first + 2 * n + 1, resources)
        )
        packed = zlib.compress(content)
        objects.append(b"<< /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream" % (len(packed), packed))
    data, offsets = b"%PDF-1.7\n", []
    for number, body in enumerate(objects, start=1):
        offsets.append(len(data))
        data += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
    end = b"trailer << /Size %d /Root 1 0 R %s >>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, trailer, len(data))
    return data + b"xref\n0 %d\n0000000000 65535 f \n%s" % (len(objects) + 1, table) + end


def text(words: str, *, x: float, y: float, size: float, colour: str = "0 g", turn: str = "1 0 0 1") -> bytes:
    """Return live text: its baseline begins at (x, y) in pt from the bottom left."""
    escaped = words.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)")
    return f"BT {colour} /F1 {size} Tf {turn} {x} {y} Tm ({escaped}) Tj ET\n".encode("latin-1")


def box(x: float, y: float, width: float, height: float, colour: str) -> bytes:
    """Return a filled box, measured in pt from the bottom left."""
    return f"{colour} {x} {y} {width} {height} re f\n".encode()


def _face(path: Path | None) -> list[bytes]:
    if path is None:
        return [b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>"]
    from PIL import ImageFont

    # widths by WinAnsi, 32 to 255, in thousandths of an em
    letters = [bytes([code]).decode("cp1252", "replace") for code in range(32, 256)]
    drawn = ImageFont.truetype(str(path), 1000)
    widths = b" ".join(b"%d" % round(drawn.getlength(letter)) for letter in letters)
    data = zlib.compress(path.read_bytes())
    return [
        b"<< /Type /Font /Subtype /TrueType /BaseFont /Face /Encoding /WinAnsiEncoding /FirstChar 32 /LastChar 255 "
        b"/Widths [%s] /FontDescriptor 4 0 R >>" % widths,
        b"<< /Type /FontDescriptor /FontName /Face /Flags 32 /FontBBox [-500 -300 1500 1000] /ItalicAngle 0 "
        b"/Ascent 950 /Descent -250 /CapHeight 700 /StemV 80 /FontFile2 5 0 R >>",
        b"<< /Filter /FlateDecode /Length %d /Length1 %d >>\nstream\n%s\nendstream"
        % (len(data), path.stat().st_size, data),
    ]


def _numbers(values: tuple[float, ...]) -> bytes:
    return b" ".join(b"%g" % value if value == round(value) else b"%.4f" % value for value in values)

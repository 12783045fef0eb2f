"""PDF pages: their sheet, their pixels, their live text, and what is refused."""

import sys
from pathlib import Path

import numpy as np
import pytest

from pdf_files import PT_MM, box, pdf_bytes, text
from standback.artwork import Artwork, load, pdf
from standback.doubts import Doubt
from standback.errors import UnreadableError
from standback.pipeline import audit_artwork
from standback.settings import Settings
from standback.sheet import parse_size
from synth.fonts import measuring_faces

MM = 1 / PT_MM
A4 = (0.0, 0.0, 210 * MM, 297 * MM)
TRUETYPE = next(face.path for face in measuring_faces() if face.path.name == "Lato-Regular.ttf")


def opened(tmp_path: Path, data: bytes, **options: object) -> Artwork:
    path = tmp_path / "poster.pdf"
    path.write_bytes(data)
    # coarse, but for what asks for more: drawn at full resolution these take a second each
    return load(path, **{"size": None, "max_megapixels": 1.0, **options})  # type: ignore[arg-type]


def grown(inner: tuple[float, float, float, float], by_mm: float) -> tuple[float, float, float, float]:
    by = by_mm * MM
    return (inner[0] - by, inner[1] - by, inner[2] + by, inner[3] + by)


def refusal(tmp_path: Path, data: bytes, **options: object) -> str:
    with pytest.raises(UnreadableError) as refused:
        opened(tmp_path, data, **options)
    return str(refused.value)


SLUG = grown(A4, 20)
TRIM = {"TrimBox": A4, "BleedBox": grown(A4, 3)}


def test_the_page_is_the_sheet_where_no_box_says_otherwise(tmp_path: Path) -> None:
    art = opened(tmp_path, pdf_bytes(b"", media_pt=A4), max_megapixels=400)
    assert (art.width_mm, art.height_mm, art.bleed_mm) == pytest.approx((210, 297, 0), abs=0.01)
    assert (art.size_from, art.colour, art.profile, art.doubts) == ("file", "PDF", None, ())
    assert art.ppi == pytest.approx(360, abs=0.1)
    assert (art.srgb8 == 255).all()


def test_trim_and_bleed_box_give_size_and_bleed(tmp_path: Path) -> None:
    # a mark that lies half in the bleed, half in the slug: what is drawn ends with the bleed
    art = opened(tmp_path, pdf_bytes(box(-40, 0, 60, 60, "1 0 0 rg"), media_pt=SLUG, boxes=TRIM))
    assert (art.width_mm, art.height_mm, art.bleed_mm) == pytest.approx((210, 297, 3), abs=0.01)
    assert art.width_px == pytest.approx(216 / 25.4 * art.ppi, abs=1)
    bottom, left = art.srgb8[-4], art.srgb8[:, 2]
    assert tuple(bottom[3]) == (255, 255, 255) and tuple(left[-30]) == (255, 0, 0)
    corner = art.box_mm(art.trim_px)
    assert corner == pytest.approx((0, 0, 210, 297), abs=0.13)  # half a pixel


def test_unequal_bleed_counts_by_its_least_side(tmp_path: Path) -> None:
    left, bottom, right, _ = grown(A4, 5)
    boxes = {"TrimBox": A4, "BleedBox": (left, bottom, right, A4[3] + 2 * MM)}
    art = opened(tmp_path, pdf_bytes(b"", media_pt=SLUG, boxes=boxes))
    assert art.bleed_mm == pytest.approx(2, abs=0.01)


def test_options_outrank_the_boxes(tmp_path: Path) -> None:
    data = pdf_bytes(b"", media_pt=SLUG, boxes=TRIM)
    art = opened(tmp_path, data, bleed_mm=10.0)
    assert (art.width_mm, art.bleed_mm) == pytest.approx((210, 10), abs=0.01)
    art = opened(tmp_path, data, size=parse_size("A2"), max_megapixels=400)
    assert (art.width_mm, art.height_mm, art.bleed_mm) == pytest.approx((420, 594, 6), abs=0.01)
    assert (art.size_from, round(art.ppi)) == ("option", 180)
    assert refusal(tmp_path, data, bleed_mm=25.0).startswith("its page ends 20 mm beyond the trim box")
    assert "is not that of 300 x 300 mm" in refusal(tmp_path, data, size=parse_size("300x300mm"))


def test_bleed_asked_for_without_a_trim_box_lies_within_the_page(tmp_path: Path) -> None:
    art = opened(tmp_path, pdf_bytes(b"", media_pt=grown(A4, 3)), bleed_mm=3.0)
    assert (art.width_mm, art.height_mm) == pytest.approx((210, 297), abs=0.01)
    art = opened(tmp_path, pdf_bytes(b"", media_pt=grown(A4, 3)), bleed_mm=6.0, size=parse_size("A3"))
    assert art.width_px / art.ppi * 25.4 == pytest.approx(297 + 12, abs=0.6)


@pytest.mark.parametrize(("turned", "corner"), [(0, "bl"), (90, "tl"), (180, "tr"), (270, "br")])
def test_turned_pages(tmp_path: Path, turned: int, corner: str) -> None:
    content = box(0, 0, 60, 60, "0 0 1 rg") + text("Harbour", x=100, y=30, size=40)
    art = opened(tmp_path, pdf_bytes(content, media_pt=A4, turned_deg=turned))
    assert (art.width_mm > art.height_mm) == (turned in (90, 270))
    row, column = (-9 if corner[0] == "b" else 9), (-9 if corner[1] == "r" else 9)
    assert tuple(art.srgb8[row, column]) == (0, 0, 255)
    (line,) = art.text or ()
    assert line.angle_deg == {0: 0, 90: -90, 180: 180, 270: 90}[turned] or abs(line.angle_deg) == 180
    assert_on_ink(art, line.box_px)


def assert_on_ink(art: Artwork, claimed: tuple[float, float, float, float]) -> None:
    """The box must be that of black ink on the drawn page, to a pixel or two."""
    x0, y0, x1, y1 = (round(side) for side in claimed)
    margin = 12
    part = art.srgb8[max(y0 - margin, 0) : y1 + margin, max(x0 - margin, 0) : x1 + margin].max(axis=2) < 128
    rows, columns = np.flatnonzero(part.any(axis=1)), np.flatnonzero(part.any(axis=0))
    top, left = max(y0 - margin, 0), max(x0 - margin, 0)
    assert (left + columns[0], top + rows[0]) == pytest.approx((claimed[0], claimed[1]), abs=3)
    assert (left + columns[-1] + 1, top + rows[-1] + 1) == pytest.approx((claimed[2], claimed[3]), abs=3)


def test_live_text_has_boxes_sizes_fills_and_wording(tmp_path: Path) -> None:
    content = (
        text("Open harbour day", x=60, y=700, size=48)
        + text("7 pm (free)", x=60, y=600, size=20, colour="0.8 0 0 rg")
        + text("left", x=60, y=500, size=20)
        + text("right", x=160, y=500, size=20)
        + text("up", x=400, y=300, size=30, turn="0 1 -1 0")
        + text("hidden", x=60, y=200, size=30, colour="3 Tr")
    )
    art = opened(tmp_path, pdf_bytes(content, media_pt=A4, face=TRUETYPE))
    assert art.text is not None and Doubt.FACE_REPLACED not in art.doubts
    found = {line.wording: line for line in art.text}
    assert list(found) == ["Open harbour day", "7 pm (free)", "left", "right", "up", "hidden"]
    title = found["Open harbour day"]
    assert title.em_px == pytest.approx(48 * art.ppi / 72, rel=0.002)
    assert found["7 pm (free)"].fill_srgb8 == (204, 0, 0)
    assert found["up"].angle_deg == 90
    assert [line.shown for line in art.text] == [True] * 5 + [False]
    for name in ("Open harbour day", "left", "up"):
        assert_on_ink(art, found[name].box_px)


def test_transparency_is_laid_over_white(tmp_path: Path) -> None:
    resources = b"/ExtGState << /G << /ca 0.5 >> >>"
    art = opened(tmp_path, pdf_bytes(b"/G gs\n" + box(0, 0, 200, 200, "0 g"), media_pt=A4, resources=resources))
    assert np.abs(art.srgb8[-50, 50].astype(int) - 127).max() <= 1


def test_inks_are_doubted(tmp_path: Path) -> None:
    tint = b"<< /FunctionType 2 /Domain [0 1] /C0 [1 1 1] /C1 [.8 .6 0] /N 1 >>"
    spot = b"/ColorSpace << /S [/Separation /Gold /DeviceRGB %s] >>" % tint
    doubted = [
        Doubt.COLOURS_RENDERED in opened(tmp_path, data).doubts
        for data in (
            pdf_bytes(box(0, 0, 9, 9, "1 0 0 rg"), media_pt=A4),
            pdf_bytes(box(0, 0, 9, 9, "0 0.5 1 0 k"), media_pt=A4),
            pdf_bytes(box(0, 0, 9, 9, "/S cs 1 scn"), media_pt=A4, resources=spot),
        )
    ]
    assert doubted == [False, True, True]


def test_a_face_that_is_not_in_the_file_is_doubted(tmp_path: Path) -> None:
    assert Doubt.FACE_REPLACED in opened(tmp_path, pdf_bytes(text("Harbour", x=60, y=500, size=30))).doubts


def test_strips_leave_no_seam(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    content = text("Slanted", x=40, y=100, size=90, turn="0.9 0.4 -0.4 0.9") + box(10, 10, 300, 700, "0.2 0.4 0.6 RG")
    whole = opened(tmp_path, pdf_bytes(content, media_pt=A4)).srgb8
    monkeypatch.setattr(pdf, "_STRIP_BYTES", 1)
    assert (opened(tmp_path, pdf_bytes(content, media_pt=A4)).srgb8 == whole).all()


def test_pages_and_the_pixel_limit(tmp_path: Path) -> None:
    data = pdf_bytes(box(0, 0, 300, 300, "1 0 0 rg"), box(0, 0, 300, 300, "0 1 0 rg"), media_pt=A4)
    art = opened(tmp_path, data, page=2)
    assert tuple(art.srgb8[-9, 9]) == (0, 255, 0)
    assert 0.98e6 < art.width_px * art.height_px <= 1e6
    assert refusal(tmp_path, data, page=3) == "there is no page 3: give --page from 1 to 2"
    assert refusal(tmp_path, pdf_bytes(b""), page=2) == "there is no page 2: it has only one, so leave --page out"


def test_refused_in_one_plain_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = pdf_bytes(text("Harbour", x=60, y=500, size=30), media_pt=A4)
    damaged = "its PDF data are damaged or cut short: export it again"
    assert refusal(tmp_path, whole[: len(whole) // 2]) == damaged
    assert refusal(tmp_path, b"%PDF-1.7\nnothing") == damaged
    # revision 2 of the standard security handler with keys that no empty password opens
    lock = b"/Encrypt << /Filter /Standard /V 1 /R 2 /P -4 /O (%s) /U (%s) >> /ID [(a) (a)]" % (b"o" * 32, b"u" * 32)
    assert refusal(tmp_path, pdf_bytes(b"", trailer=lock)) == "it is locked with a password: export it without one"
    small = refusal(tmp_path, pdf_bytes(b"", media_pt=(0, 0, 100, 200)))
    assert small.startswith("its page is 35 x 71 mm, which is no poster: give the printed size with --size")
    monkeypatch.setitem(sys.modules, "pypdfium2", None)
    assert refusal(tmp_path, whole).endswith("not installed: pip install 'standback[pdf]'")


def test_what_only_one_of_them_sees_is_told_apart(tmp_path: Path) -> None:
    content = (
        text("Open harbour day", x=60, y=700, size=48)
        + text("Boats, bread and brass", x=60, y=640, size=24)
        + text("White on white", x=60, y=500, size=24, colour="1 g")
        + text("Ghost", x=60, y=400, size=24, colour="3 Tr")
    )
    data = pdf_bytes(content, media_pt=A4, face=TRUETYPE)
    report = audit_artwork(opened(tmp_path, data, max_megapixels=1.2), Settings(far_m=3.0))
    assert [(m.wording, m.line.found_by) for m in report.elements] == [
        ("Open harbour day", ("shapes", "text-layer")),
        ("Boats, bread and brass", ("shapes", "text-layer")),
    ]
    (said,) = report.live_text
    assert said.startswith("1 line is in the file's live text but not found") and "White on white" in said
    assert {item.check for item in report.not_judged} >= {"coarse-artwork", "many-inks"}
    assert "coarse-artwork" not in {finding.check for finding in report.findings}

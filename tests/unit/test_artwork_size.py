"""The printed size: asked for, stated by the file and credible, or refused."""

import struct
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from standback.artwork import load
from standback.artwork.size import PrintedSize, printed_size
from standback.doubts import Doubt
from standback.errors import UnreadableError
from standback.sheet import SheetSize, parse_size


def size_of(
    width_px: int,
    height_px: int,
    *ppi: tuple[float, float],
    size: SheetSize | None = None,
    bleed_mm: float = 0.0,
    from_brief: tuple[str, ...] = (),
) -> PrintedSize:
    return printed_size(width_px, height_px, resolutions_ppi=ppi, size=size, bleed_mm=bleed_mm, from_brief=from_brief)


def refusal(*args: Any, **options: Any) -> str:
    with pytest.raises(UnreadableError) as refused:
        size_of(*args, **options)
    return str(refused.value)


def test_the_size_asked_for_outranks_the_files() -> None:
    found = size_of(2480, 3508, (300, 300), size=parse_size("A2"))
    assert found == PrintedSize(width_mm=420, height_mm=594, size_from="option")


def test_a_brief_can_ask_for_the_size() -> None:
    found = size_of(2480, 3508, (300, 300), size=parse_size("A2"), from_brief=("size",))
    assert found == PrintedSize(width_mm=420, height_mm=594, size_from="brief")
    assert size_of(2480, 3508, (300, 300), from_brief=("bleed_mm",)).size_from == "file"


@pytest.mark.parametrize(
    ("from_brief", "check"),
    [
        ((), "--size and --bleed"),
        (("size",), "the size in the brief and --bleed"),
        (("bleed_mm",), "--size and the bleed in the brief"),
        (("size", "bleed_mm", "far_m"), "size and bleed in the brief"),
    ],
)
def test_a_refusal_sends_people_to_where_they_said_it(from_brief: tuple[str, ...], check: str) -> None:
    said = refusal(1200, 1000, size=parse_size("500x500mm"), bleed_mm=3.0, from_brief=from_brief)
    assert f": check {check}; " in said
    where = "the bleed in the brief" if "bleed_mm" in from_brief else "--bleed"
    said = refusal(10, 10, size=parse_size("100x100mm"), bleed_mm=5000.0, from_brief=from_brief)
    assert said.endswith(f": check {where}")


def test_the_size_asked_for_turns_with_the_artwork() -> None:
    for text in ("A2", "420x594mm", "594x420mm"):
        found = size_of(3508, 2480, size=parse_size(text))
        assert (found.width_mm, found.height_mm) == (594, 420)


@pytest.mark.parametrize(
    ("width_px", "doubts"),
    [(1000, ()), (1009, ()), (991, ()), (1011, (Doubt.SHAPE_DIFFERS,)), (1049, (Doubt.SHAPE_DIFFERS,))],
)
def test_a_shape_a_little_apart_is_doubted(width_px: int, doubts: tuple[Doubt, ...]) -> None:
    assert size_of(width_px, 1000, size=parse_size("500x500mm")).doubts == doubts


@pytest.mark.parametrize("width_px", [1051, 951])
def test_a_shape_far_apart_is_refused(width_px: int) -> None:
    assert refusal(width_px, 1000, size=parse_size("500x500mm")) == (
        f"its shape, {width_px} x 1000 px, is not that of 500 x 500 mm: check --size and --bleed; "
        "its shape fits no trade size, so write width x height, such as 420x594mm"
    )


def test_a_refused_shape_names_the_trade_sizes_that_fit() -> None:
    assert refusal(7200, 10800, size=parse_size("A2"), bleed_mm=3) == (
        "its shape, 7200 x 10800 px, is not that of 420 x 594 mm with 3 mm bleed: check --size and --bleed; "
        "its shape fits 12x18in, 20x30in or 24x36in"
    )


def test_bleed_belongs_to_the_file_and_not_to_the_size() -> None:
    # A4 with 3 mm on every side: 216 x 303 mm at 10 px/mm
    found = size_of(2160, 3030, size=parse_size("A4"), bleed_mm=3)
    assert found == PrintedSize(width_mm=210, height_mm=297, size_from="option")
    found = size_of(2160, 3030, (254, 254), bleed_mm=3)
    assert (found.width_mm, found.height_mm) == pytest.approx((210, 297))
    assert found.size_from == "file"


@pytest.mark.parametrize("ppi", [20.0, 150.0, 300.0])
def test_a_credible_tag_is_believed(ppi: float) -> None:
    found = size_of(round(10 * ppi), round(20 * ppi), (ppi, ppi))
    assert (found.width_mm, found.height_mm) == pytest.approx((254, 508))
    assert (found.size_from, found.doubts) == ("file", ())


def test_both_axes_count() -> None:
    found = size_of(1000, 1000, (100, 50))
    assert (found.width_mm, found.height_mm) == pytest.approx((254, 508))
    assert "its resolution tag, 100 x 1 ppi, is not that of a print" in refusal(1000, 1000, (100, 1))


@pytest.mark.parametrize("ppi", [0.0, 1.0, 19.9, 2401.0, float("nan"), float("inf"), -300.0])
def test_a_resolution_that_is_no_prints_is_not_believed(ppi: float) -> None:
    says = refusal(2480, 3508, (ppi, ppi))
    assert says == (
        f"its resolution tag, {ppi:.4g} ppi, is not that of a print: give the printed size with --size; "
        "its shape fits A0 to A6 or B0 to B6"
    )


@pytest.mark.parametrize(("side_px", "made"), [(60, "76 x 76 mm"), (2400, "3048 x 3048 mm")])
def test_a_tag_that_makes_no_poster_is_not_believed(side_px: int, made: str) -> None:
    says = refusal(side_px, side_px, (20, 20))
    assert f"its resolution tag, 20 ppi, would make it {made}, which is no poster: give" in says


@pytest.mark.parametrize(
    ("short_px", "credible"),
    [(99, False), (100, True), (3000, True), (3001, False)],
)
def test_limits_of_the_short_side(short_px: int, credible: bool) -> None:
    if credible:
        assert size_of(short_px, 3100, (25.4, 25.4)).width_mm == pytest.approx(short_px)
    else:
        assert "which is no poster" in refusal(short_px, 3100, (25.4, 25.4))


@pytest.mark.parametrize("ppi", [72.0, 72.009, 96.0, 95.9866])
def test_a_screens_resolution_is_believed_where_it_gives_a_trade_size(ppi: float) -> None:
    found = size_of(round(420 / 25.4 * ppi), round(594 / 25.4 * ppi), (ppi, ppi))
    assert (found.width_mm, found.height_mm) == pytest.approx((420, 594), rel=0.01)
    assert found.doubts == (Doubt.SIZE_ASSUMED,)
    # 5 % larger is no trade size
    says = refusal(round(441 / 25.4 * ppi), round(623.7 / 25.4 * ppi), (ppi, ppi))
    assert "is a screen's and gives no trade size: give the printed size with --size" in says


def test_the_next_statement_is_asked_where_the_first_is_not_credible() -> None:
    assert size_of(1000, 1000, (1, 1), (100, 100)).width_mm == pytest.approx(254)


def test_no_statement_at_all() -> None:
    assert refusal(1, 20000) == (
        "the file does not say how large it will be printed: give the printed size with --size; "
        "its shape fits no trade size, so write width x height, such as 420x594mm"
    )


def test_bleed_that_leaves_nothing() -> None:
    assert "the bleed leaves no sheet" in refusal(1000, 1000, (100, 100), bleed_mm=200)
    assert refusal(4, 4, size=parse_size("10x10mm"), bleed_mm=5000) == (
        "a bleed of 5000 mm leaves no pixel of the sheet: check --bleed"
    )


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif"])
def test_resolution_written_by_each_format(tmp_path: Path, name: str) -> None:
    Image.new("L", (420, 594)).save(tmp_path / name, dpi=(50, 25))
    artwork = load(tmp_path / name, size=None)
    assert artwork.width_mm == pytest.approx(420 / 50 * 25.4, rel=1e-3)
    assert artwork.height_mm == pytest.approx(594 / 25 * 25.4, rel=1e-3)
    assert artwork.size_from == "file"


def test_resolution_in_cm(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x011A], exif[0x011B], exif[0x0128] = 10, 10, 3
    Image.new("L", (420, 594)).save(tmp_path / "a.webp", exif=exif)
    assert load(tmp_path / "a.webp", size=None).width_mm == pytest.approx(420)
    Image.new("L", (420, 594)).save(tmp_path / "a.tif", resolution=10, resolution_unit="cm")
    assert load(tmp_path / "a.tif", size=None).width_mm == pytest.approx(420)


def test_a_jpeg_that_states_none_gets_none(tmp_path: Path) -> None:
    # A4 at 72 ppi, the resolution Pillow makes up for a JPEG with EXIF but without a resolution
    exif = Image.Exif()
    exif[0x0131] = "a program"
    Image.new("L", (595, 842)).save(tmp_path / "a.jpg", exif=exif)
    data = (tmp_path / "a.jpg").read_bytes()
    jfif = data.index(b"JFIF\0")
    (tmp_path / "b.jpg").write_bytes(data[: jfif + 7] + b"\0" + data[jfif + 8 :])  # density unit: none
    with Image.open(tmp_path / "b.jpg") as made_up:
        assert made_up.info.get("dpi") in (None, (72, 72))
    with pytest.raises(UnreadableError, match="the file does not say how large"):
        load(tmp_path / "b.jpg", size=None)


def test_a_jpegs_own_density_is_read(tmp_path: Path) -> None:
    Image.new("L", (300, 300)).save(tmp_path / "a.jpg")
    data = (tmp_path / "a.jpg").read_bytes()
    jfif = data.index(b"JFIF\0") + 7
    for unit, density, width_mm in ((1, 50, 300 / 50 * 25.4), (2, 20, 150)):
        stated = struct.pack(">BHH", unit, density, density)
        (tmp_path / "b.jpg").write_bytes(data[:jfif] + stated + data[jfif + 5 :])
        assert load(tmp_path / "b.jpg", size=None).width_mm == pytest.approx(width_mm)

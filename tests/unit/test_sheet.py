"""Sheet sizes, lengths, distances and angles against their standards."""

from math import hypot

import pytest

from standback.sheet import (
    TRADE_SIZES,
    SheetSize,
    default_far_m,
    mm_per_deg,
    parse_distance_m,
    parse_length_mm,
    parse_size,
    px_per_deg,
    shape_difference,
    trade_size_of,
    trade_sizes_for,
    visual_angle_deg,
)

# ISO 216:2007, A and B series, trimmed sizes in mm.
ISO_216 = {
    "A0": (841, 1189),
    "A1": (594, 841),
    "A2": (420, 594),
    "A3": (297, 420),
    "A4": (210, 297),
    "A5": (148, 210),
    "A6": (105, 148),
    "B0": (1000, 1414),
    "B1": (707, 1000),
    "B2": (500, 707),
    "B3": (353, 500),
    "B4": (250, 353),
    "B5": (176, 250),
    "B6": (125, 176),
}


@pytest.mark.parametrize(("name", "size_mm"), ISO_216.items())
def test_iso_216_sizes(name: str, size_mm: tuple[float, float]) -> None:
    size = parse_size(name.lower())
    assert (size.width_mm, size.height_mm) == size_mm
    assert size.name == name


def test_each_a_and_b_size_is_half_of_the_one_before() -> None:
    # ISO 216, 3: halving parallel to the short side, rounded down to whole mm.
    for series in "AB":
        for number in range(6):
            larger, smaller = parse_size(f"{series}{number}"), parse_size(f"{series}{number + 1}")
            assert smaller.height_mm == larger.width_mm
            assert smaller.width_mm == larger.height_mm // 2


@pytest.mark.parametrize(
    ("text", "size_mm"),
    [
        ("18x24in", (457.2, 609.6)),
        ("24x36in", (609.6, 914.4)),
        ("8.5x11in", (215.9, 279.4)),
        ("24 x 18 in", (609.6, 457.2)),
        ("420x594mm", (420, 594)),
        ("594×420 MM", (594, 420)),
        ("42x59.4cm", (420, 594)),
        ("457.2x609.6mm", (457.2, 609.6)),
        ("16.54x23.39in", (420.116, 594.106)),
        ("1.5ftx0.6m", (457.2, 600)),
        ("10x20000mm", (10, 20000)),
    ],
)
def test_sizes_as_typed(text: str, size_mm: tuple[float, float]) -> None:
    size = parse_size(text)
    assert (size.width_mm, size.height_mm) == size_mm


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("A7", "'A7' is not a sheet size: write one such as A2, 18x24in or 420x594mm"),
        ("", "'' is not a sheet size"),
        ("0mm", "'0mm' is not a sheet size"),
        ("nan", "'nan' is not a sheet size"),
        ("infxinfmm", "is not a sheet size"),
        ("18x24", "'18x24' has no unit: write 18x24mm or 18x24in"),
        ("18x24yd", "'18x24yd' has an unknown unit: write m, cm, mm, ft or in"),
        ("0x594mm", "each side must be from 10 mm to 20 m"),
        ("-420x594mm", "each side must be from 10 mm to 20 m"),
        ("420x1e9ft", "each side must be from 10 mm to 20 m"),
        ("9.9x100mm", "each side must be from 10 mm to 20 m"),
        ("1e999x2m", "is too large a number"),
        ("x" * 80, f"'{'x' * 40}…' is not a sheet size"),
        ("A2\x1b[31m", "'A2?[31m' is not a sheet size"),
    ],
)
def test_sizes_that_are_refused(text: str, says: str) -> None:
    with pytest.raises(ValueError) as refusal:
        parse_size(text)
    assert says in str(refusal.value)


def test_a_size_turns_with_the_artwork() -> None:
    a2 = parse_size("A2")
    assert a2.oriented(3000, 2000) == SheetSize(width_mm=594, height_mm=420, name="A2")
    assert a2.oriented(2000, 3000) is a2
    wide = parse_size("594x420mm")
    assert (wide.oriented(2000, 3000).width_mm, wide.oriented(2000, 3000).height_mm) == (420, 594)
    assert wide.oriented(100, 100) is wide


@pytest.mark.parametrize(
    ("text", "distance_m"),
    [
        ("5m", 5),
        ("0.5 m", 0.5),
        ("250cm", 2.5),
        ("2000mm", 2),
        ("30ft", 9.144),
        ("100in", 2.54),
        ("+1e1M", 10),
        ("0.1m", 0.1),
        ("1000m", 1000),
    ],
)
def test_distances_as_typed(text: str, distance_m: float) -> None:
    assert parse_distance_m(text) == pytest.approx(distance_m, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0mm", "'0mm' is out of range: write a distance from 0.1m to 1000m, such as 5m"),
        ("-3m", "'-3m' is out of range"),
        ("1e9ft", "'1e9ft' is out of range"),
        ("nan", "'nan' is not a distance: write a number and a unit, such as 5m"),
        ("inf", "'inf' is not a distance"),
        ("nanm", "'nanm' is not a distance"),
        ("", "'' is not a distance"),
        ("1,5m", "'1,5m' is not a distance"),
        ("5", "'5' has no unit: write 5m or 5ft"),
        ("5yd", "has an unknown unit: write m, cm, mm, ft or in"),
        ("1e999m", "is too large a number"),
    ],
)
def test_distances_that_are_refused(text: str, says: str) -> None:
    with pytest.raises(ValueError) as refusal:
        parse_distance_m(text)
    assert says in str(refusal.value)


def test_lengths() -> None:
    assert parse_length_mm("3mm") == 3
    assert parse_length_mm("0.125in") == pytest.approx(3.175)
    assert parse_length_mm("0mm", least_mm=0) == 0
    for text in ("0mm", "-1mm", "21m"):
        with pytest.raises(ValueError, match=r"write a length from 0\.01mm to 20m, such as 3mm"):
            parse_length_mm(text)
    with pytest.raises(ValueError, match="write 3mm or 3in"):
        parse_length_mm("3")


def test_trade_sizes_by_shape() -> None:
    # A2 at 150 ppi
    assert trade_sizes_for(2480, 3508) == tuple(ISO_216)
    assert trade_sizes_for(3508, 2480) == tuple(ISO_216)
    assert trade_sizes_for(7200, 10800) == ("12x18in", "20x30in", "24x36in")
    assert trade_sizes_for(1, 20000) == ()
    # 3 mm of bleed on every side change the shape of a small sheet: A6 with bleed is 111 x 154 mm
    assert "A6" not in trade_sizes_for(1110, 1540)
    assert "A6" in trade_sizes_for(1110, 1540, bleed_mm=3)


def test_trade_size_by_its_sides() -> None:
    found = trade_size_of(594.5, 419)
    assert found is not None
    assert (found.name, found.width_mm, found.height_mm) == ("A2", 594, 420)
    assert trade_size_of(420 * 1.02, 594 * 1.02) is None


def test_shape_difference_is_the_same_both_ways() -> None:
    square = SheetSize(width_mm=100, height_mm=100, name="square")
    assert shape_difference(100, 100, square) == 0
    assert shape_difference(110, 100, square) == pytest.approx(0.1)
    assert shape_difference(100, 110, square) == pytest.approx(0.1)
    assert shape_difference(110, 110, square, bleed_mm=5) == 0


def test_every_trade_size_stands_upright_and_once() -> None:
    assert all(size.width_mm < size.height_mm for size in TRADE_SIZES)
    assert len({size.name for size in TRADE_SIZES}) == len(TRADE_SIZES)
    for size in TRADE_SIZES:
        assert parse_size(size.name) == size


def test_far_by_default() -> None:
    for name, far_m in {"A6": 1.5, "A4": 2.5, "A3": 3.5, "A2": 5.0, "A0": 5.0}.items():
        size = parse_size(name)
        assert default_far_m(size.width_mm, size.height_mm) == far_m
    assert default_far_m(10, 10) == 0.5
    # seven diagonals, here 2.1 m
    assert hypot(180, 240) * 7 / 1000 == pytest.approx(2.1)
    assert default_far_m(180, 240) == 2.0


def test_visual_angles() -> None:
    # the optotype of 6/6 vision: 5 minutes of arc at 6 m are 8.73 mm (ISO 8596)
    assert visual_angle_deg(8.727, 6) * 60 == pytest.approx(5, rel=1e-4)
    # a sheet 2 m wide at 1 m fills a right angle
    assert visual_angle_deg(2000, 1) == pytest.approx(90)
    # one minute of arc at 1 m is 0.29089 mm
    assert mm_per_deg(1) / 60 == pytest.approx(0.29089, rel=1e-5)
    assert visual_angle_deg(mm_per_deg(3), 3) == pytest.approx(1, rel=3e-5)
    # 1 px = 1 minute of arc at 87.3 / D ppi
    assert px_per_deg(87.3 / 25.4, 1.0) == pytest.approx(60, rel=1e-3)
    assert px_per_deg(4, 10) == pytest.approx(2 * px_per_deg(4, 5))

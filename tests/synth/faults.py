"""Good posters and their twins with exactly one planted fault.

`KINDS` is the table: under the id of the check that should name the fault, a function that takes a good
poster's ingredients and returns the good poster, the planted one and the lines where the fault is.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from standback.findings import Finding, PosterReport
from standback.settings import Limits, stations
from standback.sheet import default_far_m
from synth.colours import Srgb8, ink_for, luminance1, random_colour
from synth.events import A3_MM, A4_MM, LAYOUTS, PALETTES, Sizes, good_plan
from synth.fonts import face
from synth.melting import melted
from synth.plans import Block, Plan
from synth.sheet import BoxPx, Poster

A5_MM = (148.0, 210.0)
_SMALL_SHEET = Sizes(title_cap_mm=16.0, support_x_mm=5.4, small_x_mm=3.2)
"""Heights on an A5, as of A4: it is drawn finely, and should not take long."""
CLEARLY = 0.94
"""A fault is planted clearly, not at the limit of it."""
READ_FROM_HALF_A_METRE_MM = 1.6
"""Letter height that black on white needs from 0.5 m (nine readers in ten, 40 cd/m²), rounded up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredients:
    """What a good poster is made from."""

    rng: np.random.Generator
    layout: str
    colours: str
    size_mm: tuple[float, float]

    def plan(self, sizes: Sizes | None = None) -> Plan:
        """Set the good poster."""
        return good_plan(self.rng, layout=self.layout, colours=self.colours, size_mm=self.size_mm, sizes=sizes)


Planted = tuple[Plan, Plan, tuple[int, ...]]
"""The good poster, the planted one, and the numbers of the planted one's lines that have the fault."""
Plant = Callable[[Ingredients], Planted]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One planted fault; without `lines` it lies in the figure, or is of the whole sheet."""

    check: str
    seed: int
    good: Plan
    planted: Plan
    lines: tuple[int, ...]


def case(check: str, seed: int) -> Case:
    """Plant a fault; layouts, colours and sheets take turns with the seed."""
    made_from = Ingredients(
        rng=np.random.default_rng([seed, *check.encode()]),
        layout=LAYOUTS[seed % len(LAYOUTS)],
        colours=PALETTES[seed % len(PALETTES)],
        size_mm=A3_MM if seed % 4 == 3 else A4_MM,
    )
    good, planted, lines = KINDS[check].plant(made_from)
    return Case(check=check, seed=seed, good=good, planted=planted, lines=lines)


def at_place(finding: Finding, poster: Poster, lines: Sequence[int]) -> bool:
    """Whether a finding lies on one of some lines: at least half of one of its places does."""
    return _within(finding, [poster.lines[number].box_px for number in lines])


def _within(finding: Finding, boxes: Sequence[BoxPx]) -> bool:
    for place in finding.places:
        x0, y0, x1, y1 = place.box_px.as_tuple()
        for left, top, right, bottom in boxes:
            width, height = min(x1, right) - max(x0, left), min(y1, bottom) - max(y0, top)
            if min(width, height) > 0 and 2 * width * height >= place.box_px.area:
                return True
    return False


def found_at(report: PosterReport, poster: Poster, lines: Sequence[int]) -> tuple[Finding, ...]:
    """Findings that lie on some lines, in their order."""
    return tuple(f for f in report.findings if at_place(f, poster, lines))


def lines_of(finding: Finding, poster: Poster) -> tuple[int, ...]:
    """Return the numbers of the drawn lines that a finding lies on."""
    return tuple(n for n in range(len(poster.lines)) if at_place(finding, poster, [n]))


def findings_on(report: PosterReport, poster: Poster, drawn: Case) -> tuple[Finding, ...]:
    """Findings that lie where the fault was planted, in their order: on its lines, in the figure, or anywhere."""
    if KINDS[drawn.check].of_sheet:
        return tuple(report.findings)
    boxes = [poster.lines[n].box_px for n in drawn.lines] if drawn.lines else poster.figures
    return tuple(f for f in report.findings if _within(f, boxes))


def naming(report: PosterReport, poster: Poster, drawn: Case) -> Finding | None:
    """Return the finding that names the planted fault best, None if none does.

    That is one of its own check, else of one that may come first for it.
    """
    ours = (drawn.check, *KINDS[drawn.check].also_named)
    found = [f for f in findings_on(report, poster, drawn) if f.check in ours]
    return min(found, key=lambda f: (ours.index(f.check), f.rank), default=None)


def _faint(made_from: Ingredients) -> Planted:
    """The date, both facts, or the small print, in an ink close to its ground."""
    rng, good = made_from.rng, made_from.plan()
    roles = (("date",), ("date", "place"), ("small",))[int(rng.integers(3))]
    lines = good.numbers(*roles)
    pale = _pale(rng, good.ground_of(lines[0]), 1.5, 2.4)
    return good, good.with_lines({n: replace(good.settings[n], ink=pale) for n in lines}), lines


def _short(made_from: Ingredients) -> Planted:
    """A title too small for the room, or small print too small for half a metre."""
    rng = made_from.rng
    if rng.random() < 0.5:
        good = made_from.plan(
            Sizes(title_cap_mm=float(rng.uniform(15, 19)), support_cap_mm=3.8, small_x_mm=1.75),
        )
        lines = good.numbers("title")
        wanted_mm = 5 * READ_FROM_HALF_A_METRE_MM * good.size_mm[0] / A4_MM[0]
        share = float(rng.uniform(0.66, 0.76))
    else:
        good = made_from.plan()
        lines, wanted_mm = good.numbers("small"), READ_FROM_HALF_A_METRE_MM
        share = float(rng.uniform(0.6, 0.72))
    factor = share * wanted_mm / good.settings[lines[0]].letter_mm
    return good, good.with_lines({n: good.settings[n].scaled(factor) for n in lines}), lines


def _patchy(made_from: Ingredients) -> Planted:
    """The date runs into a ground of about its own lightness: by degrees, or at a panel's edge."""
    rng, plan = made_from.rng, made_from.plan()
    number = plan.numbers("date")[0]
    at = plan.block_of(number)
    facts, date = plan.blocks[at], plan.settings[number]
    even = replace(facts, lines=(date,), ground=plan.ground)
    rest = replace(facts, lines=facts.lines[1:], gap_mm=0.6 * facts.gap_mm)
    good = replace(plan, blocks=(*plan.blocks[:at], even, rest, *plan.blocks[at + 1 :]))
    by_degrees = rng.random() < 0.5
    end = _pale(rng, date.ink, *((1.15, 1.4) if by_degrees else (1.8, 2.4)))
    uneven = replace(even, end=end, edge=None if by_degrees else float(rng.uniform(0.6, 0.8)))
    return good, good.with_blocks({at: uneven}), (number,)


def _washed(made_from: Ingredients) -> Planted:
    """The date and the place in letters large enough to read, whose strokes melt at their station.

    By the definition and from the drawing itself: contrast and reach are as wanted, and what is seen of the
    strokes is under that of 4.5:1 type with strokes of a twelfth of its height at its own reach.
    """
    rng, limits = made_from.rng, Limits()
    good = made_from.plan(Sizes(support_x_mm=float(rng.uniform(6.4, 7.2))))
    lines = good.numbers("date", "place")
    ground = good.ground_of(lines[0])
    far_m = default_far_m(*good.size_mm)
    station_m = stations(far_m)[1].distance_m
    while True:
        thin = face(*_THIN[int(rng.integers(len(_THIN)))])
        ink, tracking_em = _pale(rng, ground, 3.15, 4.2), float(rng.uniform(-0.04, 0.0))
        melting = {n: replace(good.settings[n], face=thin, ink=ink, tracking_em=tracking_em) for n in lines}
        dark = luminance1(ink) < luminance1(ground)
        limit = limits.washed_out_dark_ratio if dark else limits.washed_out_light_ratio
        found = [melted(line, ground, station_m) for line in melting.values()]
        if all(seen < 1 + CLEARLY * (limit - 1) and reach_m > station_m / CLEARLY for seen, reach_m in found):
            return good, good.with_lines(melting), lines


def _fading(made_from: Ingredients) -> Planted:
    """A date large enough to read from the middle station, but too pale a tone to be noticed from far.

    Dark on light: light letters, far apart, at little more than 3:1. Light on dark such letters still stand
    off, and only an ink that is faint as well goes unnoticed.
    """
    rng = made_from.rng
    good = made_from.plan(Sizes(support_x_mm=float(rng.uniform(5.2, 5.8))))
    number = good.numbers("date")[0]
    ground, date = good.ground_of(number), good.settings[number]
    if luminance1(ground) > 0.4:
        light = _LIGHT[int(rng.integers(len(_LIGHT)))]
        ink, tracking_em = _pale(rng, ground, 3.1, 3.4), float(rng.uniform(0.1, 0.15))
        pale = replace(date, face=face(*light), ink=ink, tracking_em=tracking_em)
    else:
        pale = replace(date, ink=_pale(rng, ground, 1.3, 1.45))
    return good, good.with_lines({number: pale}), (number,)


def _late(made_from: Ingredients) -> Planted:
    """A line of the small print stands far from the rest of it."""
    good = made_from.plan()
    number = good.numbers("small")[-1]
    at = good.block_of(number)
    block = good.blocks[at]
    # nothing within four letter heights, and read from two thirds of the way at the most
    clear_mm = 22.0 * made_from.size_mm[0] / A4_MM[0]
    line = replace(block.lines[-1], role="lone", ink=_page_ink(good)).scaled(0.85)
    lone = Block(lines=(line,), align=block.align, gap_mm=clear_mm)
    rest = replace(block, lines=block.lines[:-1])
    first = 0 if made_from.rng.random() < 0.5 else next(n for n, b in enumerate(good.blocks) if b.figure)
    blocks = [*good.blocks[:at], rest, *good.blocks[at + 1 :]]
    blocks.insert(first, lone)
    planted = replace(good, blocks=tuple(blocks))
    return good, planted, planted.numbers("lone")


def _with_detail(plan: Plan, figure: str, ink: Srgb8, stroke_mm: float, pitch_mm: float) -> Plan:
    """Put strokes, dots or rules in the place of the figure."""
    at = next(n for n, block in enumerate(plan.blocks) if block.figure)
    drawn = replace(plan.blocks[at], figure=figure, ground=ink, stroke_mm=stroke_mm, pitch_mm=pitch_mm)
    return plan.with_blocks({at: drawn})


def _detail(made_from: Ingredients) -> tuple[Plan, str, Srgb8, float, float]:
    """A good poster with strokes or dots: 0.8 to 1.1 mm wide, four times as far apart, of 5:1 or more."""
    rng, plan = made_from.rng, made_from.plan()
    figure = ("hatching", "dots")[int(rng.integers(2))]
    unit = made_from.size_mm[0] / A4_MM[0]
    stroke_mm = min(float(rng.uniform(0.9, 1.1)) * unit, 1.3)
    ink = _pale(rng, plan.ground, 5.0, 8.0)
    return _with_detail(plan, figure, ink, stroke_mm, 4 * stroke_mm), figure, ink, stroke_mm, 4 * stroke_mm


def _faint_detail(made_from: Ingredients) -> Planted:
    """Strokes or dots in an ink close to their ground."""
    good, figure, _, stroke_mm, pitch_mm = _detail(made_from)
    pale = _pale(made_from.rng, good.ground, 1.6, 2.5)
    return good, _with_detail(good, figure, pale, stroke_mm, pitch_mm), ()


def _lost_detail(made_from: Ingredients) -> Planted:
    """Strokes or dots too fine and close to be told apart from far."""
    # from 2.8 m, four fifths of the way to far, over 60 cycles a degree, the finest that any eye resolves (from
    # memory), and coarser than halftone; of whole pixels, since others beat with the file's own grid
    good, figure, ink, _, _ = _detail(replace(made_from, size_mm=A3_MM))
    pitch_mm = 6 * 25.4 / good.ppi
    return good, _with_detail(good, figure, ink, float(made_from.rng.uniform(0.4, 0.46)) * pitch_mm, pitch_mm), ()


def _hairline(made_from: Ingredients) -> Planted:
    """Dividing lines too thin for the press: black ones at 600 ppi would be huge, so left light in a dark ground."""
    rng = made_from.rng
    plan = replace(replace(made_from, colours="light on dark", size_mm=A5_MM).plan(_SMALL_SHEET), ppi=300.0)
    ink = _pale(rng, plan.ground, 6.0, 12.0)
    pitch_mm = float(rng.uniform(6, 9))
    good = _with_detail(plan, "rules", ink, 0.35, pitch_mm)
    return good, _with_detail(plan, "rules", ink, float(rng.uniform(0.09, 0.14)), pitch_mm), ()


def _many_inks(made_from: Ingredients) -> Planted:
    """The small print in all four inks, in a file where everything else is black alone."""
    plan = replace(made_from, colours="dark on light").plan()
    lines = plan.numbers("small")
    good = replace(plan, ground=(255, 255, 255), rich=())
    return good, replace(good, rich=lines), lines


def _coarse(made_from: Ingredients) -> Planted:
    """A file of too few pixels, or one blown up to enough of them."""
    rng, good = made_from.rng, made_from.plan()
    if rng.random() < 0.5:
        return good, replace(good, ppi=float(rng.uniform(110, 150))), ()
    good = replace(good, ppi=300.0)
    return good, replace(good, enlarged=float(rng.uniform(3.0, 3.5))), ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of fault.

    Attributes
    ----------
    also_named
        Other checks that may rightly come first for the same fault: the order of causes puts them before it,
        or they see the same thing from another side.
    of_sheet
        Whether the fault is of the whole sheet and lies nowhere.
    """

    plant: Plant
    also_named: tuple[str, ...] = ()
    of_sheet: bool = False


KINDS: dict[str, Kind] = {
    "faint-text": Kind(plant=_faint),
    "short-reach": Kind(plant=_short),
    # letters on a panel of their own lightness are a faint line to whoever looks at them alone
    "patchy-ground": Kind(plant=_patchy, also_named=("faint-text",)),
    "washed-out": Kind(plant=_washed),
    "fades": Kind(plant=_fading, also_named=("faint-text",)),
    "read-late": Kind(plant=_late),
    "faint-detail": Kind(plant=_faint_detail),
    "detail-lost": Kind(plant=_lost_detail),
    "hairline": Kind(plant=_hairline),
    "many-inks": Kind(plant=_many_inks),
    "coarse-artwork": Kind(plant=_coarse, of_sheet=True),
}

_THIN = (
    ("font_roboto", "Roboto-Thin.ttf"),
    ("font_source_sans_pro", "SourceSansPro-ExtraLight.ttf"),
    ("font_source_serif_pro", "SourceSerifPro-ExtraLight.ttf"),
    ("font_lato", "Lato-Thin.ttf"),
)
_LIGHT = (
    ("font_hanken_grotesk", "HankenGrotesk-Light.otf"),
    ("font_lato", "Lato-Light.ttf"),
    ("font_manrope", "Manrope-ExtraLight.ttf"),
    ("font_roboto", "Roboto-Light.ttf"),
    ("font_source_sans_pro", "SourceSansPro-Light.ttf"),
)


def _pale(rng: np.random.Generator, ground: Srgb8, least: float, most: float) -> Srgb8:
    return ink_for(ground, float(rng.uniform(least, most)), random_colour(rng))


def _page_ink(plan: Plan) -> Srgb8:
    return next(line.ink for block in plan.blocks for line in block.lines if block.ground is None)

"""Posters set as blocks down the sheet, so that a change can be made and the rest makes room for it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from synth.colours import Srgb8
from synth.fonts import Face
from synth.sheet import Pen, Poster, Sheet

LEAST_FIGURE_MM = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A line to be set; exactly one of `cap_mm` and `x_mm` says how large.

    Attributes
    ----------
    role
        What the line is on the poster: "title", "date", "place", "small" or "lone".
    outline
        Colour and width in mm of a ring around the letters.
    """

    role: str
    text: str
    face: Face
    ink: Srgb8
    cap_mm: float | None = None
    x_mm: float | None = None
    tracking_em: float = 0.0
    outline: tuple[Srgb8, float] | None = None

    @property
    def em_mm(self) -> float:
        """Size of the type."""
        return self.cap_mm / self.face.cap_em if self.cap_mm else (self.x_mm or 0.0) / self.face.x_em

    @property
    def letter_mm(self) -> float:
        """Height that the line was set to."""
        return self.cap_mm or self.x_mm or 0.0

    @property
    def width_mm(self) -> float:
        """Width of the line as set, without the space after its last letter."""
        font = self.face.at(200.0)
        return self.em_mm * (font.getlength(self.text) / 200 + self.tracking_em * (len(self.text) - 1))

    def scaled(self, factor: float) -> "Setting":
        """Return the line `factor` times as large."""
        return replace(
            self,
            cap_mm=None if self.cap_mm is None else factor * self.cap_mm,
            x_mm=None if self.x_mm is None else factor * self.x_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Lines that belong together, or a figure that takes the room left on the sheet.

    Attributes
    ----------
    gap_mm
        Free space above the block.
    leading
        Distance of the baselines, in ems.
    ground
        Colour of a band across the sheet under the block; None: the sheet's own.
    end, edge
        Another colour that the band comes to at the end of the first line, and how: by degrees, or at an
        edge that lies at this share of the line.
    figure
        "disc", "arch" or "peaks", in the colour `ground`, instead of lines; or "hatching", "dots" or "rules".
    stroke_mm, pitch_mm
        Width and distance of the strokes, dots or rules of a figure that has them.
    """

    lines: tuple[Setting, ...] = ()
    gap_mm: float = 10.0
    leading: float = 1.35
    align: str = "left"
    ground: Srgb8 | None = None
    end: Srgb8 | None = None
    edge: float | None = None
    figure: str | None = None
    stroke_mm: float = 1.0
    pitch_mm: float = 4.0

    @property
    def padding_mm(self) -> float:
        """Space between a band's edge and its lines."""
        return 0.0 if self.ground is None else 0.6 * self.lines[0].em_mm

    @property
    def height_mm(self) -> float:
        """From the band's upper edge, or the top of the capitals, to its lower edge or the last baseline."""
        tops = self.lines[0].em_mm * self.lines[0].face.cap_em
        return tops + sum(self.leading * line.em_mm for line in self.lines[1:]) + 2 * self.padding_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A poster before it is drawn. A sheet too small for its blocks is drawn larger.

    Attributes
    ----------
    enlarged
        How many times the poster is blown up from fewer pixels.
    rich
        As in `Poster`.
    """

    size_mm: tuple[float, float]
    ppi: float
    ground: Srgb8
    blocks: tuple[Block, ...]
    margin_mm: float
    enlarged: float = 1.0
    rich: tuple[int, ...] | None = None

    @property
    def settings(self) -> tuple[Setting, ...]:
        """Every line, in the order of `Poster.lines`."""
        return tuple(line for block in self.blocks for line in block.lines)

    def with_lines(self, change: "dict[int, Setting]") -> "Plan":
        """Return the plan with some lines, by their number, set otherwise."""
        numbers = iter(range(len(self.settings)))
        blocks = [replace(b, lines=tuple(change.get(next(numbers), line) for line in b.lines)) for b in self.blocks]
        return replace(self, blocks=tuple(blocks))

    def with_blocks(self, change: "dict[int, Block]") -> "Plan":
        """Return the plan with some blocks, by their number, made otherwise."""
        return replace(self, blocks=tuple(change.get(n, block) for n, block in enumerate(self.blocks)))

    def numbers(self, *roles: str) -> tuple[int, ...]:
        """Return the numbers of the lines with one of some roles."""
        return tuple(n for n, line in enumerate(self.settings) if line.role in roles)

    def block_of(self, number: int) -> int:
        """Return which block holds a line, by its number."""
        return [n for n, block in enumerate(self.blocks) for _ in block.lines][number]

    def ground_of(self, number: int) -> Srgb8:
        """Return the colour under a line's start."""
        return self.blocks[self.block_of(number)].ground or self.ground

    def drawn(self) -> Poster:
        """Draw the poster."""
        width_mm = max(self.size_mm[0], *(line.width_mm + 2 * self.margin_mm for line in self.settings))
        fixed_mm = 2 * self.margin_mm + sum(
            (0.0 if n == 0 else b.gap_mm) + (0.0 if b.figure else b.height_mm) for n, b in enumerate(self.blocks)
        )
        height_mm = max(self.size_mm[1], fixed_mm + LEAST_FIGURE_MM)
        sheet = Sheet(width_mm, height_mm, self.ppi / self.enlarged, self.ground)
        for block, y in self._flow(height_mm - fixed_mm):
            if block.figure:
                _figure(sheet, block, y, height_mm - fixed_mm, self.margin_mm)
            else:
                _set(sheet, block, y, self.margin_mm)
        poster = replace(sheet.finish(), rich=self.rich)
        return poster if self.enlarged == 1 else poster.enlarged(self.enlarged)

    def _flow(self, figure_mm: float) -> Iterator[tuple[Block, float]]:
        y = self.margin_mm
        for n, block in enumerate(self.blocks):
            y += 0.0 if n == 0 else block.gap_mm
            yield block, y
            y += figure_mm if block.figure else block.height_mm


def _set(sheet: Sheet, block: Block, top_mm: float, margin_mm: float) -> None:
    x = {"left": margin_mm, "centre": sheet.width_mm / 2, "right": sheet.width_mm - margin_mm}[block.align]
    first = block.lines[0]
    if block.ground is not None:
        bottom_mm = top_mm + block.height_mm + 0.25 * first.em_mm
        sheet.panel((0.0, top_mm, sheet.width_mm, bottom_mm), block.ground)
        start = x - {"left": 0.0, "centre": 0.5, "right": 1.0}[block.align] * first.width_mm
        if block.end is not None and block.edge is not None:
            at = start + block.edge * first.width_mm
            sheet.panel((at, top_mm, sheet.width_mm, bottom_mm), block.end)
        elif block.end is not None:
            stop = start + first.width_mm
            sheet.gradient(block.ground, block.end, 0.0, (start, top_mm, stop, bottom_mm))
            sheet.panel((stop, top_mm, sheet.width_mm, bottom_mm), block.end)
    baseline = top_mm + block.padding_mm + first.em_mm * first.face.cap_em
    for n, line in enumerate(block.lines):
        baseline += block.leading * line.em_mm if n else 0.0
        sheet.text(
            line.text,
            line.face,
            line.ink,
            (x, baseline),
            cap_mm=line.cap_mm,
            x_mm=line.x_mm,
            align=block.align,
            tracking_em=line.tracking_em,
            outline=line.outline,
        )


def _figure(sheet: Sheet, block: Block, top_mm: float, height_mm: float, margin_mm: float) -> None:
    left, right = margin_mm, sheet.width_mm - margin_mm
    middle, bottom = (left + right) / 2, top_mm + height_mm
    radius, lean = min(height_mm, right - left) / 2, min(0.4 * height_mm, (right - left) / 3)

    def paint(pen: Pen) -> None:
        match block.figure:
            case "disc":
                pen.disc((middle, top_mm + height_mm / 2), radius)
            case "arch":
                pen.rectangle((middle - radius, top_mm + radius, middle + radius, bottom))
                pen.disc((middle, top_mm + radius), radius)
            case "peaks":
                pen.polygon([(left, bottom), (left + radius, top_mm), (left + 2 * radius, bottom)])
                pen.polygon([(right - radius, bottom), (right - radius / 2, top_mm), (right, bottom)])

            case "hatching":
                for x in np.arange(left + lean, right, block.pitch_mm):
                    pen.line([(x, top_mm), (x - lean, bottom)], block.stroke_mm)
            case "dots":
                for y in np.arange(top_mm + block.pitch_mm / 2, bottom, block.pitch_mm):
                    for x in np.arange(left + block.pitch_mm / 2, right, block.pitch_mm):
                        pen.disc((x, y), block.stroke_mm / 2)
            case "rules":
                for y in np.arange(top_mm + block.pitch_mm / 2, bottom, block.pitch_mm):
                    pen.rectangle((left, y, right, y + block.stroke_mm))

    sheet.fill((left, top_mm, right, bottom), block.ground or (128, 128, 128), paint)
    px = sheet.px_per_mm
    sheet.figures.append((left * px, top_mm * px, right * px, bottom * px))

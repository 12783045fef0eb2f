"""A poster with an offered change made to it, as the maker of the poster would read it."""

import re
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from standback.light import linear_to_srgb8, srgb8_to_linear
from synth.colours import Srgb8, from_hex
from synth.plans import Block, Plan, Setting

_INK = re.compile(r"the ink from #[0-9a-f]{6} to (#[0-9a-f]{6})")
_GROUND = re.compile(r"the ground from (#[0-9a-f]{6}) to (#[0-9a-f]{6})")
_EVEN = re.compile(r"[Ll]ay an even (#[0-9a-f]{6}) behind")
_OUTLINE = re.compile(r"an outline of (#[0-9a-f]{6}), ([0-9.]+) mm wide")
_WEIGHT = re.compile(r"strokes ([0-9.]+) mm wide, now ([0-9.]+) mm")
_HEIGHT = re.compile(r"[Ss]et the (capitals|letters|small letters \(x-height\)) ([0-9.]+) mm high, now ([0-9.]+) mm")
_DETAIL_INK = re.compile(r"\bit from #[0-9a-f]{6} to (#[0-9a-f]{6})")
_DETAIL_WIDTH = re.compile(r"[Dd]raw it ([0-9.]+) mm wide")
_SPACED = re.compile(r"[Ss]pace it out: ([0-9.]+) mm wide(?: and ([0-9.]+) mm apart)?, ([0-9.]+) times as large")
_BLACK = re.compile(r"Set it in black|stand on black alone")
_EXPORT = re.compile(r"[Ee]xport it at ([0-9]+) pixels per inch")


class NotUnderstoodError(ValueError):
    """The words of a change say nothing that can be drawn."""


def mended(plan: Plan, lines: Sequence[int], change: str) -> Plan:
    """Return the plan with a change made to some lines, by their number.

    The ground of lines that stand on a band is the band's colour, that of others the whole sheet's. What
    stands below a line that grows makes room for it, and the sheet grows where it must.
    """
    patterns = (_INK, _GROUND, _EVEN, _OUTLINE, _WEIGHT, _HEIGHT)
    ink, ground, even, outline, weight, height = (pattern.search(change) for pattern in patterns)
    if not (ink or ground or even or outline or weight or height):
        raise NotUnderstoodError(change)
    if ground:
        plan = _on_ground(plan, lines, from_hex(ground[1]), from_hex(ground[2]))
    if even:
        blocks = {plan.block_of(number) for number in lines}
        colour = from_hex(even[1])
        plan = plan.with_blocks({n: _evenly(plan.blocks[n], colour) for n in blocks})
    settings = {number: plan.settings[number] for number in lines}
    if ink:
        settings = {number: replace(line, ink=from_hex(ink[1])) for number, line in settings.items()}
    if outline:
        ring = from_hex(outline[1]), float(outline[2])
        settings = {number: replace(line, outline=ring) for number, line in settings.items()}
    factor = 1.0
    if height:
        # of several lines the words speak of one: that of the height that they name
        heights = [_height_mm(line, height[1]) for line in settings.values()]
        factor = float(height[2]) / min(heights, key=lambda mm: abs(mm - float(height[3])))
    if weight:
        wider_mm = float(weight[1]) / factor - float(weight[2])
        settings = {number: _bolder(line, wider_mm / 2) for number, line in settings.items()}
    if height:
        settings = {number: line.scaled(factor) for number, line in settings.items()}
    return plan.with_lines(settings)


def redrawn(plan: Plan, change: str) -> Plan:
    """Return the plan with a change made to its figure: the colour, width and distance of its strokes or dots."""
    ink, width, spaced = (pattern.search(change) for pattern in (_DETAIL_INK, _DETAIL_WIDTH, _SPACED))
    if not (ink or width or spaced):
        raise NotUnderstoodError(change)
    at = next(n for n, block in enumerate(plan.blocks) if block.figure)
    figure = plan.blocks[at]
    if ink:
        figure = replace(figure, ground=from_hex(ink[1]))
    if width:
        figure = replace(figure, stroke_mm=float(width[1]))
    if spaced:
        pitch_mm = float(spaced[2]) if spaced[2] else float(spaced[3]) * figure.pitch_mm
        figure = replace(figure, stroke_mm=float(spaced[1]), pitch_mm=pitch_mm)
    return plan.with_blocks({at: figure})


def exported(plan: Plan, change: str) -> Plan:
    """Return the plan with a change made to how it is exported: its inks, or its pixels."""
    black, finer = _BLACK.search(change), _EXPORT.search(change)
    if not (black or finer):
        raise NotUnderstoodError(change)
    if black:
        plan = replace(plan, rich=())
    return replace(plan, ppi=float(finer[1]), enlarged=1.0) if finer else plan


def _bolder(line: Setting, side_mm: float) -> Setting:
    """Return the line of the same height with strokes wider on each side."""
    return replace(line, face=replace(line.face, bolder_em=line.face.bolder_em + side_mm / line.em_mm))


def _height_mm(line: Setting, part: str) -> float:
    if part == "small letters (x-height)":
        return line.em_mm * line.face.x_em
    return line.em_mm * (line.face.cap_em if any(c.isupper() for c in line.text) else line.face.digit_em)


def _evenly(block: Block, colour: Srgb8) -> Block:
    return replace(block, ground=colour, end=None, edge=None)


def _on_ground(plan: Plan, lines: Sequence[int], old: Srgb8, new: Srgb8) -> Plan:
    """Shift the colour of the grounds under the lines, in linear light, from `old` to `new`."""

    def shifted(colour: Srgb8 | None) -> Srgb8 | None:
        if colour is None:
            return None
        was, before, after = (np.asarray(srgb8_to_linear(c)) for c in (colour, old, new))
        r, g, b = linear_to_srgb8(np.clip(was + after - before, 0.0, 1.0))
        return (int(r), int(g), int(b))

    on_bands = {n for number in lines if plan.blocks[n := plan.block_of(number)].ground is not None}
    on_page = any(plan.blocks[plan.block_of(number)].ground is None for number in lines)
    bands = {
        n: replace(plan.blocks[n], ground=shifted(plan.blocks[n].ground), end=shifted(plan.blocks[n].end))
        for n in on_bands
    }
    page = shifted(plan.ground) if on_page else plan.ground
    return replace(plan.with_blocks(bands), ground=page or plan.ground)

"""Draw the demo: a poster for an invented supper on the sand, as a first draft and as a mended second.

    python demo/draw_demo.py [--out DIR]

The first draft has the faults of a hurried evening: a subtitle tone on tone, a small pale date, hairlines
and specks that melt away, a title spaced loosely and by eye, a bowl in place of its O, and the line about
entry far from the date and place it belongs to. The second is the same poster with all of them mended.
"""

import argparse
from pathlib import Path

from canvas import Canvas, Face, Style
from drawing import CREAM, INK, SAFFRON, Pen, bowl, fish, heron, sea, sun

WIDTH_MM, HEIGHT_MM = 420.0, 594.0  # A2
LEFT_MM, RIGHT_MM = 24.0, 396.0

GOTHIC = Face(package="font_fjallaone", file="FjallaOne-Regular.ttf")
BOLD = Face(package="font_manrope", file="Manrope-Bold.ttf")
LIGHT = Face(package="font_manrope", file="Manrope-Light.ttf")

OCHRE = "#CC9626"
DEEP_TEAL = "#235963"

FINELINER = Pen(line_mm=0.3, plumes=22, shafts=7, ripples=6, bubble_mm=0.6, bubbles=60, bubble=DEEP_TEAL)
BRUSH = Pen(line_mm=2.4, plumes=4, shafts=1, ripples=1, bubble_mm=3.6, bubbles=5, bubble=CREAM)


def first_draft() -> Canvas:
    """Draw the flawed one."""
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=HEIGHT_MM, paper=SAFFRON)
    sun(canvas)
    heron(canvas, FINELINER)
    sea(canvas, FINELINER)
    fish(canvas, FINELINER)

    title = Style(face=GOTHIC, cap_mm=60, colour=INK, tracking_mm=8)
    canvas.text("L W", title, x_mm=LEFT_MM, baseline_mm=90, nudges_mm={2: 36})
    bowl(canvas, FINELINER, rim_mm=(82, 66), radius_mm=23)
    canvas.text("WATER", title, x_mm=LEFT_MM, baseline_mm=167, nudges_mm={1: 1, 2: -5, 4: 5})
    canvas.text("SUPPER", title, x_mm=LEFT_MM, baseline_mm=244, nudges_mm={1: 3, 3: -4, 5: 6})
    subtitle = Style(face=BOLD, cap_mm=10, colour=OCHRE)
    canvas.text("One long table on the sand,", subtitle, x_mm=LEFT_MM, baseline_mm=271)
    canvas.text("between the tides", subtitle, x_mm=LEFT_MM, baseline_mm=289)
    entry = Style(face=BOLD, cap_mm=5.3, colour=INK)
    canvas.text("Free entry. Bring a bowl and a spoon.", entry, x_mm=RIGHT_MM, baseline_mm=26, flush="right")

    place = Style(face=GOTHIC, cap_mm=40, colour=CREAM)
    canvas.text("WRACKLE STRAND", place, x_mm=LEFT_MM, baseline_mm=486)
    date = Style(face=LIGHT, cap_mm=9.5, colour=DEEP_TEAL)
    canvas.text("Saturday 12 September, 5.30 pm", date, x_mm=LEFT_MM, baseline_mm=509)
    small = Style(face=BOLD, cap_mm=5.3, colour=CREAM)
    canvas.text("Below the old slipway. Boots advised.", small, x_mm=LEFT_MM, baseline_mm=554)
    canvas.text("In a gale we eat in the boat shed.", small, x_mm=LEFT_MM, baseline_mm=566)
    return canvas


def second_draft() -> Canvas:
    """Draw the mended one."""
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=HEIGHT_MM, paper=SAFFRON)
    sun(canvas)
    heron(canvas, BRUSH)
    bowl(canvas, BRUSH, rim_mm=(104, 388), radius_mm=28, tilt_deg=5)
    sea(canvas, BRUSH)
    fish(canvas, BRUSH)

    title = Style(face=GOTHIC, cap_mm=72, colour=INK)
    canvas.text("LOW", title, x_mm=LEFT_MM, baseline_mm=100)
    canvas.text("WATER", title, x_mm=LEFT_MM, baseline_mm=185, nudges_mm={1: -4, 2: -4})
    canvas.text("SUPPER", title, x_mm=LEFT_MM, baseline_mm=270)
    subtitle = Style(face=BOLD, cap_mm=11, colour=INK)
    canvas.text("One long table on the sand,", subtitle, x_mm=LEFT_MM, baseline_mm=299)
    canvas.text("between the tides", subtitle, x_mm=LEFT_MM, baseline_mm=319)

    date = Style(face=GOTHIC, cap_mm=34, colour=CREAM)
    canvas.text("SAT 12 SEPTEMBER", date, x_mm=LEFT_MM, baseline_mm=478, nudges_mm={2: -2})
    place = Style(face=GOTHIC, cap_mm=21.2, colour=SAFFRON)
    canvas.text("5.30 PM AT WRACKLE STRAND", place, x_mm=LEFT_MM, baseline_mm=508)
    entry = Style(face=BOLD, cap_mm=10.5, colour=CREAM)
    canvas.text("Free entry. Bring a bowl and a spoon.", entry, x_mm=LEFT_MM, baseline_mm=531)
    small = Style(face=BOLD, cap_mm=6.5, colour=CREAM)
    canvas.text("Below the old slipway. Boots advised.", small, x_mm=LEFT_MM, baseline_mm=554)
    canvas.text("In a gale we eat in the boat shed.", small, x_mm=LEFT_MM, baseline_mm=566)
    return canvas


def main() -> None:
    """Read the command line and write both drafts."""
    parser = argparse.ArgumentParser(description="Draw both drafts of the demo poster.")
    parser.add_argument("--out", type=Path, default=Path(__file__).parent, help="folder to write them to")
    out = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    first_draft().save(out / "first-draft.png")
    second_draft().save(out / "second-draft.png")


if __name__ == "__main__":
    main()

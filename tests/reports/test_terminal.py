"""The terminal report, compared with a whole document, and at the edges of its range."""

import re
from dataclasses import replace

import pytest

from reports.fixture import BATCH, BLANK, BRIEFED, CLEAN, FINDINGS, POSTER, REPORT
from standback.findings import PosterReport, Report, Unreadable, ranked
from standback.reports.terminal import render
from standback.reports.wrapping import columns
from standback.settings import Settings

ESCAPES = re.compile("\x1b\\[[0-9;]*m")

WHOLE = """\
drafts/evensong.png
fail  judged for a viewer 5 m away (assumed; say --from to change it)
      printed A2 (420 × 594 mm), size from the file's resolution tag
      Doubt: the printed size was taken from a screen-resolution tag

2 lines can be read from 5 m, and 4 of 7 from where they should be. Mend first:
too little contrast (L03).

Walk-up
  from 5 m    L01 (across the top, 62 mm capitals); L02 (middle left, 24 mm
              capitals)
  from 2 m    + L03 (middle left, 15 mm capitals)
  from 50 cm  + L07 (bottom right, 4.0 mm capitals)
  not read    L04, L05, L06 (bottom left, 3.5 mm x-height)
  Other eyes: low vision (6/12) reads 2 of 7 from where it should, 75 years
  reads 3.

Findings  1 fail, 1 warn, 1 note, 1 waived
   1  fail  Too little contrast
            L03 (middle left, 15 mm capitals): 40 mm from the left, 286 mm from
            the top, 120 × 15 mm
            contrast 2.08:1, needed 4.5:1
            The grey is too close to the paper; from 2 m the line barely stands
            off.
            Change: Darken the ink from #a8aaac to #6d6f71: 4.5:1 measured
            again.
            Other eyes: low vision (6/12) reads from 1.2 m, 75 years from 1.6 m.

   2  warn  Too small for its distance
            3 lines, the worst L04 (bottom left, 3.5 mm x-height): 40 mm from
            the left, 500 mm from the top, 150 × 5 mm; also L05 and L06
            reads from 44 cm, needed from 50 cm
            They should be read from 50 cm, but can be from 44 cm at the most.
            Change: Set the capitals 6 mm high, now 5 mm (1.2 times the size):
            then they read from 52 cm.
            Other eyes: low vision (6/12) reads from 22 cm, 75 years from 29 cm.

   3  note  Too little contrast
            L07 (bottom right, 4.0 mm capitals): 300 mm from the left, 560 mm
            from the top, 90 × 4 mm
            contrast 4.49:1, needed 4.5:1
            It falls a hair short.
            Doubt: the ground behind it is busy
            Other eyes: low vision (6/12) reads from 49 cm, 75 years from 65 cm.

   4  fail  Too small for its distance, waived
            L01 (across the top, 62 mm capitals): 40 mm from the left, 48 mm
            from the top, 340 × 62 mm
            reads from 18 m, needed from 20 m
            The title was also asked for the balcony.
            Waived: no poster is read from the balcony

What carries
  L01 (across the top): 13.45:1, letters 62 mm high: reads from 18 m, wanted
  from 5 m
  L02 (middle left): 13.45:1, letters 24 mm high: reads from 7.2 m, wanted from
  2 m

Print  RGB, no colour profile; 102 ppi at printed size; no bleed; trim
       420 × 594 mm
Not judged: spacing is not measured; fine detail is not measured.

────────────────────────────────────────────────────────────────────────────────

drafts/blank.png
fail  judged for a viewer 5 m away (given)
      printed A2 (420 × 594 mm), size as given

Nothing to read was found on the sheet. Mend first: no text was found.

Findings  1 fail
   1  fail  No text was found
            No line of text stands out from its ground anywhere on the sheet.

Print  RGB, sRGB IEC61966-2.1; 102 ppi at printed size; 3 mm bleed; trim
       420 × 594 mm

────────────────────────────────────────────────────────────────────────────────

drafts/evensong-2.png
pass  judged for a viewer 5 m away (assumed; say --from to change it)
      printed A2 (420 × 594 mm), size from the file's resolution tag

2 lines can be read from 5 m, and 2 of 2 from where they should be. Nothing
measured falls short.

Walk-up
  from 5 m    L01 (across the top, 62 mm capitals); L02 (middle left, 24 mm
              capitals)
  from 50 cm  nothing more

Findings  no findings

What carries
  L01 (across the top): 13.45:1, letters 62 mm high: reads from 18 m, wanted
  from 5 m
  L02 (middle left): 13.45:1, letters 24 mm high: reads from 7.2 m, wanted from
  2 m

Print  RGB, no colour profile; 102 ppi at printed size; no bleed; trim
       420 × 594 mm

────────────────────────────────────────────────────────────────────────────────

Could not be read
  drafts/torn.png
    the file ends before the picture does

4 posters: 1 pass, 2 fail, 1 could not be read.
standback is no substitute for the codes and licensed practice that govern
safety and accessibility signs.
"""


def one(poster: PosterReport) -> Report:
    return replace(REPORT, posters=(poster,))


def test_a_whole_batch() -> None:
    assert render(BATCH, width=80, colour=False) == WHOLE


def test_what_a_brief_adds() -> None:
    text = render(one(BRIEFED), width=80, colour=False)
    assert (
        """
            Waived: no poster is read from the balcony

Remarks
  A   top left
      The title wants more air above it.
  B   centre: 210 mm from the left, 330 mm from the top
      What is this mark for?
  C   bottom right: 290 mm from the left, 540 mm from the top, 110 × 40 mm
      Say who sings, not who pays.

What carries
"""
        in text
    )
    assert (
        """
       420 × 594 mm
Brief  evensong.toml, line 15: the figure 'organ' (box 1, 2, 3, 4.5 mm) matches
       nothing: nothing found is there
       evensong.toml, line 20: the waiver (short-reach, line 'title') matches no
       finding: take it out
Not judged:"""
        in text
    )


def test_one_poster_has_no_tally() -> None:
    text = render(REPORT, width=80, colour=False)
    assert "posters:" not in text
    assert "─" not in text
    assert WHOLE.startswith(text.split("\n\nstandback is no")[0].rstrip())


def test_no_artwork_at_all() -> None:
    text = render(replace(REPORT, posters=()), width=80, colour=False)
    assert text.startswith("There was no artwork to audit.\n")


@pytest.mark.parametrize("width", [60, 61, 79, 100, 120])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    wordy = replace(
        POSTER,
        file="drafts/" + 90 * "long" + ".png",
        findings=ranked(replace(f, says="sesqui" * 40, change="ポスター" * 30) for f in FINDINGS),
    )
    text = render(one(wordy), width=width, colour=False)
    assert max(columns(line) for line in text.splitlines()) <= width
    assert (90 * "long" + ".png") in text.replace("\n", "")


@pytest.mark.parametrize(("width", "kept"), [(10, 40), (500, 120)])
def test_width_stays_within_bounds(width: int, kept: int) -> None:
    assert render(BATCH, width=width, colour=False) == render(BATCH, width=kept, colour=False)


def test_no_line_ends_in_blanks() -> None:
    assert not re.search(r" $", render(BATCH, width=72, colour=False), re.MULTILINE)


def test_colour_changes_nothing_but_the_look() -> None:
    coloured = render(BATCH, width=80, colour=True)
    assert "\x1b[1;31mfail\x1b[0m" in coloured
    assert ESCAPES.sub("", coloured) == WHOLE


def test_file_names_can_not_steer_the_console() -> None:
    nasty = "a\x1b[31m\x07\x9b2J\r\nb\u202ec\udcff.png"
    report = Report(
        settings=Settings(),
        posters=(replace(BLANK, file=nasty),),
        unreadable=(Unreadable(file=nasty, why="it is\x1b[0m broken"),),
    )
    text = render(report, width=80, colour=False)
    assert all(character.isprintable() or character == "\n" for character in text)
    assert text.encode("utf-8")
    assert text.startswith("a?[31m??2J b?c?.png\n")


def test_every_finding_is_told_in_rank_order() -> None:
    many = ranked(replace(FINDINGS[0], shortfall=1 + n / 10) for n in range(12))
    text = render(one(replace(POSTER, findings=many)), width=80, colour=False)
    ranks = [int(rank) for rank in re.findall(r"^ +(\d+)  fail", text, re.MULTILINE)]
    assert ranks == list(range(1, 13))
    assert "Findings  12 fails\n" in text


def test_many_places_are_summed_up() -> None:
    ids = tuple(f"L{n:02d}" for n in range(3, 43))
    crowd = replace(FINDINGS[0], elements=ids, places=FINDINGS[0].places * 40)
    text = render(one(replace(POSTER, findings=(crowd,))), width=120, colour=False)
    assert "40 lines, the worst L03 (middle left, 15 mm capitals): 40 mm from the left" in text
    assert "also L04, L05, L06 and 36 more" in text.replace("\n            ", " ")
    assert "L07," not in text


def test_fifty_posters_end_in_a_tally() -> None:
    text = render(replace(BATCH, posters=(CLEAN,) * 20 + (POSTER,) * 30), width=80, colour=False)
    assert "\n51 posters: 20 pass, 30 fail, 1 could not be read.\n" in text


def test_a_small_step_of_the_walk_up_is_counted_not_listed() -> None:
    lines = tuple(replace(POSTER.elements[0], id=f"L{n:02d}", letter_mm=n, cap_mm=n) for n in range(1, 11))
    steps = (replace(POSTER.walk_up[0], reads=tuple(m.id for m in lines)),)
    text = render(one(replace(POSTER, elements=lines, walk_up=steps)), width=120, colour=False)
    assert "L10 (across the top, 10 mm capitals); " in text
    assert "6 more lines" in text

"""Everything that decides a verdict, in one place: stations, viewers, light, limits."""

from dataclasses import dataclass, field
from math import pi

from standback.brief.model import Brief
from standback.sheet import SheetSize
from standback.stock import Stock

NEAR_M = 0.5
"""The viewer has walked up to read (ours)."""
MID_SHARE = 0.4
"""The mid station as a share of the far distance (ours)."""
PAPER_REFLECTANCE = 0.85
"""Diffuse reflectance of poster paper where no stock is named (common practice)."""

PUBLIC_K = 2.0
"""About nine readers in ten on printed displays: Smith (1979), Human Factors 21:661."""
YOUNG_YEARS, OLD_YEARS = 30.0, 75.0
AGED_SIZE_LOG = 0.14
"""Acuity lost from the one age to the other, in logMAR: Elliott, Yang & Whitaker (1995)."""
AGED_CONTRAST_LOG = 0.20
"""Contrast sensitivity lost, in log: Pelli-Robson charts, photopic, from the youngest to over 70."""
LOW_VISION_LOGMAR = 0.30103
"""6/12, the bound of mild impairment in ICD-11: letters twice as large."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place where the viewer stands."""

    name: str
    distance_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewer:
    """A reader: how much larger than the young corrected eye's limit must letters be.

    Attributes
    ----------
    k
        Letter height wanted, as a multiple of the limit of a young corrected eye.
    contrast_factor
        Share of the contrast that this viewer's eye makes use of.
    acuity_logmar
        Acuity, 0 for 6/6 and better.
    """

    name: str
    k: float
    contrast_factor: float = 1.0
    acuity_logmar: float = 0.0
    age_years: float = YOUNG_YEARS

    @property
    def pupil_years(self) -> float:
        """The age of the pupil: past `OLD_YEARS` only its gain in sharpness is modelled, so it stays (ours)."""
        return min(self.age_years, OLD_YEARS)

    def sharp_m(self, distance_m: float) -> float:
        """Return from where an eye of 6/6 makes out as much as this one does from `distance_m`."""
        return float(distance_m * 10**self.acuity_logmar)


def viewer_of(name: str, *, age_years: float = YOUNG_YEARS, acuity_logmar: float = 0.0) -> Viewer:
    """Return a reader of the public's kind, of an age and an acuity.

    Parameters
    ----------
    age_years
        Letters have to be larger by up to 0.14 log from 30 to 75 years (acuity: Elliott, Yang & Whitaker
        1995), and contrast counts for less by up to 0.20 log (Pelli-Robson charts), in even steps between
        (ours).
    acuity_logmar
        Letters have to be larger by as much as the smallest detail made out; better than 6/6 counts as 6/6.
    """
    aged = min(max((age_years - YOUNG_YEARS) / (OLD_YEARS - YOUNG_YEARS), 0.0), 1.0)
    logmar = max(acuity_logmar, 0.0)
    return Viewer(
        name=name,
        k=PUBLIC_K * 10 ** (AGED_SIZE_LOG * aged + logmar),
        contrast_factor=10 ** (-AGED_CONTRAST_LOG * aged),
        acuity_logmar=logmar,
        age_years=age_years,
    )


YOUNG_EYE = Viewer(name="limit", k=1.0)
"""A young corrected eye that can just make it out."""
PUBLIC = viewer_of("public")
LOW_VISION = viewer_of("low-vision", acuity_logmar=LOW_VISION_LOGMAR)
OLDER = viewer_of("older", age_years=OLD_YEARS)
VIEWERS = (PUBLIC.name, LOW_VISION.name, OLDER.name)
"""The viewers of every run; a brief may name the one whose reach decides."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What each check asks for. Those marked ours were chosen by us.

    Attributes
    ----------
    text_ratio, large_text_ratio
        WCAG 2.2, 1.4.3 (level AA); 7 and 4.5 for the enhanced level (1.4.6).
    detail_ratio
        WCAG 2.2, 1.4.11 (non-text contrast), for fine detail and figures.
    detail_least_deg, detail_least_ratio
        A patch of detail that looks smaller from far (the root of its area) and is no part of the main figure, or
        stands off less, is not spoken of unless the brief names it (ours): an icon, a crest, an accent in a drawing, a
        tone that is meant to be quiet.
    shape_share
        A drawn shape that no brief names is spoken of where it has no more than this share of the contrast wanted: a
        reviewer passes over solid shapes of more than 2:1 (ours).
    large_text_css_px
        WCAG's large text, 18 pt, as the em in CSS reference pixels at a station.
    reach_warn_share, reach_fail_share
        Reach over station: under the first it is a warn, under the second a fail (ours).
    reach_guess_share
        The same where the station is but guessed from the sizes on the sheet: a line that is a little short of a
        guess is none that a reviewer would name (ours).
    reach_fail_near_share
        The second of these up close, where the tier is guessed: small print is held at 35 cm (common practice), and so
        near a viewer may step up.
    reach_far_share
        What reads from this share of far all but reads from there: far is a guess itself, and rounded (ours).
    ratio_fail
        A ratio under this fails wherever the line stands (ours).
    reach_comfort
        A pale line whose reach is at least this many times its station is a warn, not a fail (ours).
    near_miss_share, near_miss_reached_share
        A ratio of at least this share of the one asked for warns at the most; the second where the line reads from
        its station all the same (ours).
    ink_least_px
        The ink of thinner strokes fills no pixel of the file, which is paler than what is printed from the design:
        their contrast is told only where it is under `ratio_fail` (ours).
    ink_known_share
        Of strokes under three pixels the ink, and with it the ratio, is known to this share (ours: measured).
    washed_out_dark_ratio, washed_out_light_ratio
        Seen ratio that 4.5:1 type of stroke h/12 has at its own reach, dark on light and light on dark
        (computed from the eye's optics; a test derives them).
    hue_ratio, hue_difference
        Ink and ground at least so far apart in hue (CIEDE2000 at equal lightness), but in lightness under
        this ratio, are told apart by hue alone (ours).
    hue_tolerance
        A ratio for other colour vision counts as fallen only if it is short by more than this share (ours):
        published models of colour vision differ by a few per cent, and a ratio that is just met falls by as much in
        almost any hue.
    hairline_mm, reversed_hairline_mm
        Thinnest printable stroke: 0.25 pt positive (printers' guidance), 0.007 in reversed out of a solid
        (SWOP, 11th edition, 2007).
    hairline_least_px
        A limit is judged only where it covers this many pixels (ours).
    ink_type_pt, ink_stroke_mm, most_inks
        Type smaller, or strokes thinner, than this should be of no more inks than that: they print out of
        register by 0.1 to 0.3 mm (printers' guidance).
    arcmin_ppi_m
        Pixels per inch times metres at which a pixel is one minute of arc.
    sharpness_share
        An artwork whose own sharpness is under this share of its resolution looks enlarged (ours).
    coarse_share
        An artwork of this share of the pixels asked for will do (ours).
    noticed_jnd, stands_out_jnd
        A lead or support line under the first from far fails, under the second warns (ours).
    block_ratio
        Such a line whose box stands off less than this from the ring around it warns (ours).
    spacing_least_px, spacing_least_pairs
        Letter spacing is judged only of letters at least so high, with at least so many pairs: under that,
        too many lines as their face sets them look uneven (ours: measured on drawn lines).
    pair_off_upright, pair_off_slanted, pair_off_figures
        How far one optical gap may be from its line's own, in letter heights: of upright type, italics,
        and pairs with a figure. Faces themselves reach it in 3 to 4 of 100 lines; figures, made for columns,
        in 1 of 40 pairs (ours: measured).
    pair_off_support
        The same for support lines, which are looked at less closely; small ones are not judged (ours).
    pair_off_repeat
        How far the gaps of the same two letters in one line may differ; half of it can't come from the
        face (ours).
    loose_lower, loose_capitals
        Letter gap over the one that faces of such strokes and counters are usually set with; capitals are
        often opened on purpose (ours: measured).
    loose_of_word_gap
        Letter gap over word gap at which words fall apart (ours).
    least_word_space
        White between words beyond that between letters, in heights of the small letters, in lines that are set tight
        (ours: measured).
    gaping_words, gaping_ems
        Word spaces of one line of a justified text over those of another, and in ems, from which on they gape (ours).
    tight_joined_share
        Share of the letters that touch their neighbour, where the wording is known (ours).
    close_capitals, close_titles, close_text
        Distance of baselines over height of capitals: in lines of capitals (ours), in lower case meant for
        far (ours), and in other lower case (ADA 2010, 703.5.9: 135 to 170 % on signs).
    close_running
        Distance of baselines over height of the small letters in texts of several lines (ours): 1.12 ems of a common
        face, where 1.2 and more are common practice.
    group_clear_ratio
        What does not belong stands at least this many times as far away as what does: under it a viewer
        takes the one for the other in more than a fifth of the cases (Kubovy, Holcombe & Wagemans 1998,
        the slope from memory).
    axis_share, axis_far_share
        As shares of the sheet's width: what is off an axis by less than the first is on it, and by more
        than the second is elsewhere on purpose (ours).
    edge_least_mm, edge_most_ems
        Lines that start so far apart, where several start at either place, are seen not to agree; those so many ems
        of the smaller type apart are indented (ours).
    safe_margin_mm
        Type keeps so far from the trim (common practice: 3 to 5 mm).
    thin_margin_share
        A margin under this share of the sheet's shorter side looks pinched, however safe from the cut (ours; 3 to 5 %
        are common practice).
    margin_ratio
        Outer margins that differ by more than this look unmeant (ours).
    overrun_ratio
        The margin that lines keep on one side over that to which others come on the other (ours).
    lead_ratio
        What is looked at first draws at least this many times as much as what comes second (ours).
    outline_share
        Share of a figure's outline that stands off enough to show its shape (ours).
    code_distance_widths
        A code is scanned from about so many times its width (common practice).
    code_arm_m
        A phone is held so far ahead of the eye (ours).
    code_contrast
        Luminances of a code's dark and light at least so far apart, as a share of white's: grade C of ISO/IEC 15415
        (from memory).
    code_quiet_modules, bars_quiet_modules
        Plain ground around a square code (ISO/IEC 18004) and beside a bar code (EAN, Code 128: from memory).
    middle_least_lines, middle_per_line
        Where at least so many lines can't be read from mid, one has to be for every so many of them (ours).
    tier_gap
        Smallest ratio of two letter heights that starts a new tier (ours).
    style_tolerance
        Lines whose letter heights differ by at most this share are of one style (ours).
    """

    text_ratio: float = 4.5
    large_text_ratio: float = 3.0
    detail_ratio: float = 3.0
    detail_least_deg: float = 0.5
    detail_least_ratio: float = 1.5
    shape_share: float = 2 / 3
    large_text_css_px: float = 24.0
    reach_warn_share: float = 1.0
    reach_fail_share: float = 0.8
    reach_fail_near_share: float = 0.7
    reach_far_share: float = 0.9
    reach_guess_share: float = 0.8
    ratio_fail: float = 2.0
    reach_comfort: float = 2.0
    near_miss_share: float = 0.93
    near_miss_reached_share: float = 0.85
    ink_known_share: float = 0.95
    ink_least_px: float = 1.3
    washed_out_dark_ratio: float = 1.26
    washed_out_light_ratio: float = 1.63
    hue_ratio: float = 2.0
    hue_difference: float = 20.0
    hue_tolerance: float = 0.2
    hairline_mm: float = 0.09
    reversed_hairline_mm: float = 0.18
    hairline_least_px: float = 2.0
    ink_type_pt: float = 8.0
    ink_stroke_mm: float = 0.7
    most_inks: float = 2.0
    arcmin_ppi_m: float = 87.3
    sharpness_share: float = 0.5
    coarse_share: float = 0.95
    noticed_jnd: float = 3.0
    stands_out_jnd: float = 6.0
    block_ratio: float = 1.10
    spacing_least_px: float = 18.0
    spacing_least_pairs: float = 4.0
    pair_off_upright: float = 0.08
    pair_off_slanted: float = 0.09
    pair_off_figures: float = 0.25
    pair_off_support: float = 0.11
    pair_off_repeat: float = 0.05
    loose_lower: float = 1.5
    loose_capitals: float = 1.8
    loose_of_word_gap: float = 0.6
    least_word_space: float = 0.34
    gaping_words: float = 1.5
    gaping_ems: float = 0.55
    tight_joined_share: float = 0.2
    close_capitals: float = 1.15
    close_titles: float = 1.2
    close_text: float = 1.35
    close_running: float = 2.15
    group_clear_ratio: float = 1.25
    axis_share: float = 0.004
    axis_far_share: float = 0.03
    edge_least_mm: float = 1.1
    edge_most_ems: float = 0.6
    safe_margin_mm: float = 5.0
    thin_margin_share: float = 0.015
    margin_ratio: float = 1.25
    overrun_ratio: float = 1.5
    lead_ratio: float = 1.15
    outline_share: float = 0.5
    code_distance_widths: float = 10.0
    code_arm_m: float = 0.2
    code_contrast: float = 0.4
    code_quiet_modules: float = 4.0
    bars_quiet_modules: float = 10.0
    middle_least_lines: float = 5.0
    middle_per_line: float = 10.0
    tier_gap: float = 1.25
    style_tolerance: float = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The options of one run.

    Attributes
    ----------
    size
        The trim size, None to ask the file.
    far_m
        Far station in m, None to take it from the sheet (design rule: min(5 m, 7 diagonals)).
    page
        1-based page of a multi-page file.
    gate
        "fail", "warn" or "off": what makes the exit code 1.
    illuminance_lx
        Light on the poster.
    stock
        What it is printed on; None to judge it as exported.
    age_years, acuity_logmar
        The public: it changes with them, and the other viewers never read farther than it does.
    read
        Whether the wording is read, by the reader that an extra brings.
    judged_for
        Name of the viewer whose reach decides, and whose eye looks: one of `VIEWERS`.
    brief
        What the poster must do; without a word where no brief was given.
    from_brief
        Names of the fields here whose values the brief gave.
    """

    size: SheetSize | None = None
    far_m: float | None = None
    bleed_mm: float = 0.0
    page: int = 1
    max_megapixels: float = 400.0
    gate: str = "fail"
    illuminance_lx: float = 150.0
    stock: Stock | None = None
    age_years: float = YOUNG_YEARS
    acuity_logmar: float = 0.0
    read: bool = False
    judged_for: str = PUBLIC.name
    limits: Limits = field(default_factory=Limits)
    brief: Brief = field(default_factory=Brief)
    from_brief: tuple[str, ...] = ()

    @property
    def viewers(self) -> tuple[Viewer, ...]:
        """The public, one of low vision and an older one: those two never younger or sharper than the public."""
        age_years, logmar = self.age_years, self.acuity_logmar
        return (
            viewer_of(PUBLIC.name, age_years=age_years, acuity_logmar=logmar),
            viewer_of(LOW_VISION.name, age_years=age_years, acuity_logmar=max(logmar, LOW_VISION_LOGMAR)),
            viewer_of(OLDER.name, age_years=max(age_years, OLD_YEARS), acuity_logmar=logmar),
        )

    @property
    def viewer(self) -> Viewer:
        """The viewer whose reach decides, and whose eye looks."""
        return next(viewer for viewer in self.viewers if viewer.name == self.judged_for)

    @property
    def luminance_cdm2(self) -> float:
        """Luminance of the paper: L = E x rho / pi."""
        reflectance = PAPER_REFLECTANCE if self.stock is None else self.stock.white1
        return self.illuminance_lx * reflectance / pi


def stations(far_m: float) -> tuple[Station, ...]:
    """Return the far, mid and near stations; mid never nearer than near."""
    near_m = min(NEAR_M, far_m)
    return (
        Station(name="far", distance_m=far_m),
        Station(name="mid", distance_m=max(MID_SHARE * far_m, near_m)),
        Station(name="near", distance_m=near_m),
    )

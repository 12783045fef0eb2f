"""Measurements -> findings. `CHECKS` is the registry; its order is the order of causes."""

from standback.checks.codes import CODE_REACH, QUIET_ZONE
from standback.checks.colour import HUE_ONLY
from standback.checks.contrast import FAINT_TEXT, PATCHY_GROUND
from standback.checks.detail import DETAIL_LOST, FAINT_DETAIL
from standback.checks.distance import READ_LATE, SHORT_REACH
from standback.checks.facts import MISSING_FACTS
from standback.checks.focus import NO_LEAD
from standback.checks.grouping import TORN_GROUP, UNCLEAR_GROUPING
from standback.checks.line_spacing import CLOSE_LINES
from standback.checks.middle import NO_MIDDLE
from standback.checks.misread import MISREAD
from standback.checks.model import Check
from standback.checks.outline import WEAK_OUTLINE
from standback.checks.placement import NEAR_TRIM, OFF_CENTRE, UNEVEN_MARGINS
from standback.checks.presence import NOTHING_FOUND
from standback.checks.printing import COARSE_ARTWORK, HAIRLINE, MANY_INKS
from standback.checks.seen import FADES, WASHED_OUT
from standback.checks.spacing import LOOSE_SPACING, TIGHT_SPACING, UNEVEN_PAIR
from standback.checks.turned import TURNED_TYPE
from standback.checks.word_spaces import WORD_SPACES

CHECKS: tuple[Check, ...] = (
    NOTHING_FOUND,
    FAINT_TEXT,
    SHORT_REACH,
    PATCHY_GROUND,
    HUE_ONLY,
    WASHED_OUT,
    FADES,
    READ_LATE,
    FAINT_DETAIL,
    DETAIL_LOST,
    TURNED_TYPE,
    LOOSE_SPACING,
    TIGHT_SPACING,
    UNEVEN_PAIR,
    WORD_SPACES,
    CLOSE_LINES,
    MISREAD,
    MISSING_FACTS,
    CODE_REACH,
    QUIET_ZONE,
    TORN_GROUP,
    UNCLEAR_GROUPING,
    OFF_CENTRE,
    NEAR_TRIM,
    NO_LEAD,
    NO_MIDDLE,
    UNEVEN_MARGINS,
    WEAK_OUTLINE,
    HAIRLINE,
    MANY_INKS,
    COARSE_ARTWORK,
)
"""Every check. Of several that one line fails, the first is its cause; the later are quoted in it."""


_BY_ID = {check.id: check for check in CHECKS}


def check_of(check_id: str) -> Check:
    """Return a check by its id."""
    return _BY_ID[check_id]


def title_of(check_id: str) -> str:
    """Return a check's title."""
    return _BY_ID[check_id].title


__all__ = ["CHECKS", "Check", "check_of", "title_of"]

"""The brief: a TOML file that says what the poster must do."""

from standback.brief.apply import Waived, split_waived, unmatched_in_words, with_brief
from standback.brief.load import load_brief
from standback.brief.match import Matches, Unmatched, match
from standback.brief.model import Brief, BriefFigure, BriefLine, BriefSheet, Remark, Viewing, Waiver, Where
from standback.brief.read import read_brief
from standback.brief.starter import starter_brief

__all__ = [
    "Brief",
    "BriefFigure",
    "BriefLine",
    "BriefSheet",
    "Matches",
    "Remark",
    "Unmatched",
    "Viewing",
    "Waived",
    "Waiver",
    "Where",
    "load_brief",
    "match",
    "read_brief",
    "split_waived",
    "starter_brief",
    "unmatched_in_words",
    "with_brief",
]

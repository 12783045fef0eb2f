"""Posters drawn in code, true by construction: sizes in mm, colours and wording known exactly."""

from synth.colours import ink_for, ratio
from synth.fonts import Face, measuring_faces, sans, sans_bold, serif, tuning_faces
from synth.matching import Match, matched
from synth.posters import GROUNDS, draw_poster, draw_text_free
from synth.sheet import Poster, Sheet, TrueLine

__all__ = [
    "GROUNDS",
    "Face",
    "Match",
    "Poster",
    "Sheet",
    "TrueLine",
    "draw_poster",
    "draw_text_free",
    "ink_for",
    "matched",
    "measuring_faces",
    "ratio",
    "sans",
    "sans_bold",
    "serif",
    "tuning_faces",
]

"""Named reasons to trust a number less, with the words a reader sees."""

from enum import StrEnum


class Doubt(StrEnum):
    """A reason to trust a number less; its value is the name used in every report."""

    SIZE_ASSUMED = "size-assumed"
    SHAPE_DIFFERS = "shape-differs"
    NO_PROFILE = "no-profile"
    DAMAGED_PROFILE = "damaged-profile"
    COLOURS_RENDERED = "colours-rendered"
    FACE_REPLACED = "face-replaced"
    ANIMATED = "animated"
    BUSY_GROUND = "busy-ground"
    TOUCHES_EDGE = "touches-edge"
    FEW_GROUND_PIXELS = "few-ground-pixels"
    LOW_RESOLUTION = "low-resolution"
    LOW_CONTRAST = "low-contrast"
    SPACING_UNMEASURED = "spacing-unmeasured"
    TWO_INKS = "two-inks"
    OUTLINED = "outlined"

    @property
    def says(self) -> str:
        """The doubt in one plain clause."""
        return _WORDS[self]


_WORDS = {
    Doubt.SIZE_ASSUMED: "the printed size was taken from a screen-resolution tag",
    Doubt.SHAPE_DIFFERS: "the artwork's shape differs a little from the printed size",
    Doubt.NO_PROFILE: "CMYK without a colour profile: colours are an approximation",
    Doubt.DAMAGED_PROFILE: "the embedded colour profile could not be used: read as sRGB",
    Doubt.COLOURS_RENDERED: "its CMYK and spot colours are as a PDF viewer shows them: an approximation",
    Doubt.FACE_REPLACED: "a typeface is not in the file: its letters are those of another face",
    Doubt.ANIMATED: "an animated file: only the first frame was audited",
    Doubt.BUSY_GROUND: "the ground behind it is busy",
    Doubt.TOUCHES_EDGE: "it touches the edge of the sheet",
    Doubt.FEW_GROUND_PIXELS: "little ground around it to compare with",
    Doubt.LOW_RESOLUTION: "its strokes are under three pixels wide",
    Doubt.SPACING_UNMEASURED: "its letter gaps could not be measured",
    Doubt.OUTLINED: "its letters have an outline: they are measured against that",
    Doubt.TWO_INKS: "it is of two inks: the paler is judged",
    Doubt.LOW_CONTRAST: "its contrast is below what the reading model was measured for",
}

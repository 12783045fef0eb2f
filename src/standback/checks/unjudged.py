"""Checks that are named in every report as not judged, so that silence is never taken for a pass."""

from standback.findings import NotJudged

_NOT_MEASURED = {
    "contrast for other colour vision is not measured": ("hue-only",),
    "fine detail and figures are not found": ("faint-detail", "detail-lost", "hairline", "weak-outline"),
    "spacing is not measured": ("loose-spacing", "tight-spacing", "uneven-pair", "close-lines"),
    "grouping and placement are not measured": (
        "torn-group",
        "unclear-grouping",
        "off-centre",
        "near-trim",
        "uneven-margins",
        "no-lead",
    ),
    "the wording is not read": ("misread", "missing-facts"),
    "codes to scan are not recognised": ("code-reach", "quiet-zone"),
    "inks and the artwork's own sharpness are not measured": ("many-inks", "coarse-artwork"),
}

UNJUDGED: tuple[NotJudged, ...] = tuple(
    NotJudged(check=check, why=why) for why, checks in _NOT_MEASURED.items() for check in checks
)

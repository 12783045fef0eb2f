"""Letter heights or reaches as JSON, for other programs: schema `standback.letters/1`."""

from collections.abc import Sequence
from typing import Any

from standback import __version__
from standback.letters.table import Letters, Row
from standback.reports.jsonable import plain, text_of
from standback.settings import YOUNG_EYE

SCHEMA = "standback.letters/1"


def dumps(letters: Letters) -> str:
    """Return the document as text; the same answer gives the same bytes."""
    return text_of(document(letters))


def document(letters: Letters) -> dict[str, Any]:
    """Return the answer as plain dicts, lists, numbers and text, every key present."""
    settings = letters.settings
    names = [viewer.name for viewer in settings.viewers]
    whole: dict[str, Any] = plain(
        {
            "schema": SCHEMA,
            "version": __version__,
            "settings": {
                "ratio": letters.type.ratio,
                "stroke": letters.type.stroke_share,
                "illuminance_lx": settings.illuminance_lx,
                "luminance_cdm2": settings.luminance_cdm2,
                "viewers": settings.viewers,
                "young_eye": YOUNG_EYE,
            },
            "rows": _rows(letters.rows, names, given="distance_m", unit="mm"),
            "reaches": _rows(letters.reaches, names, given="height_mm", unit="m"),
            "rules": [
                {"name": r.name, "source": r.source, "distance_m": r.distance_m, "height_mm": r.height_mm}
                for r in letters.rules
            ],
            "doubts": letters.doubts,
        }
    )
    return whole


def _rows(rows: Sequence[Row], viewers: Sequence[str], *, given: str, unit: str) -> list[dict[str, Any]]:
    keys = [f"{name.replace('-', '_')}_{unit}" for name in viewers]
    return [
        {given: row.given, f"limit_{unit}": row.limit, **dict(zip(keys, row.by_viewer, strict=True))} for row in rows
    ]

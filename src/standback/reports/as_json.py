"""The report as JSON, for other programs: schema `standback.audit/1`."""

from dataclasses import replace
from typing import Any

from standback import __version__, eye, light, settings
from standback.arrangement import Group
from standback.brief.model import Brief, Remark
from standback.constants import constants
from standback.facts.of_line import facts_of
from standback.findings import ArtworkFacts, Finding, PosterReport, Report
from standback.measure.model import DetailMeasurement, FigureMeasurement, Measurement
from standback.reports import words
from standback.reports.jsonable import fields_of, plain, schema_of, text_of

SCHEMA = "standback.audit/1"


def dumps(report: Report) -> str:
    """Return the document as text; the same report gives the same bytes."""
    return text_of(document(report))


def document(report: Report) -> dict[str, Any]:
    """Return the report as plain dicts, lists, numbers and text, every key present."""
    whole: dict[str, Any] = plain(
        {
            "schema": SCHEMA,
            "version": __version__,
            "settings": settings_block(report.settings),
            "posters": [_poster(poster, report.settings) for poster in report.posters],
            "unreadable": [{"file": u.file, "why": u.why} for u in report.unreadable],
            "exit_code": report.exit_code,
        }
    )
    return whole


def settings_block(run: settings.Settings) -> dict[str, Any]:
    """Return every option, limit and constant that decides a verdict, as plain values."""
    block: dict[str, Any] = plain(
        {
            **fields_of(run),
            "brief": _brief(run.brief),
            "viewers": run.viewers,
            "luminance_cdm2": run.luminance_cdm2,
            "young_eye": settings.YOUNG_EYE,
            "constants": constants(),
        }
    )
    return block


def audit_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the document, as shipped."""
    return schema_of(SCHEMA)


def _poster(poster: PosterReport, run: settings.Settings) -> dict[str, Any]:
    on_it = replace(run, stock=poster.artwork.stock)
    return {
        "file": poster.file,
        "verdict": poster.verdict,
        "summary": poster.summary,
        "artwork": poster.artwork,
        "far_assumed": poster.far_assumed,
        "stations": poster.stations,
        "viewers": [_viewer(viewer, on_it.luminance_cdm2) for viewer in poster.viewers],
        "judged_for": poster.judged_for,
        "elements": [
            *(_line(m) for m in poster.elements),
            *(_detail(m) for m in poster.details),
            *(_figure(m) for m in poster.figures),
        ],
        "groups": [_group(group) for group in poster.arrangement.groups],
        "pull": poster.arrangement.pull,
        "walk_up": poster.walk_up,
        "findings": [_finding(f) for f in poster.findings],
        "carries": poster.carries,
        "not_judged": poster.not_judged,
        "remarks": [_remark(index, r, poster.artwork) for index, r in enumerate(poster.remarks)],
        "unmatched": poster.unmatched,
        "live_text": poster.live_text,
        "suggestion": _suggestion(poster),
    }


def _brief(brief: Brief) -> dict[str, Any] | None:
    """Return what the brief says, None where none was given."""
    return {**fields_of(brief), "limits": dict(brief.limits)} if brief.file else None


def _group(group: Group) -> dict[str, Any]:
    return {"name": group.name, "elements": group.elements, "from": group.whence, "box_mm": group.box_mm}


def _remark(index: int, remark: Remark, facts: ArtworkFacts) -> dict[str, Any]:
    return {
        "letter": words.remark_letter(index),
        "text": remark.text,
        "place": words.remark_place(remark, facts),
        "box_mm": remark.where.box_mm,
        "point_mm": remark.where.point_mm,
    }


def _viewer(viewer: settings.Viewer, luminance_cdm2: float) -> dict[str, Any]:
    pupil_mm = eye.pupil_diameter_mm(luminance_cdm2, age_years=viewer.pupil_years)
    return {**fields_of(viewer), "pupil_mm": pupil_mm}


_ELEMENT_KEYS = (
    *("id", "kind", "what", "found_by", "box_px", "box_mm", "angle_deg", "ink", "ground"),
    *("ratio", "ratio_worst", "ratio_printed", "ratio_wanted", "ground_contrast", "ratio_masked", "vision"),
    *("tier", "tier_from", "station"),
    *("name", "role", "group", "wording", "read", "facts", "cap_mm", "x_mm", "letter_mm", "stroke_mm"),
    *("letter_gap", "pair_gaps", "feature_mm", "pitch_mm", "reach_m", "reach", "limit_m"),
    *("carry_m", "resolve_m", "seen", "doubts", "confidence"),
)
_NOTHING: dict[str, Any] = dict.fromkeys(_ELEMENT_KEYS) | {
    "angle_deg": 0,
    "read": [],
    "facts": [],
    "pair_gaps": [],
    "reach": [],
    "vision": [],
}
"""What an element says of a key that its kind does not have."""


def _detail(m: DetailMeasurement) -> dict[str, Any]:
    """Return one patch of fine detail; `what` names it."""
    detail = m.detail
    return _NOTHING | {
        "id": m.id,
        "kind": "detail",
        "what": detail.kind,
        "found_by": ["shapes"],
        "box_px": detail.box_px.as_tuple(),
        "box_mm": m.box_mm,
        "ink": light.to_hex(detail.ink_srgb8),
        "ground": light.to_hex(detail.ground_srgb8),
        "ratio": detail.ratio,
        "ratio_wanted": m.ratio_wanted,
        "feature_mm": detail.feature_mm,
        "pitch_mm": detail.pitch_mm,
        "name": m.name,
        "carry_m": m.carry_m,
        "resolve_m": m.resolve_m,
        "seen": m.seen,
        "doubts": m.doubts,
        "confidence": detail.confidence,
    }


def _figure(m: FigureMeasurement) -> dict[str, Any]:
    """Return one large figure; `ink` is its mean colour."""
    figure = m.figure
    return _NOTHING | {
        "id": m.id,
        "kind": "figure",
        "what": "picture" if figure.picture else "shape",
        "found_by": ["shapes"],
        "box_px": figure.box_px.as_tuple(),
        "box_mm": m.box_mm,
        "ink": light.to_hex(figure.colour_srgb8),
        "ground": light.to_hex(figure.ground_srgb8),
        "ratio": figure.ratio,
        "ratio_wanted": m.ratio_wanted,
        "name": m.name,
        "carry_m": m.carry_m,
        "seen": m.seen,
        "doubts": m.doubts,
        "confidence": figure.confidence,
    }


def _line(m: Measurement) -> dict[str, Any]:
    """Return one line; what is not measured yet is null, or an empty list."""
    line = m.line
    return _NOTHING | {
        "id": m.id,
        "kind": "line",
        "found_by": line.found_by,
        "box_px": line.box_px.as_tuple(),
        "box_mm": m.box_mm,
        "angle_deg": line.angle_deg,
        "ink": light.to_hex(line.ink_srgb8),
        "ground": light.to_hex(line.ground_srgb8),
        "ratio": m.ratio,
        "ratio_worst": m.ratio_worst,
        "ratio_printed": m.ratio_printed,
        "ground_contrast": m.ground_contrast,
        "ratio_masked": m.ratio_masked,
        "ratio_wanted": m.ratio_wanted,
        "vision": m.vision,
        "tier": m.tier,
        "tier_from": m.tier_from,
        "station": m.station,
        "name": m.name,
        "role": m.role,
        "group": m.group,
        "wording": m.said,
        "read": m.read,
        "facts": facts_of(m),
        "cap_mm": m.cap_mm,
        "x_mm": m.x_mm,
        "letter_mm": m.letter_mm,
        "stroke_mm": m.stroke_mm,
        "letter_gap": None if m.spacing is None else m.spacing.letter_gap,
        "pair_gaps": [] if m.spacing is None else [pair.gap for pair in m.spacing.pairs],
        "reach_m": m.reach_m,
        "reach": m.reach,
        "limit_m": m.limit_m,
        "carry_m": m.carry_m,
        "seen": m.seen,
        "doubts": sorted({*m.doubts, *(m.spacing.doubts if m.spacing else ())}),
        "confidence": line.confidence,
    }


def _suggestion(poster: PosterReport) -> dict[str, Any] | None:
    """Return what the picture of the changes shows, None where none was drawn."""
    if poster.suggestion is None:
        return None
    return {
        "drawn": [{"rank": rank, "elements": elements} for rank, elements in poster.suggestion.drawn],
        "not_drawn": poster.suggestion.not_drawn,
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rank": finding.rank,
        "check": finding.check,
        "severity": finding.severity.word,
        "elements": finding.elements,
        "places": [{"box_px": p.box_px.as_tuple(), "box_mm": p.box_mm} for p in finding.places],
        "measured": finding.measured,
        "needed": finding.needed,
        "unit": finding.unit,
        "shortfall": finding.shortfall,
        "says": finding.says,
        "change": finding.change,
        "redraws": [
            {
                "element": r.element,
                "ink": light.to_hex(r.ink),
                "ground": light.to_hex(r.ground),
                "even": r.even,
                "outline": None if r.outline is None else light.to_hex(r.outline),
                "heavier": r.heavier,
                "enlarged": r.enlarged,
            }
            for r in finding.redraws
        ],
        "waived": finding.waived,
        "doubts": finding.doubts,
    }

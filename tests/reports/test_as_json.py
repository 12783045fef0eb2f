"""The JSON document against hand-written parts and the shipped schema."""

import json
from collections.abc import Iterator
from dataclasses import replace
from math import inf, nan
from typing import Any

import jsonschema
import numpy as np
import pytest

from reports.fixture import BATCH, BLANK, BRIEF, BRIEFED, LINES, POSTER, REPORT
from standback import __version__
from standback.findings import NotDrawn, Report, Suggestion
from standback.reports.as_json import audit_schema, document, dumps
from standback.settings import Limits, Settings
from standback.sheet import parse_size

VALIDATOR = jsonschema.Draft202012Validator(audit_schema())


def check(report: Report) -> dict[str, Any]:
    """Return the document as another program reads it, valid against the shipped schema."""
    read: dict[str, Any] = json.loads(dumps(report))
    VALIDATOR.validate(read)
    return read


def element(name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(e for e in check(REPORT)["posters"][0]["elements"] if e["id"] == name)
    return found


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(audit_schema())


def test_the_top() -> None:
    read = check(BATCH)
    assert list(read) == ["schema", "version", "settings", "posters", "unreadable", "exit_code"]
    assert (read["schema"], read["version"], read["exit_code"]) == ("standback.audit/1", __version__, 3)
    assert read["unreadable"] == [{"file": "drafts/torn.png", "why": "the file ends before the picture does"}]


def test_a_trace_of_ours_stays_inside() -> None:
    torn = replace(BATCH.unreadable[0], trace="Traceback ...")
    read = check(replace(BATCH, unreadable=(torn,)))
    assert read["exit_code"] == 70
    assert "Traceback" not in json.dumps(read)


def test_a_whole_poster_without_elements() -> None:
    poster = check(replace(REPORT, posters=(BLANK,)))["posters"][0]
    named = {viewer["name"]: viewer["k"] for viewer in poster.pop("viewers")}
    assert named == {"public": 2.0, "low-vision": 4.0, "older": 2.76077}
    assert poster == {
        "file": "drafts/blank.png",
        "verdict": "fail",
        "summary": "Nothing to read was found on the sheet. Mend first: no text was found.",
        "artwork": {
            "width_px": 1680,
            "height_px": 2376,
            "width_mm": 420.0,
            "height_mm": 594.0,
            "bleed_mm": 3.0,
            "ppi": 101.6,
            "size_from": "option",
            "colour": "RGB",
            "profile": "sRGB IEC61966-2.1",
            "doubts": [],
            "stock": None,
            "drawn": False,
            "sha256": None,
        },
        "far_assumed": False,
        "judged_for": "public",
        "stations": [
            {"name": "far", "distance_m": 5.0},
            {"name": "mid", "distance_m": 2.0},
            {"name": "near", "distance_m": 0.5},
        ],
        "elements": [],
        "groups": [],
        "pull": [],
        "walk_up": [],
        "findings": [
            {
                "rank": 1,
                "check": "nothing-found",
                "severity": "fail",
                "elements": [],
                "places": [],
                "measured": None,
                "needed": None,
                "unit": None,
                "shortfall": 1.0,
                "says": "No line of text stands out from its ground anywhere on the sheet.",
                "change": None,
                "redraws": [],
                "waived": None,
                "doubts": [],
            }
        ],
        "carries": [],
        "not_judged": [],
        "remarks": [],
        "unmatched": [],
        "live_text": [],
        "suggestion": None,
    }


def test_a_whole_element() -> None:
    block = {"block_ratio": 1.25}
    assert element("L03") == {
        "id": "L03",
        "kind": "line",
        "what": None,
        "found_by": ["shapes"],
        "box_px": [160, 1146, 640, 1206],
        "box_mm": [40.0, 286.5, 160.0, 301.5],
        "angle_deg": 0.0,
        "ink": "#a8aaac",
        "ground": "#f5f2ea",
        "ratio": 2.08327,
        "ratio_worst": 2.08327,
        "ratio_printed": None,
        "ratio_wanted": 4.5,
        "ground_contrast": 0,
        "ratio_masked": None,
        "vision": [],
        "tier": "support",
        "tier_from": "guess",
        "station": "mid",
        "name": None,
        "role": None,
        "group": None,
        "wording": None,
        "read": [],
        "facts": [],
        "cap_mm": 15.0,
        "x_mm": None,
        "letter_mm": 15.0,
        "stroke_mm": 2.14286,
        "letter_gap": None,
        "pair_gaps": [],
        "feature_mm": None,
        "pitch_mm": None,
        "reach_m": 2.46,
        "reach": [
            {"viewer": "public", "m": 2.46},
            {"viewer": "low-vision", "m": 1.23},
            {"viewer": "older", "m": 1.64},
        ],
        "limit_m": 4.92,
        "carry_m": 9.84,
        "resolve_m": None,
        "seen": [
            {"station": "far", "ratio": 1.38885, "jnd": 4.0, "css_px": 3.0, "state": "lost"} | block,
            {"station": "mid", "ratio": 1.73606, "jnd": 10.0, "css_px": 7.5, "state": "reads"} | block,
            {"station": "near", "ratio": 1.98407, "jnd": 40.0, "css_px": 30.0, "state": "reads"} | block,
        ],
        "doubts": [],
        "confidence": 0.9375,
    }


def test_findings_places_and_doubts() -> None:
    findings = check(REPORT)["posters"][0]["findings"]
    assert [f["rank"] for f in findings] == [1, 2, 3, 4]
    assert findings[1]["places"] == [
        {"box_px": [160, 2000, 760, 2020], "box_mm": [40.0, 500.0, 190.0, 505.0]},
        {"box_px": [160, 2040, 752, 2060], "box_mm": [40.0, 510.0, 188.0, 515.0]},
        {"box_px": [160, 2080, 764, 2100], "box_mm": [40.0, 520.0, 191.0, 525.0]},
    ]
    assert findings[0]["measured"] == 2.08327
    assert findings[2]["doubts"] == ["busy-ground"]
    assert findings[3]["waived"] == "no poster is read from the balcony"


def test_settings_hold_what_decides() -> None:
    options = Settings(size=parse_size("A2"), far_m=8.0, limits=Limits(text_ratio=7.0), gate="warn")
    read = check(replace(REPORT, settings=options))["settings"]
    assert read["size"] == {"width_mm": 420.0, "height_mm": 594.0, "name": "A2"}
    assert (read["far_m"], read["gate"], read["limits"]["text_ratio"]) == (8.0, "warn", 7.0)
    assert read["constants"]["settings"] == {
        "near_m": 0.5,
        "mid_share": 0.4,
        "paper_reflectance": 0.85,
        "public_k": 2.0,
        "young_years": 30.0,
        "old_years": 75.0,
        "aged_size_log": 0.14,
        "aged_contrast_log": 0.2,
        "low_vision_logmar": 0.30103,
    }
    assert read["constants"]["sheet"]["diagonals_to_far"] == 7.0
    assert read["constants"]["eye"]["limit_arcmin"] == 5.0


def test_without_a_brief_there_is_none() -> None:
    read = check(BATCH)["settings"]
    assert (read["brief"], read["from_brief"]) == (None, [])


def test_a_brief_is_all_there() -> None:
    briefed = replace(Settings(), brief=BRIEF, from_brief=("size", "limits"))
    settings = check(replace(REPORT, settings=briefed))["settings"]
    assert settings["from_brief"] == ["size", "limits"]
    assert settings["brief"] == {
        "file": "evensong.toml",
        "sheet": {"size": {"width_mm": 420.0, "height_mm": 594.0, "name": "A2"}, "bleed_mm": 3.0, "stock": None},
        "viewing": {
            "far_m": 8.0,
            "illuminance_lx": None,
            "age_years": None,
            "acuity_logmar": None,
            "judged_for": None,
        },
        "limits": {"text_ratio": 7.0},
        "lines": [
            {
                "where": {"box_mm": None, "point_mm": None, "words": "top left"},
                "name": "title",
                "tier": "lead",
                "station": "far",
                "role": "title",
                "group": "what",
                "wording": "Evensong",
                "row": 7,
            }
        ],
        "figures": [
            {
                "where": {"box_mm": [1.0, 2.0, 3.0, 4.5], "point_mm": None, "words": None},
                "name": "organ",
                "group": None,
                "row": 15,
            }
        ],
        "waivers": [
            {
                "reason": "no poster is read from the balcony",
                "check": "short-reach",
                "where": None,
                "line": "title",
                "row": 20,
            }
        ],
        "remarks": [
            {
                "where": {"box_mm": None, "point_mm": None, "words": "top left"},
                "text": "The title wants more air above it.",
                "row": 0,
            },
            {
                "where": {"box_mm": None, "point_mm": [210.0, 330.5], "words": None},
                "text": "What is this mark for?",
                "row": 0,
            },
            {
                "where": {"box_mm": [290.0, 540.0, 400.0, 580.0], "point_mm": None, "words": None},
                "text": "Say who sings, not who pays.",
                "row": 0,
            },
        ],
    }


def test_what_the_brief_says_stands_by_the_elements_and_the_poster() -> None:
    poster = check(replace(REPORT, posters=(BRIEFED,)))["posters"][0]
    first = poster["elements"][0]
    said = {key: first[key] for key in ("name", "role", "group", "wording")}
    assert said == {"name": "title", "role": "title", "group": "what", "wording": "Evensong"}
    assert poster["groups"] == [
        {"name": "what", "elements": ["L01"], "from": "brief", "box_mm": [40, 48, 380, 110]},
        {"name": None, "elements": ["L04", "L05", "L06"], "from": "guess", "box_mm": [40, 500, 191, 525]},
    ]
    assert poster["pull"] == [{"element": "L01", "station": "far", "share": 0.5, "centre_bias": 0.25}]
    assert poster["unmatched"] == list(BRIEFED.unmatched)
    assert poster["remarks"] == [
        {
            "letter": "A",
            "text": "The title wants more air above it.",
            "place": "top left",
            "box_mm": None,
            "point_mm": None,
        },
        {
            "letter": "B",
            "text": "What is this mark for?",
            "place": "centre",
            "box_mm": None,
            "point_mm": [210.0, 330.5],
        },
        {
            "letter": "C",
            "text": "Say who sings, not who pays.",
            "place": "bottom right",
            "box_mm": [290.0, 540.0, 400.0, 580.0],
            "point_mm": None,
        },
    ]


@pytest.mark.parametrize("value", [nan, inf, -inf, np.float32(nan)])
def test_no_nan_and_no_infinity(value: float) -> None:
    broken = replace(LINES[0], ratio=value, limit_m=value)
    read = check(replace(REPORT, posters=(replace(POSTER, elements=(broken,)),)))
    assert read["posters"][0]["elements"][0]["ratio"] is None
    assert read["posters"][0]["elements"][0]["limit_m"] is None


def test_numpy_numbers_are_plain_numbers() -> None:
    single: Any = np.float32(4.54)
    line = replace(LINES[0], ratio=single, stroke_mm=np.float64(1.23456789))
    read = check(replace(REPORT, posters=(replace(POSTER, elements=(line,)),)))["posters"][0]["elements"][0]
    assert (read["ratio"], read["stroke_mm"]) == (4.54, 1.23457)


def test_paths_as_given_whatever_their_bytes() -> None:
    file = "drafts/ñandú \udcff ポスター.png"
    text = dumps(replace(REPORT, posters=(replace(BLANK, file=file),)))
    assert "ñandú \\udcff ポスター.png" in text
    assert json.loads(text.encode("utf-8"))["posters"][0]["file"] == file


def test_the_same_report_gives_the_same_bytes() -> None:
    assert dumps(BATCH) == dumps(replace(BATCH))
    assert dumps(BATCH).endswith("}\n")


def keys(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path to every key of the document, the first entry standing for a list."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield (*path, key)
            yield from keys(item, (*path, key))
    elif isinstance(value, list) and value:
        yield from keys(value[0], (*path, 0))


FREE = {"limits", "constants"}
"""Settings whose own keys the schema leaves open."""

ALL = replace(BATCH, settings=replace(Settings(), brief=BRIEF), posters=(BRIEFED, BLANK))
"""A report with every key there is."""

REQUIRED = [p for p in keys(document(ALL)) if not FREE & {*p[:-1]}]


@pytest.mark.parametrize("path", REQUIRED, ids=lambda path: ".".join(map(str, path)))
def test_the_schema_refuses_a_missing_key(path: tuple[Any, ...]) -> None:
    *way, last = path
    read = document(ALL)
    inside: Any = read
    for step in way:
        inside = inside[step]
    del inside[last]
    with pytest.raises(jsonschema.ValidationError, match=f"'{last}' is a required property"):
        VALIDATOR.validate(read)


@pytest.mark.parametrize(
    ("path", "wrong"),
    [
        (("schema",), "standback.audit/2"),
        (("exit_code",), 4),
        (("posters", 0, "verdict"), "good"),
        (("posters", 0, "elements", 0, "ink"), "red"),
        (("posters", 0, "elements", 0, "box_px"), [1, 2, 3]),
        (("posters", 0, "elements", 0, "kind"), "word"),
        (("posters", 0, "elements", 0, "seen", 0, "state"), "blurred"),
        (("posters", 0, "findings", 0, "shortfall"), 0.5),
        (("posters", 0, "findings", 0, "severity"), 3),
        (("posters", 0, "artwork", "size_from"), "guess"),
    ],
)
def test_the_schema_refuses_a_wrong_value(path: tuple[Any, ...], wrong: object) -> None:
    read = document(BATCH)
    inside: Any = read
    for step in path[:-1]:
        inside = inside[step]
    inside[path[-1]] = wrong
    with pytest.raises(jsonschema.ValidationError):
        VALIDATOR.validate(read)


def test_the_picture_of_the_changes() -> None:
    left_out = NotDrawn(rank=2, elements=("L04", "L05"), why="the change is not one of colour or weight")
    suggestion = Suggestion(drawn=((1, ("L03",)),), not_drawn=(left_out,))
    poster = check(replace(REPORT, posters=(replace(POSTER, suggestion=suggestion),)))["posters"][0]
    assert poster["suggestion"] == {
        "drawn": [{"rank": 1, "elements": ["L03"]}],
        "not_drawn": [
            {"rank": 2, "elements": ["L04", "L05"], "why": "the change is not one of colour or weight"},
        ],
    }

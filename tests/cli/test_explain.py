"""`standback explain`: the numbers on the way are the audit's, and so is the last one of each step."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFont

from cli.support import Program, draw
from standback.batch import explain_file, opened
from standback.explain.model import Explanation
from standback.pipeline import audit_artwork
from standback.reports.explanation import render, result_text
from standback.reports.jsonable import plain
from standback.reports.wrapping import columns
from standback.settings import Settings

PPI = 100
LAST = re.compile(r"^ *= (\S+)(?: (?:mm|m))?   ([a-z_.-]+): ", re.MULTILINE)


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An A4 with a title, a thin pale line, hatching and a large dark shape."""
    path = tmp_path_factory.mktemp("explain") / "sheet.png"
    picture = Image.new("RGB", (827, 1169), "#f4ead6")
    pen = ImageDraw.Draw(picture)
    pen.text((414, 130), "Heron walk", fill="#1c2b33", font=ImageFont.load_default(size=110), anchor="mm")
    pen.text((414, 260), "mornings by the river", fill="#a9a08c", font=ImageFont.load_default(size=34), anchor="mm")
    pen.ellipse((120, 600, 520, 1050), fill="#23505e")
    for x in range(600, 780, 9):
        pen.line((x, 420, x, 560), fill="#1c2b33", width=3)
    picture.save(path, dpi=(PPI, PPI))
    return path


@pytest.fixture(scope="module")
def explained(sheet: Path) -> list[tuple[Explanation, dict[str, Any]]]:
    """Every element's explanation, with the element as the audit's JSON has it."""
    from standback.explain.element import explain
    from standback.findings import Report
    from standback.reports.as_json import document

    settings = Settings(far_m=4.0)
    artwork = opened(str(sheet), settings)
    poster = audit_artwork(artwork, settings)
    read = json.loads(json.dumps(document(Report(settings=settings, posters=(poster,), unreadable=()))))
    elements = read["posters"][0]["elements"]
    return [(explain(poster, artwork, settings, element["id"]), element) for element in elements]


def at(element: dict[str, Any], key: str) -> Any:
    """Return what the JSON has at a key such as "reach.public.m"."""
    value: Any = element
    for part in key.split("."):
        if isinstance(value, list):
            value = next(one for one in value if part in (one.get("viewer"), one.get("station"), one.get("vision")))
        else:
            value = value[part]
    return value


def test_each_step_ends_in_the_audits_number(explained: list[tuple[Explanation, dict[str, Any]]]) -> None:
    assert {element["kind"] for _, element in explained} == {"line", "detail", "figure"}
    for explanation, element in explained:
        said = LAST.findall(render(explanation, width=100, colour=False))
        assert [key for _, key in said] == [step.key for step in explanation.steps]
        for (text, key), step in zip(said, explanation.steps, strict=True):
            number = at(element, key)
            assert plain(step.result) == number
            assert text == (str(number) if isinstance(number, str) else "null" if number is None else f"{number:.6g}")


def test_no_number_of_a_line_is_left_out(explained: list[tuple[Explanation, dict[str, Any]]]) -> None:
    explanation, element = next(pair for pair in explained if pair[0].id == "L01")
    keys = {step.key for step in explanation.steps}
    wanted = {"letter_mm", "stroke_mm", "ratio", "ratio_worst", "ratio_wanted", "station", "limit_m", "carry_m"}
    wanted |= {f"reach.{reach['viewer']}.m" for reach in element["reach"]}
    wanted |= {
        f"seen.{name}.{what}" for name in {"far", element["station"]} for what in ("ratio", "block_ratio", "jnd")
    }
    assert keys >= wanted


def test_the_numbers_on_the_way_lead_to_the_last(explained: list[tuple[Explanation, dict[str, Any]]]) -> None:
    """Worked again from what is printed: a reach from its factors, a ratio from its luminances."""
    for explanation, element in explained:
        if element["kind"] != "line":
            continue
        steps = {step.key: step for step in explanation.steps}
        *_, size, light, k, wanted, height = (
            float(re.sub(r"[^\d.]", "", given.value)) for given in steps["reach.public.m"].givens
        )
        assert wanted == pytest.approx(5 * size * light * k, rel=2e-3)
        assert height / (wanted / 60 * 0.0174533) / 1000 == pytest.approx(element["reach_m"], rel=2e-3)
        ink, ground, flare = (float(given.value) for given in steps["ratio"].givens)
        assert (max(ink, ground) + flare) / (min(ink, ground) + flare) == pytest.approx(element["ratio"], rel=2e-3)


def test_findings_that_name_it_come_first(explained: list[tuple[Explanation, dict[str, Any]]]) -> None:
    texts = [render(explanation, width=100, colour=False) for explanation, _ in explained]
    faint = next(text for text in texts if "faint-text" in text)
    assert re.search(r"\AL\d\d: line of text, .*\n.*sheet.png\nFinding 1, fail: .*\(faint-text\)", faint)
    assert any("No finding names it." in text for text in texts)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_terminal(explained: list[tuple[Explanation, dict[str, Any]]], width: int) -> None:
    for explanation, _ in explained:
        lines = render(explanation, width=width, colour=False).replace(explanation.file, "sheet.png").splitlines()
        assert max(map(columns, lines)) <= width
        coloured = render(explanation, width=width, colour=True)
        assert re.sub(r"\x1b\[\d*m", "", coloured) == render(explanation, width=width, colour=False)


def test_on_the_command_line(program: Program, folder: Path) -> None:
    draw(folder / "one.png")
    ended = program("explain", "one.png", "l01", "--from", "6m", "--light", "500", "--age", "60")
    assert (ended.code, ended.err) == (0, "")
    assert ended.out.startswith("L01: line of text, ")
    assert "From far, 6 m" in ended.out
    explanation = explain_file("one.png", Settings(far_m=6.0, illuminance_lx=500, age_years=60), "L01")
    for step in explanation.steps:
        assert f"= {result_text(step)}   {step.key}: " in ended.out
    audited = program("audit", "one.png", "--from", "6m", "--light", "500", "--age", "60", "--json", "-")
    element = json.loads(audited.out)["posters"][0]["elements"][0]
    assert f"= {element['reach_m']:.6g} m   reach.public.m: " in ended.out


def test_a_brief_counts_as_in_the_audit(program: Program, folder: Path) -> None:
    draw(folder / "one.png")
    said = '[viewing]\nfrom = "7 m"\n[[lines]]\nplace = "across the middle"\ntier = "small"\n'
    Path("brief.toml").write_text(said)
    ended = program("explain", "one.png", "L01", "--brief", "brief.toml")
    assert ended.code == 0
    assert "From far, 7 m" in ended.out
    assert "The brief says so." in ended.out
    assert "= near   station: " in ended.out


def test_a_wrong_id_tells_which_there_are(program: Program, folder: Path) -> None:
    draw(folder / "one.png")
    ended = program("explain", "one.png", "L07")
    assert (ended.code, ended.out) == (2, "")
    assert ended.error_lines == [
        "standback: there is no element 'L07' on it; there are L01 (lines of text)",
    ]


def test_an_artwork_that_cannot_be_read(program: Program, folder: Path) -> None:
    ended = program("explain", "missing.png", "L01")
    assert (ended.code, ended.out) == (3, "")
    assert ended.error_lines[0].startswith("standback: missing.png: ")

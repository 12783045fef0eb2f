"""missing-facts: when and where, where the words are known."""

from dataclasses import replace

import pytest

from checks.builders import measured
from standback.checks import check_of
from standback.checks.unjudged import not_judged
from standback.measure.apart import item_of
from standback.measure.arrange import WHEN_WHERE_HOW_MUCH, stated_facts
from standback.measure.model import Measurements
from standback.settings import Limits

LIMITS = Limits()


def sheet(*wordings: str | None, reach_m: float = 20.0) -> Measurements:
    lines = [replace(measured(f"L{n:02d}"), wording=w, reach_m=reach_m) for n, w in enumerate(wordings, start=1)]
    return Measurements(lines=tuple(lines))


@pytest.mark.parametrize(
    ("wordings", "missing"),
    [
        (("Lantern concert", "Saturday 12 September", "7 pm", "Old Customs Hall"), None),
        (("Lantern concert", "Saturday 12 September", "Old Customs Hall"), "no time was made out"),
        (("Lantern concert", "Saturday 12 September"), "no time or place was made out"),
        (("Lantern concert",), "no date, time or place was made out"),
        (("Wash your hands", "Twenty seconds, with soap"), None),  # announces nothing
        (("Lantern concert", None), None),  # what isn't known may say it
    ],
)
def test_missing_facts(wordings: tuple[str | None, ...], missing: str | None) -> None:
    found = check_of("missing-facts").run(sheet(*wordings), LIMITS)
    assert len(found) == (missing is not None)
    assert all(missing is not None and missing in f.says for f in found)


def test_a_fact_that_cannot_be_read_is_missing() -> None:
    (found,) = check_of("missing-facts").run(sheet("Saturday 12 September", reach_m=0.2), LIMITS)
    assert "L01 states the date, but can't be read even from near" in found.says


def test_a_role_in_the_brief_is_a_fact() -> None:
    (line,) = sheet("The twelfth").lines
    lines = Measurements(lines=(replace(line, role="date"),))
    (found,) = check_of("missing-facts").run(lines, LIMITS)
    assert "no time or place" in found.says


def test_when_it_is_not_judged() -> None:
    def why(m: Measurements) -> str | None:
        return next((item.why for item in not_judged(m, LIMITS) if item.check == "missing-facts"), None)

    assert why(sheet(None)) == "the wording is not read (--read does)"
    assert why(sheet("Lantern concert", None)) == "not enough of the lines could be read"
    assert why(sheet("Wash your hands")) == "nothing that was read announces something that people go to"
    assert why(sheet("Lantern concert")) is None


def test_facts_belong_together_where_no_brief_says_what_does() -> None:
    lines = sheet("Lantern concert", "Saturday 12 September", "7 pm", "Lanterns over water", "Free entry").lines
    groups = stated_facts(lines, [item_of(m) for m in lines])
    assert [item.id for item in groups[WHEN_WHERE_HOW_MUCH]] == ["L02", "L03", "L05"]
    undated = sheet("Lantern concert", "Quay Street", "Free entry").lines
    assert stated_facts(undated, [item_of(m) for m in undated]) == {}
    programme = sheet(*("7 pm" for _ in range(9))).lines
    assert stated_facts(programme, [item_of(m) for m in programme]) == {}

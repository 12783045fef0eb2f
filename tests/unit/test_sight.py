"""Notations of acuity, light and age."""

import pytest

from standback.sight import parse_acuity_logmar, parse_age_years, parse_light_lx


@pytest.mark.parametrize(
    ("text", "logmar"),
    [
        # rows of the equivalence tables of visual acuity notations (ISO 8596; ICD-11, 9D90)
        ("6/6", 0.0),
        ("20/20", 0.0),
        ("1.0", 0.0),
        ("6/12", 0.301),
        ("20/40", 0.301),
        ("0.5", 0.301),
        ("logMAR 0.301", 0.301),
        ("6/18", 0.477),
        ("6/60", 1.0),
        ("20/200", 1.0),
        ("0.1", 1.0),
        ("3/60", 1.301),
        ("20/16", -0.097),
        # the same as people type it
        (" 5 / 10 ", 0.301),
        ("0,5", 0.301),
        ("logmar 0.3", 0.3),
        ("0.3 logMAR", 0.3),
        ("LogMAR -0.1", -0.1),
        ("logmar0", 0.0),
    ],
)
def test_acuity_in_every_notation(text: str, logmar: float) -> None:
    assert parse_acuity_logmar(text) == pytest.approx(logmar, abs=5e-4)


@pytest.mark.parametrize(
    "text", ["", "good", "6", "0", "6/0", "0/6", "6/6/6", "-0.5", "logMAR", "logMAR 4", "1/60", "6:12"]
)
def test_what_is_no_acuity_is_told_how_to_write_it(text: str) -> None:
    with pytest.raises(ValueError, match=r"write it as 6/12, 20/40, 0\.5 or logMAR 0\.3"):
        parse_acuity_logmar(text)


@pytest.mark.parametrize(("text", "lux"), [("150", 150.0), ("150lx", 150.0), ("300 lux", 300.0), ("1,5 lx", 1.5)])
def test_light(text: str, lux: float) -> None:
    assert parse_light_lx(text) == lux


@pytest.mark.parametrize("text", ["", "0lx", "-5", "bright", "1e9", "200001", "nan", "150 W"])
def test_what_is_no_light(text: str) -> None:
    with pytest.raises(ValueError, match=r"light in lux"):
        parse_light_lx(text)


@pytest.mark.parametrize(
    ("text", "years"), [("75", 75.0), ("75 years", 75.0), ("7.5e1", None), ("5", None), ("old", None)]
)
def test_age(text: str, years: float | None) -> None:
    if years is None:
        with pytest.raises(ValueError, match=r"age in years"):
            parse_age_years(text)
    else:
        assert parse_age_years(text) == years

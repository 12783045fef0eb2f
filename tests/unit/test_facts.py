"""What lines are for, by their words."""

import pytest

from standback.facts import facts_in


@pytest.mark.parametrize(
    ("wording", "facts"),
    [
        ("Saturday 12 September", ("date",)),
        ("Sat 3", ("date",)),
        ("May 5th", ("date",)),
        ("12.09.2031", ("date",)),
        ("every Friday at 7.30pm", ("date", "time")),
        ("17:00 – 19:00", ("time",)),
        ("10–18 o'clock", ("time",)),
        ("Doors open at 7 pm", ("time", "event")),
        ("Tickets £12.50", ("price", "event")),
        ("Free entry", ("price",)),
        ("Old Customs Hall, 4 Quay Street", ("place",)),
        ("Room 1.269", ("place",)),
        ("Below the old slipway", ("place",)),
        ("lanternfest.example.org", ("web",)),
        ("hello@lantern.example", ("web",)),
        ("020 5550 1234", ("telephone",)),
        ("+44 (20) 5550 1234", ("telephone",)),
        ("Join us", ("call",)),
        ("Summer concert", ("event",)),
        # look like facts, and are none
        ("You may like it", ()),
        ("The sun sat low", ()),
        ("2031", ()),
        ("Ratio 4.5:1", ()),
        ("A free spirit", ()),
        ("10 000 steps", ()),
        ("Lanterns over water", ()),
    ],
)
def test_facts(wording: str, facts: tuple[str, ...]) -> None:
    assert facts_in(wording) == facts

"""The demo: its two drafts compared, and its first draft against the picture of the changes."""

from pathlib import Path

import pytest

from standback.artwork import from_srgb8, load
from standback.changes.suggestion import suggested
from standback.drafts import compared
from standback.drafts.model import Comparison, Fate
from standback.pipeline import audit_artwork
from standback.settings import Settings

DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture(scope="module")
def comparison() -> Comparison:
    drafts = (load(DEMO / f"{name}-draft.png", size=None) for name in ("first", "second"))
    return compared(*(audit_artwork(draft, Settings()) for draft in drafts))


def test_the_redraft_is_better(comparison: Comparison) -> None:
    assert not comparison.worse
    assert comparison.passed
    fates = [comparison.fate_of(finding) for finding in comparison.before.findings]
    assert set(fates) <= {Fate.MENDED, Fate.GONE}
    assert comparison.fate_of(comparison.before.findings[0]) is Fate.MENDED


def test_lines_are_known_again_though_moved_enlarged_and_recoloured(comparison: Comparison) -> None:
    """The line about entry (from top to bottom), the subtitle's two lines and the small print."""
    was = {m.id: m.box_mm for m in comparison.before.elements}
    now = {m.id: m.box_mm for m in comparison.after.elements}
    both = [pair for pair in comparison.pairs if pair.kind == "line" and pair.before and pair.after]
    tops_mm = [(was[pair.before or ""][1], now[pair.after or ""][1]) for pair in both]
    baselines_and_caps = [((26, 5.3), (531, 10.5)), ((271, 10), (299, 11)), ((289, 10), (319, 11))]
    baselines_and_caps += [((554, 5.3), (554, 6.5)), ((566, 5.3), (566, 6.5))]
    for (base_mm, cap_mm), (later_base_mm, later_cap_mm) in baselines_and_caps:
        drawn_mm = pytest.approx((base_mm - cap_mm, later_base_mm - later_cap_mm), abs=1.5)
        assert sum(tops == drawn_mm for tops in tops_mm) == 1


def test_no_line_is_taken_for_one_of_other_words(comparison: Comparison) -> None:
    """The place stood across the bottom in capitals 40 mm high, where now the date stands in 34 mm."""
    place = next(m for m in comparison.before.elements if m.letter_mm == pytest.approx(40, abs=1))
    assert next(pair for pair in comparison.pairs if pair.before == place.id).after is None


def test_faint_lines_are_gone_from_the_picture_of_the_changes(comparison: Comparison) -> None:
    first = load(DEMO / "first-draft.png", size=None)
    picture, suggestion = suggested(first, comparison.before)
    faint = [f for f in comparison.before.findings if f.check == "faint-text"]
    assert faint
    assert {f.rank: f.elements for f in faint}.items() <= dict(suggestion.drawn).items()
    mended = audit_artwork(from_srgb8(picture, size_mm=(first.width_mm, first.height_mm)), Settings())
    assert [f.check for f in mended.findings if f.check in ("faint-text", "faint-detail")] == []
    assert not compared(comparison.before, mended).worse

"""The committed drafts of the demo are what the script draws."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import standback

DEMO = Path(__file__).parents[2] / "demo"
DRAFTS = ("first-draft.png", "second-draft.png")
MM_PER_INCH = 25.4


@pytest.fixture(scope="module")
def redrawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, DEMO / "draw_demo.py", "--out", folder], check=True, timeout=120)
    return folder


@pytest.mark.parametrize("draft", DRAFTS)
def test_is_small(draft: str) -> None:
    assert (DEMO / draft).stat().st_size < 400_000


@pytest.mark.parametrize("draft", DRAFTS)
def test_prints_as_a2(draft: str) -> None:
    with Image.open(DEMO / draft) as image:
        ppi = image.info["dpi"]
        size_mm = [px / along_ppi * MM_PER_INCH for px, along_ppi in zip(image.size, ppi, strict=True)]
    assert size_mm == pytest.approx([420, 594], rel=0.001)


@pytest.mark.parametrize("draft", DRAFTS)
def test_is_what_the_script_draws(draft: str, redrawn: Path) -> None:
    with Image.open(DEMO / draft) as committed, Image.open(redrawn / draft) as again:
        assert again.info["dpi"] == committed.info["dpi"]
        # whole grey levels of slack: FreeType versions differ along the rims of the letters
        difference = np.abs(_rgb(committed) - _rgb(again)).mean()
    assert difference < 1


def test_drafts_differ(redrawn: Path) -> None:
    first, second = (Image.open(redrawn / draft) for draft in DRAFTS)
    with first, second:
        assert np.abs(_rgb(first) - _rgb(second)).mean() > 5


def _rgb(image: Image.Image) -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
    return np.asarray(image.convert("RGB"), dtype=np.float32)


@pytest.mark.parametrize(("draft", "passes"), [(DRAFTS[0], False), (DRAFTS[1], True)])
def test_the_audit_names_what_is_wrong_with_it_and_nothing_else(draft: str, passes: bool) -> None:
    report = standback.audit(DEMO / draft)
    assert report.passed == passes
    assert sum(line.letter_mm > 40 for line in report.elements) >= 3, "the title's lines were not found"
    named = {finding.check: finding.severity.word for finding in report.findings}
    if passes:
        assert not named
    else:
        # the faint subtitle and date; the title's rhythm, and the bowl in it; specks, ripples and hairs; free entry
        assert named.items() >= {
            "faint-text": "fail", "uneven-pair": "warn", "misread": "note", "detail-lost": "warn",
            "faint-detail": "note", "read-late": "note",
        }.items()  # fmt: skip
        assert sum(finding.check == "faint-text" for finding in report.findings) == 2
        kinds = {patch.id: patch.detail.kind for patch in report.details}
        pale = {kinds[n] for f in report.findings if f.check == "faint-detail" for n in f.elements if n in kinds}
        assert "dots" in pale
        (late,) = (finding for finding in report.findings if finding.check == "read-late")
        assert late.change is not None
        assert late.change.endswith("then it reads from 2 m.")

"""The committed drafts of the demo are what the script draws."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

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

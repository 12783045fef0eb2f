"""The audit for programs in Python: the same report that the command line writes, and nothing printed."""

from dataclasses import replace
from math import isfinite
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from standback.artwork import from_srgb8, load
from standback.brief.apply import with_brief
from standback.brief.load import load_brief
from standback.findings import PosterReport
from standback.pipeline import audit_artwork
from standback.settings import Settings
from standback.sheet import SheetSize


def audit(
    artwork: str | Path | npt.NDArray[np.uint8],
    *,
    size_mm: tuple[float, float] | None = None,
    far_m: float | None = None,
    bleed_mm: float | None = None,
    brief: str | Path | None = None,
    page: int | None = None,
    settings: Settings | None = None,
) -> PosterReport:
    """Audit one poster.

    Parameters
    ----------
    artwork
        An exported file, or its pixels: (H, W, 3) uint8 sRGB codes, bleed included.
    size_mm
        (width, height) of the trimmed sheet. Left out, the brief or the file's own resolution gives it;
        pixels alone have none, so it has to be said.
    far_m
        How far away the viewer first meets the poster. Left out: 5 m, or seven sheet diagonals where that is
        nearer.
    bleed_mm
        Bleed beyond that size, on each side; left out, the brief's, or none.
    brief
        A TOML file that says what the poster must do; what is given here outranks it.
    page
        1-based page of a file with several; left out, the first.
    settings
        Whatever else decides a verdict; the arguments above stand in for its own fields.

    Returns
    -------
    The report: `verdict`, `findings` in the order of their rank, `elements`, `carries`, ...
    `standback.reports.as_json` turns it into JSON.

    Raises
    ------
    standback.errors.UnreadableError
        If the file can't be read, or no credible size is known.
    standback.errors.UsageError
        If the brief is wrong.
    ValueError
        If a length is not above 0, or pixels come without a size or in another shape.

    Examples
    --------
    >>> import numpy as np
    >>> import standback
    >>> bare = np.full((594, 420, 3), 255, dtype=np.uint8)
    >>> report = standback.audit(bare, size_mm=(420, 594), far_m=5.0)
    >>> report.verdict, [finding.check for finding in report.findings]
    ('fail', ['nothing-found', 'coarse-artwork'])
    """
    for name, lengths in (("size_mm", size_mm or ()), ("far_m", () if far_m is None else (far_m,))):
        if not all(isfinite(length) and length > 0 for length in lengths):
            raise ValueError(f"{name} must be above 0")
    given: dict[str, Any] = {"size": _sheet(size_mm), "far_m": far_m, "bleed_mm": bleed_mm, "page": page}
    said = {name: value for name, value in given.items() if value is not None}
    run = replace(settings or Settings(), **said)
    if brief is not None:
        run = with_brief(run, load_brief(str(brief)), given=tuple(said))
    if isinstance(artwork, np.ndarray):
        if run.size is None:
            raise ValueError("pixels alone have no printed size: give size_mm")
        sheet = run.size
        return audit_artwork(from_srgb8(artwork, size_mm=(sheet.width_mm, sheet.height_mm), bleed_mm=run.bleed_mm), run)
    return audit_artwork(
        load(
            artwork,
            size=run.size,
            bleed_mm=run.bleed_mm,
            page=run.page,
            max_megapixels=run.max_megapixels,
            from_brief=run.from_brief,
        ),
        run,
    )


def _sheet(size_mm: tuple[float, float] | None) -> SheetSize | None:
    if size_mm is None:
        return None
    width_mm, height_mm = size_mm
    return SheetSize(width_mm=width_mm, height_mm=height_mm, name=f"{width_mm:g}x{height_mm:g}mm")

"""Files and folders -> the audit of each artwork, in input order, several at a time.

Each poster is audited in a process that audits one at a time, so that one which dies costs its own poster
and no other, and never more posters are in memory than there are such processes.
"""

import os
import traceback
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from standback.artwork import Artwork
from standback.documents import SUGGESTION, drawn
from standback.errors import UnreadableError, UsageError
from standback.explain.model import Explanation
from standback.findings import PosterReport, Unreadable
from standback.outputs import is_our_picture, stamped_page
from standback.settings import Settings
from standback.threads import loading
from standback.workers import DiedError, GoneError, LostError, Pool, TooLongError, in_order

if TYPE_CHECKING:  # it loads slowly, and a batch needs none of it
    from standback.drafts.model import Comparison

ARTWORK_SUFFIXES = frozenset({".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".psd", ".pdf"})

_PIPELINE = "standback.pipeline"
_NO_ARTWORK = "there was no artwork in it; PDF, PNG, JPEG, TIFF, WebP and flattened PSD files are taken"
_CLOSED_FOLDER = "this folder could not be opened; check who may read it"
_OUT_OF_MEMORY = "there was not enough memory for it; audit it alone, or export it at a lower resolution"
_WORKER_DIED = "its audit was ended from outside, perhaps for want of memory; audit it alone"
_GONE = "the cluster was gone before it was audited; run it again once the scheduler and its workers are back"
_TOO_LONG = "its audit took longer than the {:g} s allowed and was ended; allow more with --timeout"
_OUR_FAULT = "standback failed on it, through a fault of its own; run it again with --debug to see where"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """How to audit each artwork of a run.

    Attributes
    ----------
    documents
        What to draw of each while its pixels are at hand, by the names of `documents.DRAWERS`.
    timeout_s
        An audit that takes longer is ended; None to wait as long as it takes.
    suggestion
        Draw the picture of the changes as well: `documents.SUGGESTION`.
    masks
        Keep the ink masks in the report: for two drafts that are compared, but not for a long batch.
    """

    settings: Settings
    documents: tuple[str, ...] = ()
    timeout_s: float | None = None
    suggestion: bool = False
    masks: bool = False
    quiet_warnings: bool = True


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Audited:
    """The audit of one artwork, and the documents that were asked for of it, by their names in `documents`."""

    poster: PosterReport
    documents: Mapping[str, bytes] = field(default_factory=dict)


Outcome = Audited | Unreadable


def listed(given: Sequence[str], *, deep: bool) -> tuple[str | Unreadable, ...]:
    """Return the artwork files that files and folders stand for, in the order given.

    A file is taken as it is, whether it is there or not. A folder stands for its own artwork files,
    sorted by name; with `deep` also for those of the folders below it, each after its parent's files.
    Hidden files, pictures made by us and links to other folders are passed over. A file that comes up
    twice counts where it comes first.

    Returns
    -------
    Paths as given (a folder's files behind the folder's own path); `Unreadable` for a folder that
    can't be listed or holds no artwork.
    """
    found: dict[str, str | Unreadable] = {}
    for path in given:
        items = _in_folder(path, deep=deep) if Path(path).is_dir() else [path]
        for item in items:
            place = os.path.normpath(Path.cwd() / (item if isinstance(item, str) else item.file))
            found.setdefault(place, item)
    return tuple(found.values())


def _in_folder(folder: str, *, deep: bool) -> list[str | Unreadable]:
    problems: list[str | Unreadable] = []

    def cannot_list(error: OSError) -> None:
        problems.append(Unreadable(file=str(error.filename or folder), why=_CLOSED_FOLDER))

    files: list[str | Unreadable] = []
    # os.walk passes links to folders over, so no loop of links can trap it
    for at, below, names in os.walk(folder, onerror=cannot_list):
        below[:] = sorted(name for name in below if not name.startswith(".")) if deep else []
        artworks = [Path(at, name) for name in sorted(names) if _is_artwork_name(name)]
        files += [str(path) for path in artworks if not is_our_picture(path)]
    return files + problems or [Unreadable(file=folder, why=_NO_ARTWORK)]


def _is_artwork_name(name: str) -> bool:
    return not name.startswith(".") and Path(name).suffix.lower() in ARTWORK_SUFFIXES


def audit_all(items: Sequence[str | Unreadable], task: Task, pool: Pool) -> Iterator[Outcome]:
    """Audit artworks and yield one outcome for each item, in order, as soon as its turn has come.

    Parameters
    ----------
    pool
        Where the audits are made. A single artwork is audited in this process where the pool's are of this
        machine, unless its time is limited.

    Raises
    ------
    UsageError
        If the pool can't be reached.
    """
    files = [item for item in items if isinstance(item, str)]
    outcomes: Iterator[Outcome]
    if not files or (len(files) == 1 and task.timeout_s is None and pool.is_here):
        outcomes = (audit_file(file, task) for file in files)
    else:
        outcomes = _audited_elsewhere(files, task, pool)
    for item in items:
        yield next(outcomes) if isinstance(item, str) else item


def _audited_elsewhere(files: Sequence[str], task: Task, pool: Pool) -> Iterator[Outcome]:
    with pool:
        results = in_order(pool, partial(_quiet_audit, task=task), files, timeout_s=task.timeout_s)
        for file, result in zip(files, results, strict=True):
            yield _lost(file, result, task) if isinstance(result, LostError) else result


def _quiet_audit(file: str, task: Task) -> Outcome:
    with warnings.catch_warnings():
        if task.quiet_warnings:
            warnings.simplefilter("ignore")
        return audit_file(file, task)


def _lost(file: str, lost: LostError, task: Task) -> Unreadable:
    match lost:
        case TooLongError():
            return Unreadable(file=file, why=_TOO_LONG.format(task.timeout_s))
        case DiedError():
            return Unreadable(file=file, why=_WORKER_DIED)
        case GoneError():
            return Unreadable(file=file, why=_GONE)
        case _:
            return Unreadable(file=file, why=_OUR_FAULT, trace=str(lost))


def opened(file: str, settings: Settings) -> Artwork:
    """Read one artwork as the settings say.

    Raises
    ------
    UnreadableError
        With one plain sentence that does not name the file.
    """
    from standback.artwork import load

    try:
        return load(
            file,
            size=settings.size,
            bleed_mm=settings.bleed_mm,
            page=settings.page,
            max_megapixels=settings.max_megapixels,
            from_brief=settings.from_brief,
        )
    except MemoryError:
        raise UnreadableError(_OUT_OF_MEMORY) from None


def audit_file(file: str, task: Task) -> Outcome:
    """Audit one artwork file; whatever goes wrong comes back as `Unreadable`, our own faults with a trace."""
    try:
        with loading(_PIPELINE):
            artwork = opened(file, task.settings)
        from standback.pipeline import audit_artwork

        poster = audit_artwork(artwork, task.settings)
        documents = {name: drawn(name, artwork, poster, task.settings) for name in task.documents}
        if task.suggestion:
            poster, documents[SUGGESTION] = _suggested(artwork, poster)
    except (UnreadableError, UsageError) as error:  # UsageError: a worker elsewhere lacks an extra
        return Unreadable(file=file, why=str(error))
    except MemoryError:
        return Unreadable(file=file, why=_OUT_OF_MEMORY)
    except Exception:
        return Unreadable(file=file, why=_OUR_FAULT, trace=traceback.format_exc())
    return Audited(poster=poster if task.masks else _numbers_only(poster), documents=documents)


def _suggested(artwork: Artwork, poster: PosterReport) -> tuple[PosterReport, bytes]:
    """Draw the picture of the changes; the report says what it shows."""
    from standback.changes.suggestion import suggested
    from standback.reports.suggestion import suggestion_png

    picture, suggestion = suggested(artwork, poster)
    return replace(poster, suggestion=suggestion), suggestion_png(picture, artwork)


def explain_file(file: str, settings: Settings, element_id: str) -> Explanation:
    """Audit one artwork file, and tell how one element's numbers came about.

    Raises
    ------
    UnreadableError
        With one plain sentence that does not name the file.
    UsageError
        If there is no such element; the message tells which there are.
    """
    with loading(_PIPELINE):
        artwork = opened(file, settings)
    from standback.explain.element import explain
    from standback.pipeline import audit_artwork

    try:
        return explain(audit_artwork(artwork, settings), artwork, settings, element_id)
    except MemoryError:
        raise UnreadableError(_OUT_OF_MEMORY) from None


def comparison_page(comparison: "Comparison", settings: Settings) -> bytes:
    """Draw the page of two compared drafts: each is read once more, so that only one is in memory."""
    from standback.reports.page.drafts import draft_pictures, draw_drafts, shown_elements

    reports = (comparison.before, comparison.after)
    before, after = (
        draft_pictures(opened(report.file, settings), report, elements, settings)
        for report, elements in zip(reports, shown_elements(comparison), strict=True)
    )
    return stamped_page(draw_drafts(comparison, before, after)).encode("utf-8")


def _numbers_only(poster: PosterReport) -> PosterReport:
    """Return the report without the ink masks: reports need none, and a long batch would hoard them."""
    nothing = np.zeros((0, 0), dtype=np.bool_)
    return replace(
        poster,
        elements=tuple(
            replace(element, line=replace(element.line, mask=nothing, core=nothing)) for element in poster.elements
        ),
    )

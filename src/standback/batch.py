"""Files and folders -> the audit of each artwork, in input order, several at a time.

Each worker is a process of its own that audits one poster at a time, so that one which dies costs its
own poster and no other, and never more posters are in memory than there are workers.
"""

import os
import signal
import sys
import threading
import traceback
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from multiprocessing import get_context, resource_tracker
from multiprocessing.connection import Connection, wait
from pathlib import Path
from time import monotonic

import numpy as np

from standback.artwork import Artwork
from standback.documents import SUGGESTION, drawn
from standback.drafts.model import Comparison
from standback.errors import UnreadableError
from standback.explain.model import Explanation
from standback.findings import PosterReport, Unreadable
from standback.outputs import is_our_picture, stamped_page
from standback.settings import Settings

ARTWORK_SUFFIXES = frozenset({".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".psd", ".pdf"})

_NO_ARTWORK = "there was no artwork in it; PDF, PNG, JPEG, TIFF, WebP and flattened PSD files are taken"
_CLOSED_FOLDER = "this folder could not be opened; check who may read it"
_OUT_OF_MEMORY = "there was not enough memory for it; audit it alone, or export it at a lower resolution"
_WORKER_DIED = "its audit was ended from outside, perhaps for want of memory; audit it alone"
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


def audit_all(items: Sequence[str | Unreadable], task: Task, *, workers: int | None = None) -> Iterator[Outcome]:
    """Audit artworks and yield one outcome for each item, in order, as soon as its turn has come.

    Parameters
    ----------
    workers
        Most posters audited at once; None: as many as there are processor cores. A single artwork is
        audited in this process, unless its time is limited.
    """
    files = [item for item in items if isinstance(item, str)]
    alone = len(files) <= 1 and task.timeout_s is None
    outcomes = _one_by_one(files, task) if alone else _side_by_side(files, task, workers or cores())
    for item in items:
        yield next(outcomes) if isinstance(item, str) else item


def cores() -> int:
    """Processor cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


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
    from standback.pipeline import audit_artwork

    try:
        artwork = opened(file, task.settings)
        poster = audit_artwork(artwork, task.settings)
        documents = {name: drawn(name, artwork, poster, task.settings) for name in task.documents}
        if task.suggestion:
            poster, documents[SUGGESTION] = _suggested(artwork, poster)
    except UnreadableError as error:
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
    from standback.explain.element import explain
    from standback.pipeline import audit_artwork

    artwork = opened(file, settings)
    try:
        return explain(audit_artwork(artwork, settings), artwork, settings, element_id)
    except MemoryError:
        raise UnreadableError(_OUT_OF_MEMORY) from None


def comparison_page(comparison: Comparison, settings: Settings) -> bytes:
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


def _one_by_one(files: Sequence[str], task: Task) -> Iterator[Outcome]:
    for file in files:
        yield audit_file(file, task)


def _side_by_side(files: Sequence[str], task: Task, workers: int) -> Iterator[Outcome]:
    waiting = iter(enumerate(files))
    lanes: list[_Lane] = []
    done: dict[int, Outcome] = {}
    try:
        for _ in range(min(workers, len(files))):
            lanes.append(_Lane(task))
            lanes[-1].take(next(waiting, None))
        for turn in range(len(files)):
            while turn not in done:
                busy = [lane for lane in lanes if lane.file is not None]
                ready = wait([lane.connection for lane in busy], _least(lane.left_s() for lane in busy))
                for lane in busy:
                    if lane.connection in ready or lane.left_s() == 0:
                        index, outcome = lane.give() if lane.connection in ready else lane.give_up()
                        done[index] = outcome
                        lane.take(next(waiting, None))
            yield done.pop(turn)
    finally:
        for lane in lanes:
            lane.stop()


def _least(times_s: Iterable[float | None]) -> float | None:
    return min((time_s for time_s in times_s if time_s is not None), default=None)


class _Lane:
    """One worker process and the poster it is busy with."""

    def __init__(self, task: Task) -> None:
        self._task = task
        self.index = -1
        self.file: str | None = None
        self._began_s = 0.0
        self._start()

    def _start(self) -> None:
        context = get_context("spawn")
        self.connection, theirs = context.Pipe()
        self._process = context.Process(target=_work, args=(theirs, self._task), daemon=True)
        with _ctrl_c_later():
            self._process.start()
        theirs.close()  # else the end of the worker would not be told

    def take(self, numbered_file: tuple[int, str] | None) -> None:
        """Start the audit of a file, if there is one left."""
        if numbered_file is not None:
            self.index, self.file = numbered_file
            self._began_s = monotonic()
            with suppress(OSError):  # a worker that died at its start is noticed by give()
                self.connection.send(self.file)
        else:
            self.file = None

    def give(self) -> tuple[int, Outcome]:
        """Return the outcome that has come; after the worker's end, that one, with a new worker begun."""
        index, file = self.index, self.file
        try:
            return index, self.connection.recv()
        except (EOFError, OSError):
            self.stop()
            self._start()
            return index, Unreadable(file=str(file), why=_WORKER_DIED)

    def left_s(self) -> float | None:
        """Return how long this audit may still take: 0 once its time is over, None where there is no limit."""
        if self._task.timeout_s is None:
            return None
        return max(0.0, self._began_s + self._task.timeout_s - monotonic())

    def give_up(self) -> tuple[int, Outcome]:
        """End an audit that takes too long, and begin a new worker."""
        self.stop()
        self._start()
        return self.index, Unreadable(file=str(self.file), why=_TOO_LONG.format(self._task.timeout_s))

    def stop(self) -> None:
        """End the worker, whatever it is busy with."""
        self.connection.close()
        self._process.terminate()
        self._process.join()


@contextmanager
def _ctrl_c_later() -> Iterator[None]:
    """Let processes that start in here never hear Ctrl-C, and this one only once they have started.

    The run that starts them hears it and ends them; they would end in tracebacks. A blocked signal stays
    blocked in the new process; here it may still come by way of another thread, hence the handler.
    """
    if sys.platform == "win32" or threading.current_thread() is not threading.main_thread():
        yield
        return
    resource_tracker.ensure_running()  # else it starts in here too, and lets signals through again
    heard: list[int] = []
    handler = signal.signal(signal.SIGINT, lambda number, _: heard.append(number))
    blocked = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, blocked)
        signal.signal(signal.SIGINT, handler or signal.SIG_DFL)
    if heard:
        signal.raise_signal(signal.SIGINT)


def _work(connection: Connection, task: Task) -> None:
    """Audit the files that come, until no more do: the whole life of a worker."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # where it couldn't be kept from hearing Ctrl-C
    if task.quiet_warnings:
        warnings.simplefilter("ignore")
    while True:
        try:
            file = connection.recv()
        except EOFError:
            return
        connection.send(audit_file(file, task))

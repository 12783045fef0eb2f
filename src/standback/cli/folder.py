"""`standback audit --out`: a folder of drafts audited into a folder of documents."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any

from standback import console, documents, keeping
from standback.batch import Audited, Task, audit_all
from standback.cli.telling import name_of, tell
from standback.errors import ExitCode
from standback.findings import PosterReport, Report, Unreadable
from standback.keeping import Keeping
from standback.outputs import Output, stamped_page
from standback.reports import as_json, ledger, terminal
from standback.reports.jsonable import text_of
from standback.reports.page.wall import draw_wall
from standback.reports.roll import render_roll
from standback.reports.rows import Row, row_of, unreadable_row
from standback.workers import Pool

KEPT_DOCUMENTS = (documents.PAGE, documents.PROOF, documents.THUMBNAIL)

_FILE_OF = {documents.PAGE: keeping.PAGE, documents.PROOF: keeping.PROOF, documents.THUMBNAIL: keeping.THUMBNAIL}
_LINKS = (("Page", keeping.PAGE), ("Proof", keeping.PROOF), ("JSON", keeping.REPORT))


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Where the documents of a run are to go, and what is taken from an earlier one."""

    given: str
    resume: bool
    force: bool
    json_out: Output | None
    json_printed: bool


@dataclass(slots=True, kw_only=True)
class _Done:
    """What a run has come to so far."""

    rows: list[Row] = field(default_factory=list)
    posters: list[dict[str, Any]] = field(default_factory=list)
    unreadable: list[Unreadable] = field(default_factory=list)
    audited: list[PosterReport] = field(default_factory=list)
    taken: int = 0

    @property
    def exit_code(self) -> ExitCode:
        """The exit code that the run earns, kept posters counted in."""
        if any(one.trace is not None for one in self.unreadable):
            return ExitCode.BUG
        if self.unreadable or not self.posters:
            return ExitCode.UNREADABLE
        failed = any(poster["verdict"] == "fail" for poster in self.posters)
        return ExitCode.FINDINGS if failed else ExitCode.GOOD


def audit_into_folder(
    items: Sequence[str | Unreadable], task: Task, kept: Kept, *, pool: Pool, quiet: bool, debug: bool
) -> int:
    """Audit every item, keep its documents, tell, and return the exit code; Ctrl-C keeps what is done.

    Raises
    ------
    UsageError
        If the folder or a file in it can't be written.
    """
    files = [item for item in items if isinstance(item, str)]
    folder = Keeping.at(kept.given, files, force=kept.force)
    saved_ns = {file: keeping.saved_ns(file) for file in files}
    done, stopped = _Done(), False
    with console.Progress(len(items), quiet=quiet) as progress:
        progress.show(0, name_of(items[0]))
        try:
            for number, item in enumerate(_outcomes(items, task, folder, resume=kept.resume, pool=pool), start=1):
                progress.clear()
                _keep(item, task, folder, done, saved_ns, debug=debug)
                if number < len(items):
                    progress.show(number, name_of(items[number]))
        except KeyboardInterrupt:
            stopped = True
    _summarise(folder, done)
    _report(folder, done, task, kept, quiet=quiet)
    if stopped:
        console.error(f"stopped after {len(done.rows)} of {len(items)}; what is done is kept in {kept.given}")
        return ExitCode.STOPPED
    return done.exit_code


def _outcomes(
    items: Sequence[str | Unreadable], task: Task, folder: Keeping, *, resume: bool, pool: Pool
) -> Iterator[Audited | Unreadable | dict[str, Any]]:
    """Yield one outcome an item: the document kept of it where it still holds, else the audit's."""
    block = as_json.settings_block(task.settings) if resume else {}
    still = {item: folder.read(item, block) if resume and isinstance(item, str) else None for item in items}
    fresh = audit_all([item for item in items if still[item] is None], task, pool)
    for item in items:
        document = still[item]
        yield next(fresh) if document is None else document


def _keep(
    outcome: Audited | Unreadable | dict[str, Any],
    task: Task,
    folder: Keeping,
    done: _Done,
    saved_ns: Mapping[str, int | None],
    *,
    debug: bool,
) -> None:
    if isinstance(outcome, Unreadable):
        done.unreadable.append(outcome)
        done.rows.append(unreadable_row(outcome.file, outcome.why))
        tell(outcome, debug=debug)
        return
    if isinstance(outcome, Audited):
        poster = outcome.poster
        if keeping.saved_ns(poster.file) == saved_ns[poster.file]:  # else it counts as changed: it has no sum
            with suppress(OSError):
                poster = replace(poster, artwork=replace(poster.artwork, sha256=keeping.sum_of(poster.file)))
        document = as_json.document(Report(settings=task.settings, posters=(poster,), unreadable=()))
        drawn = {_FILE_OF[name]: data for name, data in outcome.documents.items()}
        folder.write(poster.file, {**drawn, keeping.REPORT: text_of(document).encode("utf-8")})
        done.audited.append(poster)
    else:
        document = outcome
        done.taken += 1
    (poster_json,) = document["posters"]
    done.posters.append(poster_json)
    done.rows.append(row_of(poster_json, folder.folder_of[poster_json["file"]]))


def _summarise(folder: Keeping, done: _Done) -> None:
    if done.rows:
        folder.write_summary(keeping.WALL, stamped_page(draw_wall(done.rows, folder.thumbnail, _LINKS)))
        folder.write_summary(keeping.TABLE, ledger.as_csv(done.rows))
        folder.write_summary(keeping.LOG, stamped_page(ledger.as_junit(done.rows)))


def _report(folder: Keeping, done: _Done, task: Task, kept: Kept, *, quiet: bool) -> None:
    report = Report(settings=task.settings, posters=tuple(done.audited), unreadable=tuple(done.unreadable))
    if kept.json_out is not None or kept.json_printed:
        whole = {**as_json.document(report), "posters": done.posters, "exit_code": int(done.exit_code)}
        if kept.json_out is not None:
            kept.json_out.write(text_of(whole).encode("utf-8"))
        if kept.json_printed:
            console.out_utf8(text_of(whole))
            return
    if not quiet and done.rows:
        width, colour = console.width(), console.colour()
        if len(done.rows) == 1 and not done.taken:
            console.out(terminal.render(report, width=width, colour=colour))
        wall = str(folder.root / keeping.WALL)
        console.out(render_roll(done.rows, kept=wall, taken=done.taken, width=width, colour=colour))

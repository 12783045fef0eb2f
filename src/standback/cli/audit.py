"""`standback audit`: posters in, findings out."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from standback import console
from standback.cli.briefing import settings_of
from standback.cli.options import (
    COUNT,
    FILE,
    SECONDS,
    STDOUT,
    GroupedCommand,
    Run,
    artwork_options,
    far_option,
    for_all,
    option,
    read_option,
    sight_options,
)
from standback.cli.telling import name_of, tell
from standback.errors import UsageError

if TYPE_CHECKING:  # numpy and what stands on it are loaded only once there is something to audit
    from standback.batch import Audited, Task
    from standback.findings import PosterReport, Report, Unreadable
    from standback.outputs import Output
    from standback.workers import Pool

_MEND, _MENDED = "--mend", "mended"
_VERDICT, _WRITTEN, _FILES = "The verdict", "What is written", "Files and folders"
_HELP = """Audit posters as a viewer meets them: first from across the room, then nearer.

Takes PDF, PNG, JPEG, TIFF, WebP and flattened PSD files, and folders of them.

\b
standback audit poster.png --size A2
standback audit poster.tif --from 8m --proof proof.png
standback audit drafts --size 18x24in --gate warn --json report.json
standback audit poster.png --brief brief.toml

\b
Exit codes:
  0   nothing at or above the gate
  1   something was
  2   the command line or the brief is wrong, or a file can't be written
  3   an artwork could not be read or judged, or there was none
  70  a fault of standback's own
"""


@click.command(cls=GroupedCommand, help=_HELP, short_help="Audit posters: what falls short, and what would mend it.")
@click.argument("artworks", nargs=-1, type=FILE, metavar="ARTWORK...")
@artwork_options
@far_option
@sight_options
@option(
    "--brief",
    "brief_path",
    heading=_VERDICT,
    metavar="FILE",
    help="What the poster must do: a TOML file, such as 'standback brief' writes to begin with. Options "
    "given here outrank it.",
)
@option(
    "--gate",
    heading=_VERDICT,
    type=click.Choice(["fail", "warn", "off"]),
    default="fail",
    help="The mildest finding that makes the exit code 1: fail, warn, or off for none. Left out: fail.",
)
@read_option
@option(
    "--json",
    "json_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Write every number to this file as JSON; - prints it in place of the report.",
)
@option(
    "--proof",
    "proof_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Draw the findings as numbered marks on the artwork, with a legend beside it, to this PNG file. "
    "For one artwork only.",
)
@option(
    "--html",
    "html_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Write the review page to this HTML file: the poster to walk back from, and each finding seen and "
    "followed up. It opens in any browser and loads nothing. For one artwork only.",
)
@option(
    "--mend",
    "mend_path",
    heading=_WRITTEN,
    metavar="PATH",
    help="Draw a copy of the artwork with the colours and weights that the changes propose, to look at and to audit "
    "again. The name says what it is: it holds 'mended' and ends in .png. For one artwork only.",
)
@option(
    "--out",
    "out_path",
    heading=_WRITTEN,
    metavar="DIR",
    help="Keep page, JSON and proof of each poster in this folder, with a wall of all of them (index.html), a table "
    "(posters.csv) and a test log (junit.xml). The folder is made if it isn't there.",
)
@option(
    "--resume",
    heading=_WRITTEN,
    is_flag=True,
    help="With --out: take what is kept there of files that have not changed since, under the same settings.",
)
@option("--force", heading=_WRITTEN, is_flag=True, help="Replace files that standback did not make.")
@option("--quiet", heading=_WRITTEN, is_flag=True, help="Print no report; errors are still told.")
@option("--deep", heading=_FILES, is_flag=True, help="Take the folders below a folder too.")
@option(
    "--jobs",
    heading=_FILES,
    type=COUNT,
    help="How many posters to audit at once. Left out: as many as there are processor cores.",
)
@option(
    "--timeout",
    "timeout_s",
    heading=_FILES,
    type=SECONDS,
    metavar="S",
    help="End the audit of a poster that takes longer than so many seconds; it then counts as unreadable. Left "
    "out: no limit.",
)
@option(
    "--cluster",
    heading=_FILES,
    metavar="ADDRESS",
    help="Audit on the workers of this dask scheduler, such as tcp://192.0.2.1:8786, in place of this machine. They "
    "must see the artworks under the same paths. Needs dask: pip install 'standback[cluster]'.",
)
@for_all
@click.pass_context
def audit(
    ctx: click.Context,
    /,
    artworks: tuple[str, ...],
    brief_path: str | None,
    json_path: str | None,
    proof_path: str | None,
    html_path: str | None,
    mend_path: str | None,
    out_path: str | None,
    resume: bool,
    force: bool,
    quiet: bool,
    deep: bool,
    jobs: int | None,
    timeout_s: float | None,
    cluster: str | None,
    **_settings: object,
) -> int:
    """Audit artworks, write the files asked for, print the report and return the exit code."""
    if not artworks:
        raise UsageError("give at least one artwork, such as poster.png; see 'standback audit --help'")
    from standback import batch, documents, outputs

    settings = settings_of(ctx, brief_path)
    items = batch.listed(artworks, deep=deep)
    files = [item for item in items if isinstance(item, str)]
    debug = ctx.ensure_object(Run).debug
    pool = _pool(jobs, cluster, files)
    json_out = _output("--json", None if json_path == STDOUT else json_path, force=force)
    if out_path is not None:
        from standback.cli.folder import KEPT_DOCUMENTS, Kept, audit_into_folder  # brings all that draws pages

        if proof_path is not None or html_path is not None:
            raise UsageError("--out keeps the proof and the page of every poster; leave --proof and --html out")
        if mend_path is not None:
            raise UsageError("--mend is for one artwork, and --out for many; leave one of them out")
        outputs.check_outputs([json_out] if json_out else [], files, brief=brief_path)
        kept = Kept(given=out_path, resume=resume, force=force, json_out=json_out, json_printed=json_path == STDOUT)
        task = batch.Task(settings=settings, documents=KEPT_DOCUMENTS, timeout_s=timeout_s, quiet_warnings=not debug)
        return audit_into_folder(items, task, kept, pool=pool, quiet=quiet, debug=debug)
    if resume:
        raise UsageError("--resume goes with --out, which names the folder to go on from")
    drawn = [
        (name, output)
        for name, output in (
            (documents.PROOF, _output("--proof", proof_path, force=force)),
            (documents.PAGE, _output("--html", html_path, force=force)),
            (documents.SUGGESTION, _suggestion_output(mend_path, force=force)),
        )
        if output is not None
    ]
    for _, output in drawn:
        if len(files) > 1:
            many = "audit them one by one" if output.option == _MEND else "use --out for many"
            raise UsageError(f"{output.option} is for one artwork, these are {len(files)}; {many}")
    asked = [*([json_out] if json_out else []), *(output for _, output in drawn)]
    outputs.check_outputs(asked, files, brief=brief_path)

    task = batch.Task(
        settings=settings,
        documents=tuple(name for name, _ in drawn if name in documents.DRAWERS),
        suggestion=mend_path is not None,
        timeout_s=timeout_s,
        quiet_warnings=not debug,
    )
    report, last = _audited(items, task, pool, quiet=quiet, debug=debug)
    json_text = ""
    if json_path is not None:
        from standback.reports import as_json

        json_text = as_json.dumps(report)
    written: list[tuple[Output | None, bytes | None]] = [(json_out, json_text.encode("utf-8"))]
    written += [(output, last.documents[name]) for name, output in drawn if last is not None]
    refused = _write(written)
    if json_path == STDOUT:
        console.out_utf8(json_text)
    elif not quiet:
        from standback.reports import terminal

        console.out(terminal.render(report, width=console.width(), colour=console.colour()))
    if refused is not None:
        raise refused
    return report.exit_code


def _audited(
    items: "tuple[str | Unreadable, ...]", task: "Task", pool: "Pool", *, quiet: bool, debug: bool
) -> "tuple[Report, Audited | None]":
    """Audit every item, telling at once what could not be read; return the report, and the last audit."""
    from standback.batch import audit_all
    from standback.findings import Report, Unreadable

    posters: list[PosterReport] = []
    unreadable: list[Unreadable] = []
    last: Audited | None = None
    with console.Progress(len(items), quiet=quiet) as progress:
        progress.show(0, name_of(items[0]))
        for done, outcome in enumerate(audit_all(items, task, pool), start=1):
            progress.clear()
            if isinstance(outcome, Unreadable):
                unreadable.append(outcome)
                tell(outcome, debug=debug)
            else:
                posters.append(outcome.poster)
                last = outcome
            if done < len(items):
                progress.show(done, name_of(items[done]))
    return Report(settings=task.settings, posters=tuple(posters), unreadable=tuple(unreadable)), last


def _pool(jobs: int | None, cluster: str | None, files: "Sequence[str]") -> "Pool":
    """Return where the audits are made."""
    if cluster is None:
        from standback.workers.local import LocalPool, cores

        return LocalPool(jobs or cores())
    from standback.workers.cluster import ClusterPool

    if jobs is not None:
        raise UsageError("--jobs is for the processes of this machine, and --cluster for others; leave one of them out")
    return ClusterPool(cluster, seen=next((file for file in files if Path(file).exists()), None))


def _write(written: "Sequence[tuple[Output | None, bytes | None]]") -> UsageError | None:
    """Write every file that can be written; return what was wrong with the first that can't."""
    refused: UsageError | None = None
    for output, data in written:
        if output is not None and data is not None:
            try:
                output.write(data)
            except UsageError as error:
                refused = refused or error
    return refused


def _output(name: str, path: str | None, *, force: bool) -> "Output | None":
    from standback.outputs import Output

    return None if path is None else Output(option=name, given=path, force=force)


def _suggestion_output(path: str | None, *, force: bool) -> "Output | None":
    """Return where the picture of the changes goes; its name must tell that it is no artwork."""
    if path is None:
        return None
    name = Path(path).name.lower()
    if _MENDED not in name or not name.endswith(".png"):
        raise UsageError(
            f"{_MEND} {path}: its name must say what it is; write '{_MENDED}' in it, such as poster-mended.png"
        )
    return _output(_MEND, path, force=force)

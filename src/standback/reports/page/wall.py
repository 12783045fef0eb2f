"""The wall of posters: every draft of a folder as a small picture, the worst first."""

from base64 import b64encode
from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import PurePath
from urllib.parse import quote

from PIL import Image

from standback import __version__
from standback.numbers import distance
from standback.reports import words
from standback.reports.page.markup import Child, Markup, foreign, join, tag
from standback.reports.page.shell import asset, document
from standback.reports.rows import Row, worst_first

_QUALITY = 82


Links = Sequence[tuple[str, str]]


def draw_wall(rows: Sequence[Row], thumbnail_of: Callable[[str], bytes | None], links: Links) -> str:
    """Return the page as HTML.

    Parameters
    ----------
    thumbnail_of
        The small picture of an artwork as a PNG, by its path; None where there is none.
    links
        Name and file of each document in a poster's folder; the first is the one its picture leads to.
    """
    ordered = worst_first(rows)
    judged = [row for row in ordered if row.verdict != "unreadable"]
    unread = [row for row in ordered if row.verdict == "unreadable"]
    body = tag(
        "main",
        tag("header", tag("h1", "Posters"), tag("p", _tally(ordered), class_="summary"), class_="head"),
        tag("ol", *(_poster(row, thumbnail_of(row.file), links) for row in judged), class_="posters"),
        _unread(unread),
        tag("p", words.CAUTION, class_="facts"),
        class_="all",
    )
    return document(
        title=f"{words.plural(len(rows), 'poster')} - standback",
        body=join(body, tag("footer", tag("p", f"standback {__version__}"))),
        css=asset("wall.css"),
    )


def _tally(rows: Sequence[Row]) -> str:
    counts = {verdict: sum(row.verdict == verdict for row in rows) for verdict in ("fail", "pass", "unreadable")}
    said = [f"{counts['fail']} fail", f"{counts['pass']} pass"]
    if counts["unreadable"]:
        said.append(f"{counts['unreadable']} could not be read")
    return f"{words.plural(len(rows), 'poster')}: {', '.join(said)}. The worst comes first."


def _poster(row: Row, thumbnail_png: bytes | None, links: Links) -> Markup:
    name = PurePath(row.file).name
    (_, first_file), *_ = links
    picture: Child = None
    if thumbnail_png is not None:
        uri, width, height = _data(thumbnail_png)
        picture = tag("img", src=uri, width=width, height=height, alt="", loading="lazy")
    return tag(
        "li",
        tag("a", picture, href=_link(row, first_file), class_="hang", tabindex="-1", aria_hidden="true"),
        tag(
            "div",
            tag("p", row.verdict, class_=f"verdict {row.verdict}"),
            tag("h2", tag("a", foreign(name), href=_link(row, first_file))),
            tag("p", _counted(row), class_="facts"),
            *_first(row),
            tag("ul", *(_document(row, name, label, file) for label, file in links), class_="links"),
            class_="said",
        ),
    )


def _first(row: Row) -> tuple[Child, ...]:
    """Return the finding that comes first; the summary where there is none."""
    if not row.check:
        return (tag("p", row.summary),)
    return (tag("h3", row.check), tag("p", row.says), tag("p", row.change, class_="change") if row.change else None)


def _document(row: Row, name: str, label: str, file: str) -> Markup:
    return tag("li", tag("a", label, href=_link(row, file), aria_label=f"{label} of {name}"))


def _counted(row: Row) -> str:
    counts = ((row.fails, "fail"), (row.warns, "warning"), (row.notes, "note"))
    counted = [words.plural(n, word) for n, word in counts if n]
    size = "" if row.width_mm is None or row.height_mm is None else f"{row.width_mm:.0f} × {row.height_mm:.0f} mm"
    far = "" if row.far_m is None else f"from {distance(row.far_m)}"
    return ", ".join(filter(None, [size, far, *(counted or ["no findings"])]))


def _unread(rows: Sequence[Row]) -> Markup | None:
    if not rows:
        return None
    told = [join(tag("dt", foreign(row.file)), tag("dd", row.why)) for row in rows]
    return tag("section", tag("h2", "Could not be read"), tag("dl", *told), class_="unread")


def _link(row: Row, file: str) -> str:
    return f"{quote(row.folder or '')}/{file}"


def _data(png: bytes) -> tuple[str, int, int]:
    """Return a picture as a small JPEG in a data URI, with its size in px."""
    stream = BytesIO()
    with Image.open(BytesIO(png)) as image:
        size = image.size
        image.convert("RGB").save(stream, "JPEG", quality=_QUALITY)
    return f"data:image/jpeg;base64,{b64encode(stream.getvalue()).decode('ascii')}", *size

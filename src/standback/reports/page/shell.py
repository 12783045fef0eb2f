"""What every page of ours is wrapped in: one file that loads nothing, with our look and our mark."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files

from standback import __version__
from standback.reports.page.markup import Child, Markup, join, tag

_HEAD_META = (
    Markup('<meta charset="utf-8">'),
    Markup('<meta name="viewport" content="width=device-width, initial-scale=1">'),
    Markup('<meta name="color-scheme" content="light dark">'),
)


def document(*, title: str, body: Child, css: str = "", script: str = "") -> str:
    """Return a whole page.

    Its Content-Security-Policy lets nothing in from anywhere: pictures only as data, and of styles and
    scripts just the ones written here, known by their sums. So no `style` attribute works on a page.

    Parameters
    ----------
    css, script
        What the page adds to the style that all pages share, and what it runs.
    """
    style = Markup(f"{asset('base.css')}{css}")
    code = Markup(script)
    policy = "; ".join(
        (
            "default-src 'none'",
            "img-src data:",
            f"style-src '{_sum_of(style)}'",
            f"script-src '{_sum_of(code)}'" if script else "script-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )
    head = tag(
        "head",
        _HEAD_META[0],
        tag("meta", http_equiv="Content-Security-Policy", content=policy),
        *_HEAD_META[1:],
        tag("meta", name="generator", content=f"standback {__version__}"),
        tag("meta", name="referrer", content="no-referrer"),
        tag("title", title),
        tag("style", style),
    )
    page = tag("html", head, tag("body", body, tag("script", code) if script else None), lang="en")
    return join(Markup("<!doctype html>\n"), page, Markup("\n"))


@cache
def asset(name: str) -> str:
    """Return a style or a script that comes with the package."""
    return (files("standback.reports.page") / name).read_text(encoding="utf-8")


def _sum_of(code: str) -> str:
    return f"sha256-{b64encode(sha256(code.encode('utf-8')).digest()).decode('ascii')}"

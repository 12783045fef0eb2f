"""HTML put together safely: whatever is not markup already is escaped on its way in."""

from html import escape

from standback.reports.wrapping import clean

_VOID = frozenset({"br", "col", "hr", "img", "input", "link", "meta"})


class Markup(str):
    """Text that is HTML already."""

    __slots__ = ()


Child = str | None
"""A piece of a page: markup as it is, any other text to be escaped, None for nothing."""


def text(words: str) -> Markup:
    """Return foreign text as markup: control characters replaced, the rest escaped."""
    return words if isinstance(words, Markup) else Markup(escape(clean(words)))


def join(*children: Child) -> Markup:
    """Return pieces one after the other."""
    return Markup("".join(text(child) for child in children if child is not None))


def tag(name: str, /, *children: Child, **attributes: str | float | bool | None) -> Markup:
    """Return an element.

    Parameters
    ----------
    attributes
        A trailing underscore is dropped (`class_`), others become hyphens (`aria_label`); True stands for
        an attribute without a value, False and None for none.
    """
    said = "".join(_attribute(key, value) for key, value in attributes.items())
    if name in _VOID:
        return Markup(f"<{name}{said}>")
    return Markup(f"<{name}{said}>{join(*children)}</{name}>")


def foreign(words: str) -> Markup:
    """Return words of other people's, kept from turning the direction of ours."""
    return tag("bdi", words)


def _attribute(key: str, value: str | float | bool | None) -> str:
    if value is None or value is False:
        return ""
    name = key.removesuffix("_").replace("_", "-")
    if value is True:
        return f" {name}"
    said = f"{value:.6g}" if isinstance(value, float) else escape(clean(str(value)), quote=True)
    return f' {name}="{said}"'

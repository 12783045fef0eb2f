"""What the JSON documents share: plain values, their text, and the schemas they are shipped with."""

import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from importlib.resources import files
from numbers import Integral, Real
from typing import Any

SIGNIFICANT_DIGITS = 6

_UNPRINTABLE = re.compile("[\x7f-\x9f\xad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ud800-\udfff]")


def text_of(document: Mapping[str, Any]) -> str:
    """Return a document of plain values as text; the same document gives the same bytes.

    What is no character to see stays an escape: undecodable bytes of a file name, so that the text can always be
    written as UTF-8, and whatever steers a terminal or turns the direction of text, since it may be printed.
    """
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2)
    return _UNPRINTABLE.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n"


def schema_of(name: str) -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a document such as "standback.audit/1", as shipped."""
    file = f"{name.replace('/', '-')}.schema.json"
    text = files("standback.reports").joinpath("schema", file).read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


def fields_of(instance: Any) -> dict[str, Any]:
    """Return a dataclass as a dict of its fields, one level deep."""
    return {field.name: getattr(instance, field.name) for field in fields(instance)}


def plain(value: Any) -> Any:
    """Turn dataclasses, enums, tuples and NumPy numbers into what JSON has; round; no NaN, no infinity."""
    match value:
        case None | bool() | str() if not isinstance(value, Enum):
            return value
        case Enum():
            return plain(value.value)
        case Integral():
            return int(value)
        case Real():
            number = float(value)
            return float(f"{number:.{SIGNIFICANT_DIGITS}g}") if math.isfinite(number) else None
        case Mapping():
            return {str(key): plain(item) for key, item in value.items()}
        case Sequence():
            return [plain(item) for item in value]
    if is_dataclass(value):
        return plain(fields_of(value))
    raise TypeError(f"no JSON for {type(value).__name__}")

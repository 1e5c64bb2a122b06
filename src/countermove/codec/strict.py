"""
Plain tables to frozen dataclasses, refusing what does not fit, with the path of what was met.

msgspec converts and checks types and lists of words; it lets unknown keys pass, and a misspelt
key in an athlete file would be a measurement silently lost, so those are refused here first.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from typing import Any, TypeVar

import msgspec
from msgspec import inspect

from countermove.errors import BadDocument

T = TypeVar("T")


def convert(raw: Any, kind: type[T]) -> T:
    """
    Turn a table of plain values into a dataclass.

    Parameters
    ----------
    raw : object
        What a TOML or JSON reader gave.
    kind : type
        The dataclass asked for.

    Raises
    ------
    BadDocument
        With the path, what was met and what is needed.
    """
    for path, message in _misfits(raw, inspect.type_info(kind), "$"):
        raise BadDocument(f"{path}: {message}")
    try:
        return msgspec.convert(raw, kind)
    except msgspec.ValidationError as error:
        raise BadDocument(_explain(str(error), inspect.type_info(kind))) from None


def _explain(message: str, kind: inspect.Type) -> str:
    """Put the path first, and name the words that would have fitted."""
    complaint, _, path = message.partition(" - at `")
    path = path.rstrip("`") or "$"
    words = _words_at(kind, re.findall(r"\.(\w+)|(\[)", path))
    needed = f"; use one of {', '.join(words)}" if words else ""
    return f"{path}: {complaint[0].lower()}{complaint[1:]}{needed}"


def _words_at(kind: inspect.Type, steps: list[tuple[str, str]]) -> list[str]:
    """List the closed words of the type at the end of a path; empty if it is not such a type."""
    if isinstance(kind, inspect.UnionType):
        return [word for part in kind.types for word in _words_at(part, steps)]
    if not steps:
        return _words(kind)
    (name, _), rest = steps[0], steps[1:]
    if isinstance(kind, inspect.DataclassType):
        return [w for f in kind.fields if f.name == name for w in _words_at(f.type, rest)]
    if isinstance(kind, inspect.VarTupleType | inspect.ListType):
        return _words_at(kind.item_type, rest)
    return _words_at(kind.value_type, rest) if isinstance(kind, inspect.DictType) else []


def _words(kind: inspect.Type) -> list[str]:
    if isinstance(kind, inspect.EnumType):
        return [str(item.value) for item in kind.cls]
    return [str(word) for word in kind.values] if isinstance(kind, inspect.LiteralType) else []


def _misfits(raw: Any, kind: inspect.Type, path: str) -> Iterator[tuple[str, str]]:
    """Yield keys that no field carries, and words that msgspec could not place in a mapping."""
    if isinstance(kind, inspect.UnionType):
        for part in kind.types:
            yield from _misfits(raw, part, path)
    elif isinstance(kind, inspect.DataclassType) and isinstance(raw, dict):
        fields = {field.name: field.type for field in kind.fields}
        for key, value in raw.items():
            if key in fields:
                yield from _misfits(value, fields[key], f"{path}.{key}")
            else:
                yield f"{path}.{key}", _not_a_field(str(key), list(fields))
    elif isinstance(kind, inspect.VarTupleType | inspect.ListType) and isinstance(raw, list):
        for index, value in enumerate(raw):
            yield from _misfits(value, kind.item_type, f"{path}[{index}]")
    elif isinstance(kind, inspect.DictType) and isinstance(raw, dict):
        for key, value in raw.items():
            words = _words_at(kind.value_type, [])
            if words and value not in words:
                yield f"{path}.{key}", f"{value!r} was met; use one of {', '.join(words)}"
            yield from _misfits(value, kind.value_type, f"{path}.{key}")


def _not_a_field(key: str, fields: list[str]) -> str:
    close = difflib.get_close_matches(key, fields, n=1)
    hint = f"did you mean {close[0]!r}?" if close else f"use one of {', '.join(fields)}"
    return f"{key!r} is not a field here; {hint}"

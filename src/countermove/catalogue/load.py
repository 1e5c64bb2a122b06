"""
TOML text to entries, refusing every number that does not say where it comes from.

Two steps: `spell_out` gives each number the source, place, status and unit that stand above it, and
the codec then converts the plain tables. Every complaint starts with file, entry and field.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import (
    Caution,
    Drill,
    Sample,
    Segment,
    Source,
)
from countermove.catalogue.testing import Norm, Target, Test
from countermove.codec import convert, parse
from countermove.errors import BadCatalogue, BadDocument

T = TypeVar("T")
Table = dict[str, Any]

# File name -> the entries it holds. The order is the order of reading.
FILES: dict[str, type] = {
    "sources": Source,
    "samples": Sample,
    "segments": Segment,
    "tests": Test,
    "targets": Target,
    "norms": Norm,
    "cautions": Caution,
    "drills": Drill,
}
CITATION = ("source", "where", "status")


def load_file(name: str, text: str) -> dict[str, Any]:
    """
    Read one catalogue file.

    Parameters
    ----------
    name : str
        One of `FILES`.
    text : str
        TOML.

    Returns
    -------
    dict
        Entries by key.

    Raises
    ------
    BadCatalogue
        With file, entry and field.
    """
    if name not in FILES:
        raise BadCatalogue(f"{name}: not a catalogue file; use one of {', '.join(FILES)}")
    try:
        table = parse(text)
    except BadDocument as error:
        raise BadCatalogue(f"{name}: {error}") from None
    return {key: _entry(name, key, raw) for key, raw in table.items()}


def _entry(name: str, key: str, raw: object) -> Any:
    kind, path = FILES[name], f"{name}: {key}"
    if not isinstance(raw, dict):
        raise BadCatalogue(f"{path}: {raw!r} was met, a table [{key}] is needed")
    _refuse_blank(raw, path)
    spelt = spell_out(raw, kind, path, {})
    try:
        return convert(spelt, kind)
    except BadDocument as error:
        raise BadCatalogue(f"{path}{str(error).removeprefix('$')}") from None


def _refuse_blank(raw: Table, path: str) -> None:
    for word in CITATION:
        if word in raw and not str(raw[word]).strip():
            raise BadCatalogue(f"{path}.{word}: empty; say where the entry comes from")


def spell_out(raw: Any, kind: Any, path: str, above: Table, unit: str = "") -> Any:
    """
    Give every number below `raw` its own full citation.

    Parameters
    ----------
    raw : object
        A plain value from TOML.
    kind : type
        What the field is declared to be.
    path : str
        For the complaint.
    above : dict
        The citation that stands above.
    unit : str
        The unit that the field's name fixes; empty if none.
    """
    kind = _without_none(kind)
    if kind is Cited:
        return _cited(raw, path, above, unit)
    if get_origin(kind) is tuple and isinstance(raw, list):
        inner = get_args(kind)[0]
        return [spell_out(v, inner, f"{path}[{i}]", above, unit) for i, v in enumerate(raw)]
    if get_origin(kind) is Mapping and isinstance(raw, dict):
        inner = get_args(kind)[1]
        cite = above | {word: raw[word] for word in CITATION if word in raw}
        rest = {k: v for k, v in raw.items() if k not in CITATION}
        return {k: spell_out(v, inner, f"{path}.{k}", cite, unit) for k, v in rest.items()}
    if is_dataclass(kind) and isinstance(raw, dict):
        return _spell_out_fields(raw, kind, path, above)
    return raw


def _without_none(kind: Any) -> Any:
    """Give X for a field declared `X | None`."""
    if get_origin(kind) not in (types.UnionType, Union):
        return kind
    parts = [part for part in get_args(kind) if part is not types.NoneType]
    return parts[0] if len(parts) == 1 else kind


def _spell_out_fields(raw: Table, kind: Any, path: str, above: Table) -> Table:
    hints = get_type_hints(kind)
    units = {field.name: field.metadata.get("unit", "") for field in fields(kind)}
    own = {word: raw[word] for word in CITATION if word in raw}
    cite = above | own
    carried = {word: cite[word] for word in CITATION if word in hints and word in cite}
    spelt = {
        name: spell_out(value, hints[name], f"{path}.{name}", cite, units[name])
        if name in hints
        else value
        for name, value in raw.items()
        if name in hints or name not in CITATION
    }
    return carried | spelt


def _cited(raw: Any, path: str, above: Table, unit: str) -> Table:
    """Give a number's five parts, or say which one is missing."""
    own = dict(raw) if isinstance(raw, dict) else {"value": raw}
    if unit and "unit" not in own:
        own["unit"] = unit
    cited = above | own
    for part in ("value", "unit", *CITATION):
        if cited.get(part) in (None, ""):
            raise BadCatalogue(
                f"{path}: a number without {part}; write"
                " { value, unit, source, where, status } or let the table above say it"
            )
    return cited

"""
Documents of ours as TOML and JSON text, with a schema number and steps that upgrade older ones.

A document is the object's own fields plus `document` (what it is) and `schema` (its number).
An older schema is brought up step by step, each step a function from one table to the next;
a newer one is refused with the version it needs.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, dataclass, field, fields, is_dataclass
from enum import Enum
from typing import Any, Generic, TypeVar

import msgspec
import tomli_w

from countermove.codec.strict import convert
from countermove.errors import BadDocument, NewerDocument
from countermove.record import Athlete, Examination

T = TypeVar("T")
Table = dict[str, Any]


@dataclass(frozen=True)
class Format(Generic[T]):
    """
    One kind of document.

    Attributes
    ----------
    name : str
        Word in the `document` field.
    kind : type
        The dataclass it holds.
    schema : int
        Number written today.
    upgrades : mapping of int to callable
        From a schema number to the step that makes the next one.
    """

    name: str
    kind: type[T]
    schema: int = 1
    upgrades: Mapping[int, Callable[[Table], Table]] = field(default_factory=dict)

    def from_table(self, table: Table) -> T:
        """Check the heading, upgrade, convert; raises BadDocument or NewerDocument."""
        table = dict(table)
        named, met = table.pop("document", None), table.pop("schema", None)
        if named != self.name:
            raise BadDocument(
                f"$.document: {_shown(named)} was met, {self.name!r} is needed;"
                f' begin the file with document = "{self.name}" and schema = {self.schema}'
            )
        if not isinstance(met, int) or isinstance(met, bool) or met < 1:
            raise BadDocument(
                f"$.schema: {_shown(met)} was met, a number from 1 to {self.schema} is needed"
            )
        if met > self.schema:
            raise NewerDocument(
                f"$.schema: this {self.name} file has schema {met}, this version reads up to"
                f" {self.schema}; open it with a later countermove"
            )
        for number in range(met, self.schema):
            table = self.upgrades[number](table)
        return convert(table, self.kind)

    def to_toml(self, thing: T) -> str:
        """Write as TOML; what is empty by default is left out (TOML has no word for nothing)."""
        return tomli_w.dumps(self._heading() | _plain(thing))

    def to_json(self, thing: T) -> str:
        """Write as JSON; what is not there is null."""
        return to_json(self._heading() | msgspec.to_builtins(thing))

    def _heading(self) -> Table:
        return {"document": self.name, "schema": self.schema}

    def json_schema(self) -> Table:
        """Give the JSON Schema of the document (draft 2020-12)."""
        schema = msgspec.json.schema(self.kind)
        body = schema["$defs"][self.kind.__name__]
        heading = {"document": {"const": self.name}, "schema": {"const": self.schema}}
        body["properties"] = {**heading, **body["properties"]}
        body["required"] = [*heading, *body.get("required", [])]
        for part in schema["$defs"].values():
            if part.get("type") == "object":
                part["additionalProperties"] = False
        dialect = "https://json-schema.org/draft/2020-12/schema"
        plain: Table = json.loads(msgspec.json.encode({"$schema": dialect, **schema}))
        return plain


def _consents_kept(table: Table) -> Table:
    """
    Bring an athlete file of schema 1 up to 2, which keeps consents.

    Schema 1 had no place for them: none is invented, and clearance asks for it. Everything that was
    answered and signed stays as it stood.
    """
    return table


ATHLETE = Format("athlete", Athlete, schema=2, upgrades={1: _consents_kept})
EXAMINATION = Format("examination", Examination)


def _shown(met: Any) -> str:
    return "nothing" if met is None else repr(met)


def _plain(thing: Any) -> Any:
    """Give TOML's own values; fields that are empty, as they are by default, are left out."""
    if is_dataclass(thing):
        named = ((field, getattr(thing, field.name)) for field in fields(thing))
        return {field.name: _plain(v) for field, v in named if not _goes_without_saying(field, v)}
    if isinstance(thing, Mapping):
        return {key: _plain(value) for key, value in thing.items()}
    if isinstance(thing, tuple):
        return [_plain(value) for value in thing]
    return thing.value if isinstance(thing, Enum) else thing


def _goes_without_saying(field: Field[Any], value: Any) -> bool:
    default = field.default if field.default_factory is MISSING else field.default_factory()
    return value == default and value in (None, "", (), {})


def read_athlete(text: str) -> Athlete:
    """
    Read an athlete file, TOML or JSON.

    Raises
    ------
    BadDocument
        If it is neither, or does not fit; the message starts with the path.
    NewerDocument
        If a later version of countermove wrote it.
    """
    return ATHLETE.from_table(parse(text))


def write_athlete(athlete: Athlete) -> str:
    """Write an athlete file as TOML; the same athlete gives the same bytes everywhere."""
    return ATHLETE.to_toml(athlete)


def parse(text: str) -> Table:
    """Read TOML or JSON text into a table; raises BadDocument with line and column."""
    text = text.removeprefix("\ufeff")
    try:
        table = json.loads(text) if text.lstrip().startswith("{") else tomllib.loads(text)
    except (json.JSONDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadDocument(f"$: neither TOML nor JSON; {error}") from None
    except ValueError:  # Python's own limit on digits, which keeps reading them quick
        raise BadDocument("$: a number has thousands of digits; check what was pasted") from None
    except RecursionError:
        raise BadDocument("$: brackets nest too deep; check that each closes") from None
    if not isinstance(table, dict):
        raise BadDocument("$: a list was met, a table of fields is needed")
    return table


def to_json(plain: Any) -> str:
    """Write plain values as JSON, one field a line; NaN and infinity are refused."""
    return json.dumps(plain, indent=2, ensure_ascii=False, allow_nan=False)

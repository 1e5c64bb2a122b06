"""
Published checks as data: what an authority printed, beside what we compute.

A check names one of our functions, its arguments, the printed value, a tolerance with its reason,
and the source. A check that is known to miss says why in `misses`; it is listed with the rest, and
the tests see to it that it still misses, so that no miss is hidden and none lingers.
"""

from __future__ import annotations

import importlib
import inspect
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import reduce
from importlib import resources
from typing import Any

from countermove.catalogue import Catalogue
from countermove.codec import convert, parse
from countermove.errors import BadDocument
from countermove.record import Status

# A value on the very edge of its tolerance agrees; this is the rounding of floating point.
ROUNDING = 1e-9

# Rooms whose public functions a check may call.
ROOMS = ("body", "catalogue", "evidence", "examination", "jumps", "record", "safety", "units")


@dataclass(frozen=True, kw_only=True, slots=True)
class Check:
    """
    One published check.

    Attributes
    ----------
    function : str
        Room and public name, such as ``jumps.height_from_flight``.
    arguments : mapping
        Passed by name; a parameter called ``catalogue`` is given the built-in one.
    take : str
        Path into the result, such as ``segments.thigh.mass_kg``; empty takes the result itself.
    printed : float or str
        What the source prints, in `unit`.
    scale : float
        What our result is multiplied by to stand in `unit`.
    tolerance : float
        Largest difference that counts as agreement, in `unit`; 0 for words.
    why : str
        Where the tolerance comes from.
    source, where, status : str, str, Status
        As in the catalogue.
    misses : str
        Why it is known to miss; empty if it should hold.
    """

    function: str
    arguments: Mapping[str, Any] = field(default_factory=dict)
    take: str = ""
    printed: float | str
    unit: str = ""
    scale: float = 1.0
    tolerance: float = 0.0
    why: str
    source: str
    where: str
    status: Status
    misses: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class CheckResult:
    """
    A check, run.

    Attributes
    ----------
    ours : float or str
        What our function gave, in the check's unit.
    off : float
        Difference as a share of the tolerance: 1 is just at its edge.
    holds : bool
        Whether ours agrees with what is printed.
    """

    key: str
    check: Check
    ours: float | str
    off: float
    holds: bool


def load_checks() -> dict[str, Check]:
    """Load every check that ships with the package, by key."""
    folder = resources.files("countermove.evidence") / "checks"
    checks: dict[str, Check] = {}
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".toml"):
            for key, raw in parse(file.read_text(encoding="utf-8")).items():
                if key in checks:
                    raise BadDocument(f"{file.name}: {key}: another check has that name")
                checks[key] = _check(file.name, key, raw)
    return checks


def _check(file: str, key: str, raw: Any) -> Check:
    try:
        return convert(raw, Check)
    except BadDocument as error:
        raise BadDocument(f"{file}: {key}{str(error).removeprefix('$')}") from None


def run_checks(catalogue: Catalogue) -> tuple[CheckResult, ...]:
    """Run every check, worst first."""
    results = [run_check(key, check, catalogue) for key, check in load_checks().items()]
    return tuple(sorted(results, key=lambda result: (-result.off, result.key)))


def run_check(key: str, check: Check, catalogue: Catalogue) -> CheckResult:
    """
    Run one check.

    Raises
    ------
    BadDocument
        If it names no public function of a room.
    """
    ours = _take(_function(check.function), check, catalogue)
    if isinstance(check.printed, str):
        holds = str(ours) == check.printed
        off = 0.0 if holds else float("inf")
        return CheckResult(key=key, check=check, ours=str(ours), off=off, holds=holds)
    value = float(ours) * check.scale
    off = abs(value - check.printed) / check.tolerance if check.tolerance else float("inf")
    if value == check.printed:
        off = 0.0
    return CheckResult(key=key, check=check, ours=value, off=off, holds=off <= 1 + ROUNDING)


def _function(name: str) -> Any:
    room, _, public = name.partition(".")
    module = importlib.import_module(f"countermove.{room}") if room in ROOMS else None
    if module is None or public not in module.__all__:
        raise BadDocument(f"{name}: not a public function; write room.function, room of {ROOMS}")
    return getattr(module, public)


def _take(function: Any, check: Check, catalogue: Catalogue) -> Any:
    arguments = dict(check.arguments)
    if "catalogue" in inspect.signature(function).parameters:
        arguments["catalogue"] = catalogue
    steps = check.take.split(".") if check.take else []
    return reduce(_step, steps, function(**arguments))


def _step(thing: Any, name: str) -> Any:
    if isinstance(thing, Mapping):
        return thing[name]
    return thing[int(name)] if name.isdigit() else getattr(thing, name)

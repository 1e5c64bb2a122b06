"""Every recording of an athlete through `recordings` and `jumps`, in the child process."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from countermove.clinic.work.jobs_child import Report
from countermove.codec import Format, parse
from countermove.errors import CountermoveError
from countermove.jumps import HandEvents, analyse_jumps
from countermove.record import JumpKind, Trial
from countermove.recordings import ForceOptions, ForceTrace, parse_force


@dataclass(frozen=True, kw_only=True)
class Recorded:
    """
    One recording as it is to be read.

    `path` counts from the folder of uploads; `events` holds what a hand set, by the number of the
    trial.
    """

    key: str
    name: str
    path: str
    sha256: str
    kind: JumpKind
    options: ForceOptions
    events: Mapping[str, HandEvents] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class ToAnalyse:
    """What goes in."""

    recordings: tuple[Recorded, ...]


@dataclass(frozen=True, kw_only=True)
class Analysed:
    """What one recording gave: its trials, or why there are none."""

    key: str
    trials: tuple[Trial, ...] = ()
    trouble: str = ""


@dataclass(frozen=True, kw_only=True)
class Analyses:
    """What comes out."""

    recordings: tuple[Analysed, ...]


INPUTS = Format("recordings-to-analyse", ToAnalyse)
OUTPUT = Format("recordings-analysed", Analyses)


def run(inputs: bytes, report: Report) -> bytes:
    """Analyse recordings one by one; one that cannot be used does not keep the others out."""
    asked = INPUTS.from_table(parse(inputs.decode())).recordings
    found = []
    for place, one in enumerate(asked):
        report(place / len(asked))
        found.append(_analysed(one))
    return OUTPUT.to_json(Analyses(recordings=tuple(found))).encode()


def _analysed(one: Recorded) -> Analysed:
    try:
        trace = parse_force(Path(one.path).read_bytes(), name=one.name, options=one.options)
        if trace.sha256 != one.sha256:
            return Analysed(key=one.key, trouble=CHANGED)
        return Analysed(key=one.key, trials=_trials(trace, one))
    except CountermoveError as error:
        return Analysed(key=one.key, trouble=str(error))
    except OSError as error:
        return Analysed(key=one.key, trouble=f"its file cannot be read ({error.strerror})")


CHANGED = "its file is not the one that was kept: the hash differs; bring it back from a backup"


def _trials(trace: ForceTrace, one: Recorded) -> tuple[Trial, ...]:
    """Give the trials with what hands set, as the pages do."""
    found = analyse_jumps(trace, kind=one.kind)
    numbers = {trial.number for trial in found}
    events = {int(n): set_there for n, set_there in one.events.items() if int(n) in numbers}
    return analyse_jumps(trace, kind=one.kind, events=events) if events else found

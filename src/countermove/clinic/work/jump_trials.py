"""The trials of a recording as they stand: read from its file, with what hands said of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from countermove.catalogue import Catalogue
from countermove.clinic.visits.marks import Marks, marks_of
from countermove.clinic.visits.models import Recording
from countermove.examination.jump_summaries import summarise
from countermove.jumps import analyse_jumps
from countermove.record import JumpKind, JumpResult, QualityNote, Severity, Trial
from countermove.recordings import ForceOptions, ForceTrace, parse_force

MOST_BYTES = 32 * 2**20  # our default: ten minutes of two plates at 1 kHz are about 15 MB


@dataclass(frozen=True, kw_only=True)
class MarkedTrial:
    """
    One trial of a recording, computed from its marks.

    `found` is the same trial without what hands moved; the trial itself where they moved nothing.
    """

    recording: Recording
    trial: Trial
    found: Trial
    marks: Marks

    @property
    def reason(self) -> str:
        """Why it is left out; empty if it is not."""
        verdict = self.marks.verdict
        return verdict.reason if verdict is not None and self.marks.is_rejected else ""

    def as_used(self) -> Trial:
        """
        Give the trial as the examination takes it.

        A rejected one stays in sight, refused; what else is wrong with it concerns nobody now.
        """
        if not self.marks.is_rejected:
            return self.trial
        how = "withdrawn after it had been kept" if self.marks.is_withdrawn else "left out by hand"
        note = QualityNote(
            code="rejected",
            severity=Severity.REFUSE,
            text=f"Trial {self.trial.number} was {how}: {self.reason}",
        )
        return replace(self.trial, quality=(note,))


def options_of(saved: dict[str, Any]) -> ForceOptions:
    """Give the reader's options from what was kept with a recording."""
    told = {**saved, "columns": tuple(saved.get("columns", ()))}
    return ForceOptions(**told, max_bytes=MOST_BYTES)


def trace_of(row: Recording) -> ForceTrace:
    """
    Read a recording's file.

    Raises
    ------
    RecordingError
        If it cannot be read.
    OSError
        If it is not there.
    """
    with row.file.open("rb") as file:
        return parse_force(file.read(), name=row.name, options=options_of(row.options))


def marked_trials(row: Recording, trace: ForceTrace | None = None) -> tuple[MarkedTrial, ...]:
    """
    Give the trials of a recording; one that hands moved something of is computed from that.

    Raises
    ------
    RecordingError
        If the file cannot be read or holds no jump.
    """
    trace = trace or trace_of(row)
    kind, marks = JumpKind(row.kind), marks_of(row)
    found = analyse_jumps(trace, kind=kind)
    trials = set_by_hand(trace, kind, marks, found)
    return tuple(
        MarkedTrial(recording=row, trial=trial, found=plain, marks=marks.get(plain.number, Marks()))
        for plain, trial in zip(found, trials, strict=True)
    )


def set_by_hand(
    trace: ForceTrace, kind: JumpKind, marks: Mapping[int, Marks], found: tuple[Trial, ...]
) -> tuple[Trial, ...]:
    """
    Give the trials as they come out with what hands set; the found ones where they set nothing.

    Raises
    ------
    BadEvent, BadInput
        If a jump cannot have such an event, or nobody can be weighed there.
    """
    numbers = {trial.number for trial in found}
    events = {number: one.events for number, one in marks.items() if number in numbers}
    if not any(events.values()):
        return found
    return analyse_jumps(trace, kind=kind, events=events)


def summed_up(
    trials: Iterable[MarkedTrial], catalogue: Catalogue
) -> tuple[tuple[JumpResult, tuple[MarkedTrial, ...]], ...]:
    """Put the trials of each kind together, the rejected ones in sight but left out."""
    of_kind: dict[JumpKind, list[MarkedTrial]] = {}
    for one in trials:
        of_kind.setdefault(JumpKind(one.recording.kind), []).append(one)
    return tuple(
        (summarise(kind, [one.as_used() for one in found], catalogue=catalogue), tuple(found))
        for kind, found in of_kind.items()
    )

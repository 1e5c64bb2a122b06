"""What hands have said of a recording's trials: kept, left out, withdrawn, or an event moved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from countermove.clinic.accounts.models import User
from countermove.clinic.visits.models import Recording, TrialMark
from countermove.jumps import HandEvents

VERDICT, WEIGHING, ONSET, TAKEOFF, LANDING = "verdict", "weighing", "onset", "takeoff", "landing"
EVENTS = (WEIGHING, ONSET, TAKEOFF, LANDING)  # in the order of a jump
KEPT, REJECTED, WITHDRAWN = "kept", "rejected", "withdrawn"
FOUND = "found"  # an event put back to where it was found; an undo brings the hand's back


@dataclass(frozen=True, kw_only=True)
class Marks:
    """
    What stands of the marks on one trial.

    Attributes
    ----------
    verdict, weighing, onset, takeoff, landing : TrialMark or None
        The row that counts; None where nobody said anything, or all was undone.
    rows : tuple of TrialMark
        Every row ever made, oldest first.
    """

    verdict: TrialMark | None = None
    weighing: TrialMark | None = None
    onset: TrialMark | None = None
    takeoff: TrialMark | None = None
    landing: TrialMark | None = None
    rows: tuple[TrialMark, ...] = ()

    @property
    def is_rejected(self) -> bool:
        """Whether the trial is left out, at once or after it had been kept."""
        return self.verdict is not None and self.verdict.value in (REJECTED, WITHDRAWN)

    @property
    def is_withdrawn(self) -> bool:
        """Whether the trial's numbers had been kept and were withdrawn."""
        return self.verdict is not None and self.verdict.value == WITHDRAWN

    @property
    def is_kept(self) -> bool:
        """Whether somebody looked and said that it counts."""
        return self.verdict is not None and self.verdict.value == KEPT

    @property
    def moved(self) -> tuple[TrialMark, ...]:
        """Give the events that a hand set, in the order of a jump."""
        rows = (self.weighing, self.onset, self.takeoff, self.landing)
        return tuple(row for row in rows if row is not None and row.value != FOUND)

    @property
    def undoable(self) -> tuple[TrialMark, ...]:
        """Give the event rows that can be undone, one press each, in the order of a jump."""
        rows = (self.weighing, self.onset, self.takeoff, self.landing)
        return tuple(row for row in rows if row is not None)

    @property
    def weighing_s(self) -> tuple[float, float] | None:
        """Start and end of the weighing set by hand, on the recording's own axis. [s]"""
        if self.weighing is None or self.weighing.value == FOUND:
            return None
        start_s, end_s = self.weighing.value
        return float(start_s), float(end_s)

    @property
    def events(self) -> HandEvents:
        """
        Give what hands set, on the recording's own axis.

        Raises
        ------
        BadEvent
            If the rows contradict each other; none is written that does.
        """
        return HandEvents(
            weighing_s=self.weighing_s,
            onset_s=_seconds(self.onset),
            takeoff_s=_seconds(self.takeoff),
            landing_s=_seconds(self.landing),
        )


def _seconds(row: TrialMark | None) -> float | None:
    return None if row is None or row.value == FOUND else float(row.value)


def marks_of(recording: Recording) -> dict[int, Marks]:
    """Give the marks of a recording by the number of the trial; trials without any are left out."""
    rows = recording.marks.select_related("made_by").order_by("pk")
    found: dict[int, list[TrialMark]] = {}
    for row in rows:
        found.setdefault(row.number, []).append(row)
    return {number: standing_marks(those) for number, those in found.items()}


def standing_marks(rows: Iterable[TrialMark]) -> Marks:
    """
    Give what counts of the marks on one trial, oldest first.

    The latest of a kind counts; an undo takes the latest away, so the one before counts again.
    """
    piles: dict[str, list[TrialMark]] = {what: [] for what in (VERDICT, *EVENTS)}
    every = tuple(rows)
    for row in every:
        pile = piles[row.what]
        if not row.undone:
            pile.append(row)
        elif pile:
            pile.pop()
    return Marks(rows=every, **{what: pile[-1] for what, pile in piles.items() if pile})


def mark(
    recording: Recording, number: int, what: str, value: Any, *, reason: str, by: User
) -> TrialMark | None:
    """Write a mark; nothing where it says what stands already, so a double send is harmless."""
    now = getattr(marks_of(recording).get(number, Marks()), what)
    if now.value == value if now else value == FOUND:
        return None
    return TrialMark.objects.create(
        recording=recording, number=number, what=what, value=value, reason=reason, made_by=by
    )


def move(
    recording: Recording, number: int, times: Mapping[str, Any], *, reason: str, by: User
) -> None:
    """Write where a hand put events, all of one press or none: a window, a time, or `FOUND`."""
    with transaction.atomic():
        for what, value in times.items():
            mark(recording, number, what, value, reason=reason, by=by)


def undo(recording: Recording, number: int, pk: int, *, by: User) -> TrialMark | None:
    """
    Take back the mark that counts, by one more row.

    `pk` names the mark that the page showed: nothing is written where that no longer counts, so a
    second press does not undo what the first brought back.
    """
    marks = marks_of(recording).get(number, Marks())
    standing = (marks.verdict, *marks.undoable)
    for row in standing:
        if row is not None and row.pk == pk:
            return TrialMark.objects.create(
                recording=recording,
                number=number,
                what=row.what,
                value=row.value,
                undone=True,
                made_by=by,
            )
    return None

"""What hands have said of a recording's trials: kept or rejected, a weighing window moved."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from countermove.clinic.accounts.models import User
from countermove.clinic.visits.models import Recording, TrialMark

VERDICT, WEIGHING = "verdict", "weighing"
KEPT, REJECTED = "kept", "rejected"


@dataclass(frozen=True, kw_only=True)
class Marks:
    """
    What stands of the marks on one trial.

    Attributes
    ----------
    verdict, weighing : TrialMark or None
        The row that counts; None where nobody said anything, or all was undone.
    rows : tuple of TrialMark
        Every row ever made, oldest first.
    """

    verdict: TrialMark | None = None
    weighing: TrialMark | None = None
    rows: tuple[TrialMark, ...] = ()

    @property
    def is_rejected(self) -> bool:
        """Whether the trial is left out."""
        return self.verdict is not None and self.verdict.value == REJECTED

    @property
    def is_kept(self) -> bool:
        """Whether somebody looked and said that it counts."""
        return self.verdict is not None and self.verdict.value == KEPT

    @property
    def weighing_s(self) -> tuple[float, float] | None:
        """Start and end of the weighing set by hand, on the recording's own axis. [s]"""
        if self.weighing is None:
            return None
        start_s, end_s = self.weighing.value
        return float(start_s), float(end_s)


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
    verdicts: list[TrialMark] = []
    weighings: list[TrialMark] = []
    every = tuple(rows)
    for row in every:
        pile = verdicts if row.what == VERDICT else weighings
        if not row.undone:
            pile.append(row)
        elif pile:
            pile.pop()
    return Marks(
        verdict=verdicts[-1] if verdicts else None,
        weighing=weighings[-1] if weighings else None,
        rows=every,
    )


def mark(
    recording: Recording, number: int, what: str, value: Any, *, reason: str, by: User
) -> TrialMark | None:
    """Write a mark; nothing where it says what stands already, so a double send is harmless."""
    now = getattr(marks_of(recording).get(number, Marks()), what)
    if now is not None and now.value == value:
        return None
    return TrialMark.objects.create(
        recording=recording, number=number, what=what, value=value, reason=reason, made_by=by
    )


def undo(recording: Recording, number: int, pk: int, *, by: User) -> TrialMark | None:
    """
    Take back the mark that counts, by one more row.

    `pk` names the mark that the page showed: nothing is written where that no longer counts, so a
    second press does not undo what the first brought back.
    """
    marks = marks_of(recording).get(number, Marks())
    for row in (marks.verdict, marks.weighing):
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

"""
What is wrong with a recording, in words.

A note weighs by what it harms: a `doubt` means that the jump height by impulse (or a number that
stands beside it) may be off by more than a retest would show; a `note` is worth knowing and costs
little; `refuse` means that there is no height by impulse at all. Codes last; texts may change.
"""

from __future__ import annotations

from collections.abc import Callable

from countermove.jumps import notes_hand, notes_jump, notes_signal, notes_weighing
from countermove.jumps.reading import Reading
from countermove.jumps.remarks import Notes
from countermove.record import QualityNote, Severity

LOOKS: tuple[Callable[[Reading], Notes], ...] = (
    notes_weighing.no_weight,
    notes_weighing.weighing_short,
    notes_weighing.weighing_unquiet,
    notes_weighing.moved_before,
    notes_signal.noisy,
    notes_weighing.rebound,
    notes_signal.clipping,
    notes_signal.dropped,
    notes_signal.drift,
    notes_weighing.weight_changed,
    notes_weighing.mass_differs,
    notes_jump.heights_apart,
    notes_jump.velocity_range,
    notes_jump.countermovement,
    notes_signal.rate,
    notes_jump.landing,
    notes_signal.offset,
    notes_jump.kind_told,
    notes_hand.set_by_hand,
)


def notes_on(reading: Reading) -> tuple[QualityNote, ...]:
    """Give all notes on one jump, gravest first."""
    found = [note for look in LOOKS for note in look(reading)]
    order = list(Severity)
    return tuple(sorted(found, key=lambda note: -order.index(note.severity)))

"""The main road: a force trace in, its jumps out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from countermove.errors import BadEvent, BadInput, NoJump, RecordingError
from countermove.jumps.by_hand import HandEvents
from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight, Plate, find_flights, look_over
from countermove.jumps.maker import Maker, weight_of
from countermove.jumps.quality import notes_on
from countermove.jumps.reading import ByHand, Reading
from countermove.jumps.trials import trial_from
from countermove.record import JumpKind, Trial
from countermove.recordings import ForceTrace


def analyse_jumps(
    trace: ForceTrace,
    *,
    kind: JumpKind | None = None,
    mass_kg: float | None = None,
    weighing_s: tuple[float, float] | None = None,
    events: Mapping[int, HandEvents] | None = None,
) -> tuple[Trial, ...]:
    """
    Give every jump of a recording, with what is wrong with it in words.

    Works on the raw signal; nothing is filtered.

    Parameters
    ----------
    trace : ForceTrace
        One athlete on one or more plates.
    kind : JumpKind, optional
        The jump that was asked for; told from the shape where None.
    mass_kg : float, optional
        Body mass that a person vouches for; used instead of the weighing. [kg]
    weighing_s : tuple of float, optional
        Start and end of the quiet standing, set by hand, on the recording's own axis; for every
        jump whose `events` do not say otherwise. [s]
    events : mapping of int to HandEvents, optional
        What a hand set, by the number of the trial. Everything behind it is computed from it, and
        a note tells how far it lies from what was found.

    Returns
    -------
    tuple of Trial
        In order, numbered from 1.

    Raises
    ------
    NoJump
        If the recording holds no jump; the message says why.
    BadInput
        If the mass or the weighing window cannot be true.
    BadEvent
        If an event set by hand lies where this jump cannot have it, or the trial does not exist.
    RecordingError
        If the force holds values that are not numbers.

    References
    ----------
    .. [1] N. J. Owen et al., "Development of a criterion method to determine peak mechanical power
       output in a countermovement jump," J. Strength Cond. Res., vol. 28, pp. 1552-1558, 2014.
    .. [2] J. J. McMahon et al., "Understanding the key phases of the countermovement jump
       force-time curve," Strength Cond. J., vol. 40(4), pp. 96-106, 2018.
    """
    _check(trace, mass_kg)
    total = trace.total_n
    plate, flights = _found(total, trace.rate_hz, weight_of(None, mass_kg))
    hands = _by_number(events or {}, weighing_s, len(flights))
    readings: list[Reading] = []
    for flight, set_by_hand in zip(flights, hands, strict=True):
        previous = readings[-1] if readings else None
        maker = Maker(trace, total, plate, flights, flight, previous)
        reading = maker.reading(kind, mass_kg)
        if set_by_hand:
            reading = maker.with_hands(ByHand(set_by_hand, reading)).reading(kind, mass_kg)
        readings.append(reading)
    return tuple(
        trial_from(reading, number, notes_on(reading)) for number, reading in enumerate(readings, 1)
    )


def _by_number(
    events: Mapping[int, HandEvents], weighing_s: tuple[float, float] | None, count: int
) -> list[HandEvents]:
    """Give what hands set of each trial; nothing where they set nothing."""
    beyond = sorted(set(events) - set(range(1, count + 1)))
    if beyond:
        raise BadEvent(
            f"events are set for trial {beyond[0]}; this recording holds trials 1 to {count}"
        )
    every = [events.get(number, HandEvents()) for number in range(1, count + 1)]
    return [replace(one, weighing_s=one.weighing_s or weighing_s) for one in every]


def _found(
    total_n: Floats, rate_hz: float, weight_n: float | None
) -> tuple[Plate, tuple[Flight, ...]]:
    """Find the flights; where nobody stands still, a given weight tells what a push is."""
    plate = look_over(total_n, rate_hz)
    try:
        return plate, find_flights(plate, rate_hz)
    except NoJump:
        if weight_n is None:
            raise
    plate = look_over(total_n, rate_hz, weight_n)
    return plate, find_flights(plate, rate_hz)


def _check(trace: ForceTrace, mass_kg: float | None) -> None:
    """Refuse what cannot be analysed."""
    if mass_kg is not None and not 10 <= mass_kg <= 400:
        raise BadInput(f"a body mass of {mass_kg:g} kg cannot be; give it in kilograms (10 to 400)")
    if trace.force_n.shape[1] < 0.3 * trace.rate_hz:
        raise NoJump(
            f"the recording is {trace.duration_s:.2f} s long; a jump with the standing before it"
            " takes at least 2 s"
        )
    if not np.isfinite(trace.force_n).all():
        raise RecordingError(
            "the force holds values that are not numbers; fill the gaps between their neighbours"
            " and mark them as missing, or record again"
        )

"""The main road: a force trace in, its jumps out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.errors import BadInput, NoJump, RecordingError
from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight, Plate, Span, find_flights, look_over, runs
from countermove.jumps.edges import find_edges
from countermove.jumps.faults import flat_tops, glitches, is_live, repeated_runs
from countermove.jumps.heights import GRAVITY_M_S2
from countermove.jumps.motion import Motion, integrate_push, lowest_after_landing
from countermove.jumps.onset import (
    STEP_BACK_S,
    TWITCH_S,
    Onset,
    find_onset,
    push_start,
)
from countermove.jumps.quality import notes_on
from countermove.jumps.reading import Reading, Stillness
from countermove.jumps.trials import trial_from
from countermove.jumps.weighing import (
    CLEAR_S,
    SETTLE_S,
    Weighing,
    quiet_span,
    restless_share,
    span_by_hand,
    weigh,
)
from countermove.jumps.zero import find_zero
from countermove.record import JumpKind, Trial
from countermove.recordings import ForceTrace

RESTLESS_S = 2.0  # looked back over for stillness (our-default)
LOW_DROP_M = 0.1  # a countermovement deeper than this makes an unnamed jump a CMJ (our-default)


def analyse_jumps(
    trace: ForceTrace,
    *,
    kind: JumpKind | None = None,
    mass_kg: float | None = None,
    weighing_s: tuple[float, float] | None = None,
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
        Start and end of the quiet standing, set by hand, on the recording's own axis. [s]

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
    plate, flights = _found(total, trace.rate_hz, _weight(None, mass_kg))
    readings: list[Reading] = []
    for flight in flights:
        previous = readings[-1] if readings else None
        maker = _Maker(trace, total, plate, flights, flight, previous)
        readings.append(maker.reading(kind, mass_kg, weighing_s))
    return tuple(
        trial_from(reading, number, notes_on(reading)) for number, reading in enumerate(readings, 1)
    )


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


@dataclass(frozen=True)
class _Push:
    """A push, as far as it could be integrated, and the weighing it rests on."""

    weighing: Weighing | None
    start: int
    onset: Onset | None = None
    stillness: Stillness | None = None
    motion: Motion | None = None
    rebound: bool = False


class _Maker:
    """Builds the reading of one flight, step by step."""

    def __init__(
        self,
        trace: ForceTrace,
        total_n: Floats,
        plate: Plate,
        flights: tuple[Flight, ...],
        flight: Flight,
        previous: Reading | None,
    ) -> None:
        self.trace = trace
        self.rate = trace.rate_hz
        self.flight = flight
        self.previous = previous
        self.zero = find_zero(total_n, self.rate, plate, flights, flight)
        self.force = total_n - self.zero.offset_n
        self.rough = plate.body_n
        self.edges = find_edges(self.force, self.rate, flight, self.rough)
        self.loaded = self._loaded()
        self.live = [plate for plate in trace.force_n if is_live(plate, self.loaded)]

    def _loaded(self) -> np.ndarray:
        """Mark the contacts around the flight, where a live signal does not repeat itself."""
        loaded = np.zeros(self.force.size, dtype=np.bool_)
        loaded[self.flight.before.start : int(self.edges.takeoff)] = True
        if self.edges.landing is not None:
            loaded[int(self.edges.landing) + 2 : self.flight.after.stop] = True
        return loaded

    def reading(
        self,
        kind: JumpKind | None,
        mass_kg: float | None,
        weighing_s: tuple[float, float] | None,
    ) -> Reading:
        """Put everything together."""
        weighing = self._weighing(weighing_s)
        later = self._weigh_after()
        rebound = weighing is None and self.previous is not None
        if weighing is None:
            weighing = self.previous.weighing if self.previous is not None else later
        push = self._push(weighing, mass_kg, rebound=rebound)
        level = _weight(push.weighing, mass_kg) or self.rough
        return Reading(
            trace=self.trace,
            force_n=self.force,
            flight=self.flight,
            zero=self.zero,
            edges=self.edges,
            kind=kind or _kind_of(push.motion),
            kind_was_given=kind is not None,
            mass_kg=mass_kg,
            weighing=push.weighing,
            later=later,
            onset=push.onset,
            stillness=push.stillness,
            motion=push.motion,
            restless=0.0 if push.onset is None else self._restless(push.onset, level),
            start=push.start,
            rebound=push.rebound,
            lowest=self._lowest(level, push.motion),
            flat_tops=[top for plate in self.live for top in flat_tops(plate, level)],
            lost=[span for plate in self.live for span in repeated_runs(plate, self.loaded)]
            + glitches(self.force, self.rate, self._before_takeoff(push.weighing), level),
        )

    def _push(self, weighing: Weighing | None, mass_kg: float | None, *, rebound: bool) -> _Push:
        """Integrate the push, from the landing before or from standing."""
        weight = _weight(weighing, mass_kg)
        if weight is None:
            return _Push(weighing, self.flight.before.start)
        if rebound:
            start, motion = self._rebound(weight)
            if motion is not None:
                return _Push(weighing, start, motion=motion, rebound=True)
        scale = weighing or self._unweighed(weight)
        onset = find_onset(self.force, self.rate, self.flight, scale)
        still = None
        if weighing is not None:
            weighing, still = self._settled(weighing, onset)
            weight = _weight(weighing, mass_kg) or weight
        start = self._start(weighing or scale, onset, still)
        motion = integrate_push(self.force, self.rate, start, self.edges.takeoff, weight)
        return _Push(weighing, start, onset, still, motion)

    def _weighing(self, by_hand: tuple[float, float] | None) -> Weighing | None:
        """Weigh before the jump, by hand or by search."""
        if by_hand is not None:
            span = span_by_hand(self.force, self.rate, self.trace.start_s, by_hand)
            weighing = weigh(self.force, self.rate, span, "hand")
            if weighing.weight_n < 0.5 * self.rough:
                raise BadInput(
                    f"in the weighing window {by_hand[0]:g} to {by_hand[1]:g} s the plate carries"
                    f" {weighing.weight_n:.0f} N; choose a time when the athlete stands on it"
                )
            return weighing
        stop = push_start(self.force, self.rate, self.flight, self.rough)
        start = self.flight.before.start
        stepped_on = 0 if start == 0 else round(SETTLE_S * self.rate)
        quiet = self._quiet(Span(start + stepped_on, stop))
        return None if quiet is None else weigh(self.force, self.rate, quiet)

    def _unweighed(self, weight: float) -> Weighing:
        """Stand a given mass in for a weighing: nothing is known of stillness but the noise."""
        nowhere = Span(self.flight.before.start, self.flight.before.start)
        return Weighing(nowhere, weight, self.zero.noise_n, 0.0, 0.0, "mass")

    def _quiet(self, region: Span) -> Span | None:
        """Give the latest quiet stretch of a region."""
        if region.stop <= region.start:
            return None
        return quiet_span(self.force, self.rate, region, self.rough)

    def _weigh_after(self) -> Weighing | None:
        """Weigh after landing, once the athlete has come to rest."""
        if not self.flight.landed:
            return None
        start = self.flight.after.start + round(0.5 * self.rate)
        span = self._quiet(Span(start, self.flight.after.stop - round(SETTLE_S * self.rate)))
        return None if span is None else weigh(self.force, self.rate, span, "after")

    def _rebound(self, weight: float) -> tuple[int, Motion | None]:
        """Integrate from the landing before, whose velocity its own flight tells."""
        before = self.previous
        if before is None or before.motion is None or before.flight_s is None:
            return self.flight.before.start, None
        landing = before.edges.landing or 0.0
        first = int(np.ceil(landing))
        fall = before.motion.takeoff_velocity_m_s - GRAVITY_M_S2 * before.flight_s
        motion = integrate_push(
            self.force, self.rate, first, self.edges.takeoff, weight, velocity_m_s=fall
        )
        return first, motion

    def _settled(self, weighing: Weighing, onset: Onset) -> tuple[Weighing, Stillness | None]:
        """End the weighing clear of the onset; tell how still it was between."""
        if weighing.place == "after" or not onset.rested:
            return weighing, None
        if weighing.place == "before":
            stop = onset.sample - round(CLEAR_S * self.rate)
            stop = max(stop, weighing.span.start + round(CLEAR_S * self.rate))
            if stop < weighing.span.stop:
                span = Span(weighing.span.start, stop)
                weighing = weigh(self.force, self.rate, span)
        start = onset.sample - round(STEP_BACK_S * self.rate)
        if start <= weighing.span.stop:
            return weighing, None
        between = self.force[weighing.span.stop : start] - weighing.weight_n
        velocity = float(between.sum()) / self.rate * GRAVITY_M_S2 / weighing.weight_n
        broken = _leaves(np.abs(between) - onset.band_n, self.rate)
        if onset.dip is not None:
            rise = self.force[onset.sample : onset.dip] - weighing.weight_n
            broken = broken or _leaves(rise - onset.band_n, self.rate)
        return weighing, Stillness(velocity, between.size / self.rate, broken)

    def _before_takeoff(self, weighing: Weighing | None) -> Span:
        """Give the samples from the weighing to just before take-off."""
        stop = int(self.edges.takeoff - 0.005 * self.rate) - 1
        start = self.flight.before.start
        if weighing is not None and weighing.span.start < stop:
            start = max(start, weighing.span.start)
        return Span(min(start, stop), stop)

    def _restless(self, onset: Onset, weight: float) -> float:
        """Look back over two seconds before the onset."""
        stop = onset.sample - round(STEP_BACK_S * self.rate)
        settled = self.flight.before.start + round(RESTLESS_S * self.rate / 4)
        start = max(settled, stop - round(RESTLESS_S * self.rate))
        return restless_share(self.force, self.rate, Span(start, max(start, stop)), weight)

    def _start(self, weighing: Weighing, onset: Onset, still: Stillness | None) -> int:
        """Give where integration starts: 30 ms before onset, or where rest was sure."""
        start = max(self.flight.before.start, onset.sample - round(STEP_BACK_S * self.rate))
        return weighing.span.stop if still is not None and still.moved else start

    def _lowest(self, weight: float, motion: Motion | None) -> float | None:
        """Give the lowest point after landing."""
        landing = self.edges.landing
        if landing is None:
            return None
        flight_s = (landing - self.edges.takeoff) / self.rate
        takeoff = GRAVITY_M_S2 * flight_s / 2 if motion is None else motion.takeoff_velocity_m_s
        return lowest_after_landing(
            self.force[: self.flight.after.stop],
            self.rate,
            landing,
            weight,
            takeoff - GRAVITY_M_S2 * flight_s,
        )


def _leaves(beyond: Floats, rate_hz: float) -> bool:
    """Tell whether the force was beyond the band for longer than a twitch."""
    if not beyond.size or beyond.max() <= 0:
        return False
    return any(len(span) > TWITCH_S * rate_hz for span in runs(beyond > 0))


def _weight(weighing: Weighing | None, mass_kg: float | None) -> float | None:
    """Give the weight to use: of the given mass, or weighed. [N]"""
    if mass_kg is not None:
        return mass_kg * GRAVITY_M_S2
    return None if weighing is None else weighing.weight_n


def _kind_of(motion: Motion | None) -> JumpKind:
    """Tell the jump from the depth of its countermovement."""
    if motion is None:
        return JumpKind.CMJ
    drop = -float(motion.position_m.min())
    return JumpKind.CMJ if motion.goes_down and drop > LOW_DROP_M else JumpKind.SJ

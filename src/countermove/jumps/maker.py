"""Builds the reading of one flight: found by rule, and again with what a hand set."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from countermove.errors import BadEvent, BadInput
from countermove.jumps.by_hand import refuse_outside, sample_at
from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight, Plate, Span, runs
from countermove.jumps.edges import Edges, find_edges
from countermove.jumps.faults import flat_tops, glitches, is_live, repeated_runs
from countermove.jumps.heights import GRAVITY_M_S2
from countermove.jumps.motion import Motion, integrate_push, lowest_after_landing
from countermove.jumps.onset import STEP_BACK_S, TWITCH_S, Onset, find_onset, push_start
from countermove.jumps.reading import ByHand, Reading, Stillness, force_at
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
from countermove.record import JumpKind
from countermove.recordings import ForceTrace

RESTLESS_S = 2.0  # looked back over for stillness (our-default)
LOW_DROP_M = 0.1  # a countermovement deeper than this makes an unnamed jump a CMJ (our-default)


@dataclass(frozen=True)
class _Push:
    """A push, as far as it could be integrated, and the weighing it rests on."""

    weighing: Weighing | None
    start: int
    onset: Onset | None = None
    stillness: Stillness | None = None
    motion: Motion | None = None
    rebound: bool = False


class Maker:
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
        self.hands: ByHand | None = None

    def with_hands(self, hands: ByHand) -> Maker:
        """Take what a hand set in place of what was found; faults stay those of the contact."""
        self.hands = hands
        self.edges = self._edges_by_hand(hands)
        return self

    def _edges_by_hand(self, hands: ByHand) -> Edges:
        """Give take-off and landing as a hand set them, checked against the jump they belong to."""
        events, found = hands.events, self.edges
        takeoff, landing = found.takeoff, found.landing
        end = self.flight.after.stop if self.flight.landed else self.force.size
        motion = hands.found.motion
        first = motion.bottom_s * self.rate if motion and motion.goes_down else hands.found.start
        if events.takeoff_s is not None:
            takeoff = self._sample(events.takeoff_s, takeoff)
        if events.landing_s is not None:
            landing = self._sample(events.landing_s, landing)
            why = "landing comes after take-off, and the recording goes on behind it"
            self._refuse("landing", events.landing_s, (takeoff, end - 1), why)
        if events.takeoff_s is not None:
            last = end - 1 if landing is None else landing
            why = "feet leave after the lowest point and before landing"
            self._refuse("take-off", events.takeoff_s, (first, last), why)
        return Edges(takeoff, landing, found.takeoff_sd)

    def _sample(self, time_s: float, found: float | None) -> float:
        return sample_at(time_s, self.trace.start_s, self.rate, found)

    def _refuse(self, what: str, time_s: float, span: tuple[float, float], why: str) -> None:
        """Refuse an event outside a span of samples."""
        first, last = (self.trace.start_s + sample / self.rate for sample in span)
        refuse_outside(what, time_s, first, last, why)

    def _loaded(self) -> np.ndarray:
        """Mark the contacts around the flight, where a live signal does not repeat itself."""
        loaded = np.zeros(self.force.size, dtype=np.bool_)
        loaded[self.flight.before.start : int(self.edges.takeoff)] = True
        if self.edges.landing is not None:
            loaded[int(self.edges.landing) + 2 : self.flight.after.stop] = True
        return loaded

    def reading(self, kind: JumpKind | None, mass_kg: float | None) -> Reading:
        """Put everything together."""
        weighing = self._weighing(None if self.hands is None else self.hands.events.weighing_s)
        later = self._weigh_after()
        rebound = weighing is None and self.previous is not None
        if weighing is None:
            weighing = self.previous.weighing if self.previous is not None else later
        push = self._push(weighing, mass_kg, rebound=rebound)
        level = weight_of(push.weighing, mass_kg) or self.rough
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
            by_hand=self.hands,
        )

    def _push(self, weighing: Weighing | None, mass_kg: float | None, *, rebound: bool) -> _Push:
        """Integrate the push, from the landing before or from standing."""
        weight = weight_of(weighing, mass_kg)
        if weight is None:
            self._no_onset("nobody could be weighed; set the weighing too")
            return _Push(weighing, self.flight.before.start)
        if rebound:
            start, motion = self._rebound(weight)
            if motion is not None:
                self._no_onset("this jump begins in the landing before it")
                return _Push(weighing, start, motion=motion, rebound=True)
        scale = weighing or self._unweighed(weight)
        onset = self._onset(find_onset(self.force, self.rate, self.flight, scale))
        weighing = self._weighed_before(weighing, onset)
        still = None
        if weighing is not None:
            weighing, still = self._settled(weighing, onset)
            weight = weight_of(weighing, mass_kg) or weight
        start = self._start(weighing or scale, onset, still)
        motion = self._integrated(start, weight)
        self._refuse_late(onset, motion)
        return _Push(weighing, start, onset, still, motion)

    def _integrated(self, start: int, weight: float, velocity: float = 0.0) -> Motion:
        """Integrate from a sample to take-off."""
        takeoff = self.edges.takeoff
        end_n = force_at(self.force, takeoff, self.hands)
        return integrate_push(
            self.force, self.rate, start, takeoff, weight, velocity_m_s=velocity, end_n=end_n
        )

    def _onset(self, found: Onset) -> Onset:
        """Give the onset as a hand set it, or as found."""
        time = None if self.hands is None else self.hands.events.onset_s
        if time is None:
            return found
        why = "the athlete stands on the plate before it and takes off after it"
        step_back = round(STEP_BACK_S * self.rate)
        span = (self.flight.before.start + step_back - 1, self.edges.takeoff - 1)
        sample = round(self._sample(time, float(found.sample)))
        if sample == found.sample:
            return found
        self._refuse("onset", time, span, why)
        return replace(found, sample=sample, rested=True)

    def _no_onset(self, why: str) -> None:
        if self.hands is not None and self.hands.events.onset_s is not None:
            raise BadEvent(f"the onset cannot be set by hand here: {why}")

    def _refuse_late(self, onset: Onset, motion: Motion) -> None:
        """Refuse an onset by hand that comes when the athlete is already fastest going down."""
        time = None if self.hands is None else self.hands.events.onset_s
        if time is None or not motion.goes_down:
            return
        fastest = float(motion.time_s[motion.fastest_down]) * self.rate
        why = "the athlete is fastest going down by then"
        if onset.sample >= fastest:
            self._refuse("onset", time, (self.flight.before.start, fastest), why)

    def _weighed_before(self, weighing: Weighing | None, onset: Onset) -> Weighing | None:
        """Weigh again where a hand set the onset before the standing that was found."""
        if self.hands is None or weighing is None or weighing.place != "before":
            return weighing
        stop = onset.sample - round(CLEAR_S * self.rate)
        if stop >= weighing.span.start:
            return weighing
        quiet = self._quiet(Span(self.flight.before.start, stop))
        if quiet is None:
            raise BadEvent(
                f"before an onset at {self.trace.start_s + onset.sample / self.rate:.3f} s nobody"
                " stands still long enough to be weighed; choose a later one, or set the weighing"
            )
        return weigh(self.force, self.rate, quiet)

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
        return first, self._integrated(first, weight, fall)

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
        stop = self.flight.after.stop if self.flight.landed else self.force.size
        return lowest_after_landing(
            self.force[:stop],
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


def weight_of(weighing: Weighing | None, mass_kg: float | None) -> float | None:
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

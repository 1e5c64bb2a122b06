"""All that was found of one jump, before it is put into numbers and words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.by_hand import HandEvents
from countermove.jumps.checks import Floats
from countermove.jumps.contacts import Flight, Span
from countermove.jumps.edges import Edges
from countermove.jumps.faults import FlatTop
from countermove.jumps.heights import height_from_flight, height_from_velocity
from countermove.jumps.motion import Motion
from countermove.jumps.onset import Onset
from countermove.jumps.weighing import Weighing
from countermove.jumps.zero import Zero
from countermove.record import JumpKind
from countermove.recordings import ForceTrace

LONG_GAP_S = 0.5  # longer between weighing and onset means the athlete moved (our-default)
STILL_M_S = 0.04  # slower than this is still (our-default); 0.04 m/s is about 1 cm of height


@dataclass(frozen=True)
class Stillness:
    """
    How still the athlete was between weighing and onset.

    Attributes
    ----------
    velocity_m_s : float
        What the force between gave to the centre of mass. [m/s]
    gap_s : float
        Time between. [s]
    broken : bool
        Whether the force left the band, or rose before the dip.
    """

    velocity_m_s: float
    gap_s: float
    broken: bool

    @property
    def moved(self) -> bool:
        """Whether the athlete moved between weighing and onset."""
        slow = abs(self.velocity_m_s) <= STILL_M_S
        return self.broken or self.gap_s > LONG_GAP_S or not slow


@dataclass(frozen=True)
class ByHand:
    """What a hand set of a jump, and what was found without it."""

    events: HandEvents
    found: Reading

    def found_s(self, name: str) -> float | None:
        """Give when an event was found; None if it was not. [s]"""
        edges, onset = self.found.edges, self.found.onset
        samples = {
            "onset_s": None if onset is None else onset.sample,
            "takeoff_s": edges.takeoff,
            "landing_s": edges.landing,
        }
        sample = samples[name]
        return None if sample is None else self.found.at(sample)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """
    One jump, as far as its recording goes.

    Attributes
    ----------
    trace : ForceTrace
        The recording.
    force_n : ndarray, shape (n_samples,)
        All plates together, the empty plate at zero. [N]
    flight, zero, edges
        Rough flight, empty plate, take-off and landing.
    kind, kind_was_given
        The jump, and whether somebody named it.
    mass_kg : float or None
        Body mass given by a person. [kg]
    weighing, later : Weighing or None
        Before the jump (or where there was none, after), and after it.
    onset, stillness, motion
        None where nothing could be weighed.
    restless : float
        Share of the last half seconds before the onset that were not still.
    start : int
        First integrated sample.
    rebound : bool
        Whether the push began in the landing before, without standing between.
    lowest : float or None
        Lowest point after landing. [samples]
    flat_tops, lost : lists
        Faults of the signal.
    by_hand : ByHand or None
        What a hand set, beside what was found.
    """

    trace: ForceTrace
    force_n: Floats
    flight: Flight
    zero: Zero
    edges: Edges
    kind: JumpKind
    kind_was_given: bool
    mass_kg: float | None
    weighing: Weighing | None
    later: Weighing | None
    onset: Onset | None
    stillness: Stillness | None
    motion: Motion | None
    restless: float
    start: int
    rebound: bool
    lowest: float | None
    flat_tops: list[FlatTop]
    lost: list[Span]
    by_hand: ByHand | None = None

    @property
    def rate_hz(self) -> float:
        """Samples a second. [Hz]"""
        return self.trace.rate_hz

    @property
    def flight_s(self) -> float | None:
        """Time in the air. [s] None without a landing."""
        if self.edges.landing is None:
            return None
        return (self.edges.landing - self.edges.takeoff) / self.rate_hz

    @property
    def lifts(self) -> bool:
        """Whether the integrated push throws the athlete up at all."""
        return self.motion is not None and self.motion.takeoff_velocity_m_s > 0

    @property
    def height_impulse_m(self) -> float | None:
        """Height by impulse. [m]"""
        if self.motion is None or not self.lifts:
            return None
        return float(height_from_velocity(self.motion.takeoff_velocity_m_s))

    @property
    def height_flight_m(self) -> float | None:
        """Height by flight time. [m]"""
        return None if self.flight_s is None else float(height_from_flight(self.flight_s))

    @property
    def end_n(self) -> float:
        """Force at take-off: nothing where it was found, what the plate says where it was set."""
        return force_at(self.force_n, self.edges.takeoff, self.by_hand)

    @property
    def push_s(self) -> float:
        """From the start of integration to take-off. [s]"""
        return (self.edges.takeoff - self.start) / self.rate_hz

    def at(self, sample: float) -> float:
        """Give the time of a sample on the recording's own axis. [s]"""
        return self.trace.start_s + sample / self.rate_hz


def force_at(force_n: Floats, takeoff: float, by_hand: ByHand | None) -> float:
    """Give the force at take-off; a found one is where the force has ended. [N]"""
    if by_hand is None or by_hand.found.edges.takeoff == takeoff:
        return 0.0
    return float(np.interp(takeoff, np.arange(force_n.size), force_n))

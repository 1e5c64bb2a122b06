"""What a trial says: its sentence, its numbers with the letters of the drawing, its times."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from countermove.charts import Point
from countermove.clinic.accounts.models import Units, User
from countermove.examination.measurement_errors import Z95
from countermove.jumps import height_error_from_weight
from countermove.record import Severity, Trial
from countermove.units import from_si

HALF_PER_CENT = 0.005  # of weight; about what a restless weighing leaves (our default)


class Fact(NamedTuple):
    """A number with its name; the letter says where it stands on the drawing."""

    letter: str
    name: str
    value: str


@dataclass(frozen=True)
class Scale:
    """The units somebody reads lengths and masses in; forces, speeds and times are SI for all."""

    length: str
    mass: str

    def long(self, length_m: float) -> str:
        """Write a length with the one decimal that a plate can tell."""
        return f"{from_si(length_m, self.length):.1f} {self.length}"

    def heavy(self, mass_kg: float) -> str:
        """Write a mass."""
        return f"{from_si(mass_kg, self.mass):.1f} {self.mass}"


def scale_for(user: User) -> Scale:
    """Give the units of somebody's setting."""
    return Scale("in", "lb") if user.units == Units.IMPERIAL else Scale("cm", "kg")


def height_words(trial: Trial, scale: Scale) -> str:
    """Write the height of a trial; empty if it has none."""
    height = trial.height_impulse_m
    return "" if height is None else scale.long(height)


def give_or_take(trial: Trial, scale: Scale) -> str:
    """Write the 95 % half-width that the weighing leaves; empty where it is not known."""
    if trial.height_impulse_sd_m is None:
        return ""
    return f"{max(0.1, from_si(Z95 * trial.height_impulse_sd_m, scale.length)):.1f}"


def standing_words(trial: Trial) -> str:
    """Say in one sentence how far the trial can be trusted."""
    doubts = [note for note in trial.quality if note.severity is not Severity.NOTE]
    if doubts:
        return ngettext(
            "There is a doubt about it: read with care.",
            "There are %(n)d doubts about it: read with care.",
            len(doubts),
        ) % {"n": len(doubts)}
    start, end = trial.weighing_start_s, trial.weighing_end_s
    if start is None or end is None:
        return _("No rule listed speaks against this trial.")
    return _(
        "No rule listed speaks against this trial: still for %(seconds).2f s before it, and the"
        " start shows clearly."
    ) % {"seconds": end - start}


def facts_of(trial: Trial, points: Iterable[Point], scale: Scale) -> list[Fact]:
    """Give the numbers of a trial; what the recording cannot tell is left out."""
    letters = {point.key: point.letter for point in points}
    return [
        Fact(letters.get(key, ""), name, value)
        for key, name, value in _numbers(trial, scale)
        if value
    ]


def _numbers(trial: Trial, scale: Scale) -> Iterator[tuple[str, str, str]]:
    mass, weight = trial.mass_kg, trial.weight_n
    yield "", _("weight"), _with(weight, "{:.0f} N") + (f", {scale.heavy(mass)}" if mass else "")
    yield "least", _("least force"), _with(trial.min_force_n, "{:.0f} N")
    down = trial.min_velocity_m_s
    yield "", _("fastest going down"), _with(down and -down, "{:.2f} m/s")
    yield "bottom", _("force at the bottom"), _with(trial.bottom_force_n, "{:.0f} N")
    deep = trial.depth_m if trial.bottom_s is not None else None
    yield "", _("depth"), "" if deep is None else scale.long(deep)
    yield "peak", _("greatest push"), _with(trial.peak_force_n, "{:.0f} N")
    power = trial.peak_power_w and mass and trial.peak_power_w / mass
    yield "power", _("peak power"), _with(power, "{:.1f} W/kg")
    yield "", _("time to take-off"), _with(trial.time_to_takeoff_s, "{:.2f} s")
    yield "takeoff", _("take-off speed"), _with(trial.takeoff_velocity_m_s, "{:.2f} m/s")
    yield "", _("flight time"), _with(trial.flight_s, "{:.3f} s")
    yield "", _("left foot in the push"), _share(trial.left_share_propulsion)
    yield "landing", _("landing force"), _with(trial.landing_peak_n, "{:.0f} N")
    yield "", _("left foot in landing"), _share(trial.left_share_landing)


def _with(value: float | None, words: str) -> str:
    return "" if value is None else words.format(value)


def _share(share: float | None) -> str:
    return "" if share is None else f"{100 * share:.1f} %"


class Time(NamedTuple):
    """A phase in the table."""

    name: str
    start: str
    end: str
    length: str


def times_of(trial: Trial) -> list[Time]:
    """Give the phases with their times on the recording's own axis. [s]"""
    return [
        Time(
            phase.name,
            f"{phase.start_s:.3f}",
            f"{phase.end_s:.3f}",
            f"{phase.end_s - phase.start_s:.3f}",
        )
        for phase in trial.phases
    ]


def event_name(what: str) -> str:
    """Name an event that a hand can set."""
    names = {
        "weighing": _("weighing"),
        "onset": _("onset"),
        "takeoff": _("take-off"),
        "landing": _("landing"),
    }
    return names[what]


class Event(NamedTuple):
    """An event in the table: where it was found, what is used, and how far a hand moved it."""

    name: str
    found: str
    used: str
    apart: str


def events_of(trial: Trial, found: Trial) -> list[Event]:
    """Give the events that a hand can set, found and used; left out where there is neither."""
    rows = (
        (_("weighing, start"), trial.weighing_start_s, found.weighing_start_s),
        (_("weighing, end"), trial.weighing_end_s, found.weighing_end_s),
        (_("onset"), trial.onset_s, found.onset_s),
        (_("take-off"), trial.takeoff_s, found.takeoff_s),
        (_("landing"), trial.landing_s, found.landing_s),
    )
    return [
        Event(name, _seconds(there), _seconds(here), _apart(here, there))
        for name, here, there in rows
        if here is not None or there is not None
    ]


def _seconds(time: float | None) -> str:
    return "-" if time is None else f"{time:.3f}"


def _apart(here: float | None, there: float | None) -> str:
    if here is None or there is None:
        return "-"
    apart_ms = 1000 * (here - there)
    return _("as found") if abs(apart_ms) < 0.05 else f"{apart_ms:+.1f} ms".replace("-", "\u2212")


def cautions_of(trial: Trial, scale: Scale) -> list[str]:
    """Say what the height cannot tell: what time alone would read, what the weight may cost."""
    said = []
    if trial.height_flight_m is not None and trial.height_impulse_m is not None:
        said.append(
            _(
                "The time in the air alone would read %(height)s; bent knees in landing overstate"
                " it. This page uses the push, and heights by time stay a series of their own."
            )
            % {"height": scale.long(trial.height_flight_m)}
        )
    if trial.takeoff_velocity_m_s is not None and trial.time_to_takeoff_s is not None:
        wrong = height_error_from_weight(
            HALF_PER_CENT, trial.time_to_takeoff_s, trial.takeoff_velocity_m_s
        )
        said.append(
            _(
                "The violet line is the weight, and half a per cent wrong there moves the height"
                " by about %(much)s."
            )
            % {"much": scale.long(abs(float(wrong)))}
        )
    return said

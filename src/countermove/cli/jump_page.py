"""A recording's report as a page in the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from countermove.cli.text import RULE, page, paragraph, part

Report = Mapping[str, Any]

WORTH_SAYING_M = 0.0005  # below this the page would print 0.0 cm

KINDS = {
    "cmj": "countermovement jump",
    "cmj_arms": "countermovement jump with arms",
    "sj": "squat jump",
}

# Field, words, unit, factor, decimals: in the order of the jump.
ROWS = (
    ("mass_kg", "body mass", "kg", 1, 1),
    ("onset_s", "movement begins at", "s", 1, 3),
    ("depth_m", "goes down", "cm", 100, 1),
    ("min_velocity_m_s", "fastest going down", "m/s", 1, 2),
    ("bottom_force_n", "force at the lowest point", "N", 1, 0),
    ("peak_force_n", "greatest force", "N", 1, 0),
    ("peak_power_w", "peak power", "W", 1, 0),
    ("mean_propulsive_power_w", "mean power, propulsion", "W", 1, 0),
    ("braking_impulse_n_s", "net impulse, braking", "N s", 1, 1),
    ("propulsion_impulse_n_s", "net impulse, propulsion", "N s", 1, 1),
    ("takeoff_velocity_m_s", "take-off velocity", "m/s", 1, 2),
    ("time_to_takeoff_s", "time to take-off", "s", 1, 3),
    ("flight_s", "flight time", "s", 1, 3),
    ("rsi_modified_m_s", "RSI-modified", "m/s", 1, 2),
    ("landing_peak_n", "greatest force, landing", "N", 1, 0),
    ("left_share_propulsion", "left foot's share, propulsion", "%", 100, 0),
    ("left_share_landing", "left foot's share, landing", "%", 100, 0),
)
HEIGHTS = (
    ("height_impulse_m", "from the push against the floor"),
    ("height_flight_m", "from the time in the air"),
    ("height_standing_m", "above standing, with the rise onto the toes"),
)


def jump_page(report: Report) -> str:
    """Give the page of one recording, a part a jump."""
    trials = report["trials"] or [report]
    read = report["quality"] if report["trials"] else []
    noticed = part("While reading", [_note(note) for note in read])
    return page([RULE, report["file"], noticed, *[_trial(t, len(trials)) for t in trials]])


def _trial(trial: Report, of: int) -> str:
    name = KINDS[trial["kind"]].capitalize()
    return page(
        [
            f"{name}, trial {trial['number']} of {of}" if of > 1 else name,
            part("Height, by methods that are never mixed", _heights(trial)),
            part("Phases", [_phase(phase) for phase in trial["phases"]]),
            part("Numbers", _numbers(trial)),
            part("Read with care", [_note(note) for note in trial["quality"]]),
        ]
    ).rstrip("\n")


def _heights(trial: Report) -> Iterator[str]:
    for field, words in HEIGHTS:
        if trial[field] is not None:
            error = trial["height_impulse_sd_m"] if field == "height_impulse_m" else None
            # Two standard errors: the share of the weighing alone, not of the athlete's day.
            give = f", give or take {200 * error:.1f} for the weighing" if error is not None else ""
            yield f"  {100 * trial[field]:6.1f} cm   {words}{give}"


def _phase(phase: Mapping[str, Any]) -> str:
    length = phase["end_s"] - phase["start_s"]
    times = f"{phase['start_s']:7.3f} to {phase['end_s']:7.3f} s"
    return f"  {phase['name']:<14} {times}   {length:6.3f} s"


def _numbers(trial: Report) -> Iterator[str]:
    for field, words, unit, factor, decimals in ROWS:
        if trial[field] is not None:
            yield f"  {words:<31} {factor * trial[field]:9.{decimals}f} {unit}"


def _note(note: Mapping[str, Any]) -> str:
    cost = note["may_cost_m"]
    worth_saying = cost is not None and cost >= WORTH_SAYING_M
    may = f" It may move the height by {100 * cost:.1f} cm." if worth_saying else ""
    return paragraph(note["text"] + may, indent=2, first=f"{note['severity']}: ")

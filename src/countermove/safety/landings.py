"""
How cautions hold landings down: a share of the usual, a most a session, a most of days a week.

A dose is cut by whole sets, and where not one set fits, by repetitions. It is never raised.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import floor

from countermove.catalogue import Caution, Cited, Dose
from countermove.record import LandingCap

# So that two thirds of 30 landings are 20 of them, whatever the last bit of the product says.
ROUNDING = 1e-9


def landing_cap(caution: Caution) -> LandingCap:
    """Give what a caution holds landings down to."""
    share, most, days = caution.landings_share, caution.landings, caution.landing_days
    held = [limit for limit in (share, most, days) if limit is not None]
    return LandingCap(
        share=1.0 if share is None else share.value,
        most=None if most is None else most.value,
        days_a_week=None if days is None else days.value,
        sources=tuple(dict.fromkeys(limit.source for limit in held)),
    )


def lowest(caps: Iterable[LandingCap]) -> LandingCap:
    """
    Give the strictest of some caps, limit by limit.

    Shares are not multiplied: two cautions that each ask for less ask for the smaller one.
    """
    met = list(caps)
    most = [cap.most for cap in met if cap.most is not None]
    days = [cap.days_a_week for cap in met if cap.days_a_week is not None]
    return LandingCap(
        share=min((cap.share for cap in met), default=1.0),
        most=min(most, default=None),
        days_a_week=min(days, default=None),
        sources=tuple(dict.fromkeys(source for cap in met for source in cap.sources)),
    )


def capped(dose: Dose, cap: LandingCap, *, room: float | None = None) -> Dose | None:
    """
    Give the part of a dose that a cap leaves.

    Parameters
    ----------
    dose : Dose
        As the catalogue has it; without landings it comes back as it is.
    cap : LandingCap
        From `clear`.
    room : float, optional
        Landings that the session still has room for; the cap's own most if left out.

    Returns
    -------
    Dose or None
        None if not one repetition fits.
    """
    if dose.contacts is None:
        return dose
    left = cap.most if room is None else room
    allowed = dose.contacts.value * cap.share
    allowed = allowed if left is None else min(allowed, left)
    fewer = _fewer(dose, allowed)
    if fewer is None or cap.days_a_week is None:
        return fewer
    days = min(dose.days_a_week.value, cap.days_a_week)
    return replace(fewer, days_a_week=_with(dose.days_a_week, days))


def _fewer(dose: Dose, allowed: float) -> Dose | None:
    """Cut whole sets until the landings fit, then repetitions of the one set left."""
    if dose.contacts is None or dose.contacts.value <= allowed:
        return dose
    a_set = dose.contacts.value / dose.sets.value
    sets = floor(allowed / a_set + ROUNDING)
    if sets >= 1:
        return _cut(dose, sets=sets, landings=sets * a_set)
    if dose.reps is None:
        return None
    a_rep = a_set / dose.reps.value
    reps = floor(allowed / a_rep + ROUNDING)
    return _cut(dose, sets=1, landings=reps * a_rep, reps=reps) if reps >= 1 else None


def _cut(dose: Dose, *, sets: float, landings: float, reps: float | None = None) -> Dose:
    kept = dose.reps if reps is None or dose.reps is None else _with(dose.reps, reps)
    contacts = dose.contacts and _with(dose.contacts, landings)
    return replace(dose, sets=_with(dose.sets, sets), contacts=contacts, reps=kept)


def _with(number: Cited, value: float) -> Cited:
    return replace(number, value=value)

"""
A practitioner's overrides: they lift a narrowing caution, never a stop, and are never silent.

An override that lifts leaves its reason on the list, marked with who, when and why. One that
cannot lift is itself a reason, which says why not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from countermove.catalogue import Catalogue, Caution, Consequence
from countermove.record import Clearance, Decision, Override, Reason

STOPS = (Consequence.EMERGENCY, Consequence.SAME_DAY, Consequence.ELSEWHERE)


def with_override(
    reason: Reason, caution: Caution, clearance: Clearance | None, *, on: date
) -> Reason:
    """
    Mark a narrowing reason as lifted, if a valid override names its caution.

    Parameters
    ----------
    reason : Reason
        As the answer or fact makes it.
    caution : Caution
        The caution in force.
    clearance : Clearance or None
        Holds the overrides.
    on : date
        Day of the examination.
    """
    if clearance is None or caution.leads_to in STOPS or reason.decision is Decision.GO_ON:
        return reason
    for override in clearance.overrides:
        if override.caution == reason.caution and not fault(override, clearance, on=on):
            return replace(reason, overridden=_signed(override))
    return reason


def _signed(override: Override) -> str:
    return f"{override.by} on {override.on}: {override.reason}"


def fault(override: Override, clearance: Clearance, *, on: date) -> str:
    """Say what is wrong with an override; empty if it is in order."""
    if not override.by.strip():
        return "it names nobody"
    if not override.reason.strip():
        return "it gives no reason"
    if override.on > on:
        return f"it is dated {override.on}, after {on}"
    if override.on < clearance.asked:
        return f"it is older than the answers of {clearance.asked}"
    return ""


def refused_overrides(
    clearance: Clearance, in_force: Sequence[Reason], *, on: date, catalogue: Catalogue
) -> Iterator[Reason]:
    """
    Yield one reason for every override that lifts nothing, saying why.

    Parameters
    ----------
    clearance : Clearance
        Holds the overrides.
    in_force : sequence of Reason
        What answers and facts put in force, lifted or not.
    on : date
        Day of the examination.
    catalogue : Catalogue
        Holds the cautions.
    """
    narrowed = {reason.caution for reason in in_force if reason.decision is Decision.NARROWER}
    for override in clearance.overrides:
        if catalogue.cautions[override.caution].leads_to in STOPS:
            yield _refused(override, "a stop cannot be lifted here")
        elif fault(override, clearance, on=on):
            yield _refused(override, fault(override, clearance, on=on))
        elif override.caution not in narrowed:
            yield _refused(override, "nothing is narrowed by that caution")


def _refused(override: Override, why: str) -> Reason:
    return Reason(
        caution=override.caution,
        decision=Decision.GO_ON,
        text=f"The override of “{override.caution}” by {override.by or 'nobody named'} does not"
        f" count: {why}.",
        sources=("our-default",),
    )

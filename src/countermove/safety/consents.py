"""
What an athlete agreed to, and what stays closed without it.

Consent is given for each purpose by itself, on a day, and can be taken back; a minor's counts only
with a guardian's. What was not agreed to was not agreed to: a missing consent is never taken for
one. Local law says who may consent to what; this only reads what is on record.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from countermove.record import Athlete, Consent, Decision, Purpose, Reason, age_on
from countermove.safety.questions import ADULT_YEARS

# A tag that every test carries: what a consent taken back closes.
EVERY_TEST = "every test"


def is_minor(athlete: Athlete, *, on: date) -> bool:
    """Tell whether a guardian's consent is needed on a day."""
    return age_on(athlete.born, on) < ADULT_YEARS


def consented(athlete: Athlete, purpose: Purpose, *, on: date, recipient: str = "") -> bool:
    """
    Tell whether a consent for a purpose counts on a day.

    Parameters
    ----------
    athlete : Athlete
        With the consents on record.
    purpose : Purpose
        What is to be done.
    on : date
        The day it is to be done.
    recipient : str, optional
        Who is to be told; the name as it was agreed to.

    Examples
    --------
    >>> from countermove.record import Sex
    >>> someone = Athlete(key="a", name="A", sex=Sex.MALE, born=date(2000, 1, 1),
    ...                   height_m=1.8, mass_kg=75)
    >>> consented(someone, Purpose.TESTING, on=date(2026, 11, 24))
    False
    """
    return any(
        _counts(one, athlete, on=on)
        for one in athlete.consents
        if (one.purpose, one.recipient) == (purpose, recipient)
    )


def _counts(consent: Consent, athlete: Athlete, *, on: date) -> bool:
    agreed = not is_minor(athlete, on=on) or bool(consent.guardian.strip())
    return agreed and _stands(consent, on=on)


def _stands(consent: Consent, *, on: date) -> bool:
    """Tell whether a consent was given by a day and not taken back by then."""
    taken_back = consent.withdrawn_on is not None and consent.withdrawn_on <= on
    return consent.given_on <= on and not taken_back


def testing_consent(athlete: Athlete, *, on: date) -> Iterator[Reason]:
    """
    Yield what the consent to testing leaves closed; nothing where it counts.

    Missing, or a minor's without a guardian: to be asked first, which closes jumps, hops, greatest
    efforts and the work list. Taken back: that, and every test.
    """
    if consented(athlete, Purpose.TESTING, on=on):
        return
    asked = [one for one in athlete.consents if one.purpose is Purpose.TESTING]
    standing = [one for one in asked if _stands(one, on=on)]
    earlier = [one for one in asked if one.given_on <= on]
    if standing:
        yield _ask(
            f"{age_on(athlete.born, on)} years old, and no guardian's consent to testing is on"
            " record. Ask a guardian, and write down who agreed, as local rules ask."
        )
    elif earlier:
        day = max(one.withdrawn_on for one in earlier if one.withdrawn_on is not None)
        yield _ask(
            f"Consent to testing was taken back on {day}. Measure nothing and give no drill until"
            " it is given again.",
            EVERY_TEST,
        )
    else:
        whom = "the athlete and a guardian" if is_minor(athlete, on=on) else "the athlete"
        yield _ask(f"Consent to testing is not on record. Ask {whom}, and write it down.")


def about_consent(reason: Reason) -> bool:
    """Tell whether a reason asks for consent to testing, and not for a health question."""
    return not reason.caution and "consent to testing" in reason.text.lower()


def _ask(text: str, *closes: str) -> Reason:
    return Reason(
        caution="",
        decision=Decision.ASK_FIRST,
        text=text,
        closes=closes,
        sources=("common-practice",),
    )

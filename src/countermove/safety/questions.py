"""
Which health questions belong to an athlete, and which of them are open.

A question left out is never a no. An answer that was given counts even where the question need not
have been asked, so no rule here can loosen what an answer tightened.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from datetime import date

from countermove.catalogue import Catalogue, Caution, current
from countermove.errors import BadInput
from countermove.record import Answer, Athlete, Clearance, Sex, age_on

ADULT_YEARS = 18  # our default; local law may set another age
FORTY_YEARS = 40


def is_asked(caution: Caution, athlete: Athlete, *, on: date) -> bool:
    """
    Tell whether a caution's question must be put to this athlete.

    Parameters
    ----------
    caution : Caution
        A fact has no question, and is never asked.
    athlete : Athlete
        Sex and date of birth decide.
    on : date
        Day of the examination.
    """
    if not caution.question:
        return False
    age = age_on(athlete.born, on)
    return {
        "everyone": True,
        "women": athlete.sex is Sex.FEMALE,
        "under 18": age < ADULT_YEARS,
        "40 and over": age >= FORTY_YEARS,
    }[caution.asked_of]


def questions_for(athlete: Athlete, *, on: date, catalogue: Catalogue) -> dict[str, Caution]:
    """Give the questions to put to this athlete, by key, in the catalogue's order."""
    cautions = current(catalogue.cautions)
    return {key: entry for key, entry in cautions.items() if is_asked(entry, athlete, on=on)}


def unanswered(
    athlete: Athlete, clearance: Clearance, *, on: date, catalogue: Catalogue
) -> tuple[str, ...]:
    """
    Give the keys of the questions that must be asked and have no answer.

    A question that follows another falls away where that one was answered no, and only there.
    """
    asked, said = questions_for(athlete, on=on, catalogue=catalogue), clearance.answers
    return tuple(
        key
        for key, caution in asked.items()
        if key not in said and said.get(caution.follows) is not Answer.NO
    )


def check_answers(answers: Mapping[str, Answer], catalogue: Catalogue) -> None:
    """
    Refuse answers to questions that do not exist.

    Raises
    ------
    BadInput
        If a key is no caution of the catalogue, or names a fact that is read from the record.
    """
    for key in answers:
        check_caution(key, catalogue)
        if catalogue.cautions[key].fact:
            raise BadInput(
                f"clearance.answers: {key!r} is read from the record, it is not a question;"
                " leave the answer out"
            )


def check_caution(key: str, catalogue: Catalogue) -> None:
    """
    Refuse the key of a caution that does not exist.

    Raises
    ------
    BadInput
        With the nearest key, if one is near.
    """
    if key in catalogue.cautions:
        return
    close = difflib.get_close_matches(key, catalogue.cautions, n=1)
    hint = f"did you mean {close[0]!r}?" if close else "see the cautions of the catalogue"
    raise BadInput(f"clearance: {key!r} is not a caution of the catalogue; {hint}")

"""
May this athlete be tested and trained today, and how far? One function a rule, plain loops.

Four decisions, from the freest to the strictest: *go on*, *narrower* (some work is closed), *ask
first* (the health questions are not settled) and *refer* (somebody else decides before we do). The
strictest standing reason decides. Missing knowledge never counts as good news: a question nobody
answered is open, and an open question stops the jumps.

None of this is a diagnosis, and none of it clears anybody: it tells a licensed practitioner which
of the listed rules an athlete's answers touch.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from countermove.catalogue import Catalogue, Caution, Consequence, current
from countermove.record import (
    Answer,
    Athlete,
    Clearance,
    ClearanceResult,
    Decision,
    LandingCap,
    Reason,
    age_on,
)
from countermove.safety.consents import EVERY_TEST, testing_consent
from countermove.safety.landings import landing_cap, lowest
from countermove.safety.overrides import refused_overrides, with_override
from countermove.safety.questions import check_answers, check_caution, unanswered

# What each consequence of the catalogue decides.
DECISIONS: dict[Consequence, Decision] = {
    Consequence.EMERGENCY: Decision.REFER,
    Consequence.SAME_DAY: Decision.REFER,
    Consequence.ELSEWHERE: Decision.REFER,
    Consequence.NARROWER: Decision.NARROWER,
    Consequence.NOTE: Decision.GO_ON,
}
HOW_SOON: dict[Consequence, str] = {
    Consequence.EMERGENCY: "Emergency now",
    Consequence.SAME_DAY: "To a doctor today",
    Consequence.ELSEWHERE: "Clearance from elsewhere first",
    Consequence.NARROWER: "Narrower",
    Consequence.NOTE: "Note",
}
# Closed to everybody who is not cleared, whatever else is closed (design, invariant 1).
NEEDS_CLEARANCE = (
    "jump",
    "hop",
    "single-leg hop",
    "drop",
    "high drop",
    "fast calf",
    "heel below level",
    "maximal strength",
    "heel raise to fatigue",
)
OPEN = (Decision.GO_ON, Decision.NARROWER)


def clear(athlete: Athlete, *, on: date, catalogue: Catalogue) -> ClearanceResult:
    """
    Judge the health questions of an athlete on a day.

    Parameters
    ----------
    athlete : Athlete
        With or without a clearance.
    on : date
        The day that is judged, usually that of the visit.
    catalogue : Catalogue
        Holds the questions, their consequences and what they close.

    Returns
    -------
    ClearanceResult
        The strictest standing decision with every reason, strictest first. `jumping` is true only
        if the decision is *go on* or *narrower* and no standing reason closes ``jump``.

    Raises
    ------
    BadInput
        If an answer or an override names a caution that does not exist.

    References
    ----------
    .. [1] Cautions and their sources: the catalogue, `cautions.toml`.
    .. [2] "Missing is not no", "a stop cannot be overridden": countermove's design, our default.
    """
    reasons = sorted(_reasons(athlete, on, catalogue), key=strictness)
    return _result(reasons)


def _reasons(athlete: Athlete, on: date, catalogue: Catalogue) -> Iterator[Reason]:
    clearance = athlete.clearance
    in_force = list(facts(athlete, on=on, catalogue=catalogue))
    yield from in_force
    if clearance is None:
        yield _ask("No health questions were asked. Ask them, and have a practitioner sign.")
        yield from testing_consent(athlete, on=on)
        return
    check_answers(clearance.answers, catalogue)
    for override in clearance.overrides:
        check_caution(override.caution, catalogue)
    yield from paperwork(clearance, on=on)
    yield from open_questions(athlete, clearance, on=on, catalogue=catalogue)
    said = list(answers(clearance, on=on, catalogue=catalogue))
    yield from said
    yield from testing_consent(athlete, on=on)
    yield from refused_overrides(clearance, [*in_force, *said], on=on, catalogue=catalogue)


def _ask(text: str) -> Reason:
    return Reason(caution="", decision=Decision.ASK_FIRST, text=text, sources=("our-default",))


def paperwork(clearance: Clearance, *, on: date) -> Iterator[Reason]:
    """Yield what is wrong with the clearance itself: unsigned, expired, or not given yet."""
    if not clearance.reviewed_by.strip():
        yield _ask("The answers were not reviewed. A practitioner reads and signs them first.")
    if clearance.expires < on:
        yield _ask(f"The clearance expired on {clearance.expires}. Ask the questions again.")
    if clearance.asked > on:
        yield _ask(f"The clearance is dated {clearance.asked}, after {on}. Mend the date, or ask.")


def open_questions(
    athlete: Athlete, clearance: Clearance, *, on: date, catalogue: Catalogue
) -> Iterator[Reason]:
    """Yield one reason that lists every question still open; a missing answer is not a no."""
    missing = unanswered(athlete, clearance, on=on, catalogue=catalogue)
    if missing:
        questions = " ".join(catalogue.cautions[key].question for key in missing)
        yield _ask(f"Not answered: {', '.join(missing)}. Ask: {questions}")


def answers(clearance: Clearance, *, on: date, catalogue: Catalogue) -> Iterator[Reason]:
    """Yield what each yes, and each unsure, leads to, lifted where an override stands."""
    for key, answer in clearance.answers.items():
        caution = catalogue.cautions[key]
        if answer is Answer.NO:
            continue
        reason = answered(key, caution, answer)
        yield with_override(reason, caution, clearance, on=on)


def answered(key: str, caution: Caution, answer: Answer) -> Reason:
    """
    Give the reason that a yes or an unsure makes.

    An unsure counts as a yes unless the caution says that it is only noted.
    """
    leads_to = caution.leads_to
    if answer is Answer.UNSURE and caution.when_unsure == "note":
        leads_to = Consequence.NOTE
    said = f"“{caution.question}” was answered {answer}."
    return reason_of(key, caution, leads_to, said)


def reason_of(key: str, caution: Caution, leads_to: Consequence, said: str) -> Reason:
    """Put a caution that is in force into a reason."""
    return Reason(
        caution=key,
        decision=DECISIONS[leads_to],
        leads_to=leads_to.value,
        text=f"{HOW_SOON[leads_to]}. {said} {caution.says}",
        closes=caution.closes if leads_to is caution.leads_to else (),
        sources=(caution.source,),
        landings=landing_cap(caution) if leads_to is caution.leads_to else LandingCap(),
    )


def facts(athlete: Athlete, *, on: date, catalogue: Catalogue) -> Iterator[Reason]:
    """Yield the cautions that the record itself puts in force: body mass and age."""
    for key, caution in current(catalogue.cautions).items():
        said = fact_in_force(caution, athlete, on=on)
        if said:
            reason = reason_of(key, caution, caution.leads_to, said)
            yield with_override(reason, caution, athlete.clearance, on=on)


def fact_in_force(caution: Caution, athlete: Athlete, *, on: date) -> str:
    """
    Say which fact puts a caution in force; empty if none does.

    *Over* and *under* leave the limit itself out: 100 kg is not over 100 kg.
    """
    if not caution.fact or caution.limit is None:
        return ""
    limit, age = caution.limit.value, age_on(athlete.born, on)
    mass_over = caution.fact == "mass over" and athlete.mass_kg > caution.limit.si
    age_under = caution.fact == "age under" and age < limit
    age_over = caution.fact == "age over" and age > limit
    if mass_over:
        return f"The record says {athlete.mass_kg:g} kg, over {limit:g} {caution.limit.unit}."
    if age_under or age_over:
        return f"The record says {age} years, {caution.fact.removeprefix('age ')} {limit:g}."
    return ""


def strictness(reason: Reason) -> tuple[bool, int, bool, int]:
    """Order reasons: standing first, then strict, then what closes every test, then soonest."""
    soonest = [consequence.value for consequence in Consequence]
    rank = soonest.index(reason.leads_to) if reason.leads_to else len(soonest)
    decided = -list(Decision).index(reason.decision)
    return bool(reason.overridden), decided, EVERY_TEST not in reason.closes, rank


def strictest(decisions: Iterable[Decision]) -> Decision:
    """Give the strictest of some decisions; *go on* if there are none."""
    return max(decisions, key=list(Decision).index, default=Decision.GO_ON)


def decision_from(consequences: Iterable[str]) -> str:
    """
    Give the decision that some consequences lead to together, in words.

    Parameters
    ----------
    consequences : iterable of str
        Words of `Consequence`, such as ``"narrower"``.

    Examples
    --------
    >>> decision_from(["note", "narrower", "same-day doctor"])
    'refer'
    """
    return strictest(DECISIONS[Consequence(word)] for word in consequences).value


def decision_of(answers: Mapping[str, str], *, catalogue: Catalogue) -> str:
    """
    Give the decision that some answers alone lead to, in words.

    Parameters
    ----------
    answers : mapping of str to str
        From a caution's key to ``"yes"``, ``"no"`` or ``"unsure"``.
    catalogue : Catalogue
        Holds the questions and what they lead to.

    Raises
    ------
    BadInput
        If a key is no question of the catalogue.
    """
    said = {key: Answer(word) for key, word in answers.items()}
    check_answers(said, catalogue)
    return strictest(
        answered(key, catalogue.cautions[key], answer).decision
        for key, answer in said.items()
        if answer is not Answer.NO
    ).value


def _result(reasons: list[Reason]) -> ClearanceResult:
    standing = [reason for reason in reasons if not reason.overridden]
    decision = strictest(reason.decision for reason in standing)
    closed = [tag for reason in standing for tag in reason.closes]
    if decision not in OPEN:
        closed = [*NEEDS_CLEARANCE, *closed]
    closes = tuple(dict.fromkeys(closed))
    return ClearanceResult(
        decision=decision,
        reasons=tuple(reasons),
        closes=closes,
        jumping=decision in OPEN and "jump" not in closes,
        landings=lowest(reason.landings for reason in standing),
    )

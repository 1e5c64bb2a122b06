"""
How one side of one test stands against what jumping asks: meets, short, or too close to call.

The measured value is known to ± 1.96 SEM, 19 times in 20, with the between-day error of its method
and tester. It *meets* if the whole band lies on the good side of the target, is *short* if the
whole band lies on the other, and else is *too close to call*. What is compared is always a target
(what jumping asks); what a population showed on average is context and never enters here.

Where no error is published for a method, the athlete's own trials decide: all of them, and at least
two, must lie on one side of the target. The sentence then says that no error is published.

A test that hurt more than 2 of 10 never *meets*: pain may have been the price, so it is too close
to call and said. One that fell short stays short, with the pain beside it. What the athlete could
not do was not measured, and the reason stands in the sentence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from countermove.catalogue import Catalogue, Choice, Sense, Target, Test
from countermove.errors import BadCatalogue, BadInput
from countermove.examination.measurement_errors import KnownError, Tester, error_of, half_width
from countermove.examination.readings import checked, trials_si, value_si
from countermove.examination.sentences import ON_SIDE, amount, sources_named
from countermove.record import Grade, Measurement, Verdict
from countermove.safety import pain_action, reaches

WELL_OUTSIDE = 2.0  # a gap of twice the error is called "well outside" (our default, words only)
STOP_TEST = " Stop this test; find out why first."


def verdict_of(
    value: float, target: float, error: float, *, sense: str = Sense.AT_LEAST.value
) -> str:
    """
    Grade a value against a target.

    Parameters
    ----------
    value, target : float
        In one unit.
    error : float
        Half-width of the 95 % band around the value, same unit.
    sense : {"at least", "at most"}
        On which side of the target the good values lie.

    Returns
    -------
    str
        ``"meets"``, ``"short"`` or ``"too close to call"``. A band that only touches the target is
        too close to call, except that an error of 0 leaves nothing to doubt.

    Raises
    ------
    BadInput
        If the error is negative.

    Examples
    --------
    >>> verdict_of(7.2, 10, 1.3), verdict_of(9.4, 10, 1.3), verdict_of(11.6, 10, 1.3)
    ('short', 'too close to call', 'meets')
    """
    if error < 0:
        raise BadInput(f"an error of {error:g} was met; it is never negative")
    if abs(value - target) <= error and error > 0:
        return Verdict.TOO_CLOSE.value
    return (Verdict.MEETS if reaches(value, target, Sense(sense)) else Verdict.SHORT).value


def verdict_of_trials(trials: tuple[float, ...], target: float, sense: Sense) -> Verdict:
    """Grade without a published error: at least two trials, and all on one side of the target."""
    good = {reaches(trial, target, sense) for trial in trials}
    if len(trials) < 2 or len(good) > 1:
        return Verdict.TOO_CLOSE
    return Verdict.MEETS if good == {True} else Verdict.SHORT


def shortfall(value: float, target: float, sense: Sense) -> float:
    """Give how far a value lies on the wrong side of a target, at least 0."""
    gap = target - value if sense is Sense.AT_LEAST else value - target
    return max(0.0, gap)


def target_of(test: str, catalogue: Catalogue) -> Target | None:
    """
    Give the target in force for a test; None if jumping asks nothing of it.

    Raises
    ------
    BadCatalogue
        If two are in force: which one counts is for the catalogue to say, not for us to guess.
    """
    targets = catalogue.targets_of(test)
    if len(targets) > 1:
        raise BadCatalogue(f"{test} has {len(targets)} targets; let one supersede the others")
    return targets[0] if targets else None


def choice_of(test: Test, answer: str) -> Choice | None:
    """Give the choice with a key; None if the test has no such answer."""
    return next((choice for choice in test.choices if choice.key == answer), None)


def is_graded(test: str, catalogue: Catalogue) -> bool:
    """Tell whether anything is asked of a test: a target, or answers that meet and fall short."""
    judged = any(choice.good is not None for choice in catalogue.tests[test].choices)
    return judged or target_of(test, catalogue) is not None


def grade(
    measurement: Measurement, *, catalogue: Catalogue, tester: Tester = "same"
) -> Grade | None:
    """
    Grade one measurement.

    Parameters
    ----------
    measurement : Measurement
        One test of one side; several trials are kept as the test says.
    catalogue : Catalogue
        Holds the test, its errors and its target.
    tester : {"same", "different"}, optional
        Whether the one who usually measures this athlete measured.

    Returns
    -------
    Grade or None
        None if nothing is asked of this test.

    Raises
    ------
    BadInput, UnknownUnit
        If the measurement cannot be true; see `checked`.
    """
    measurement = checked(measurement, catalogue=catalogue)
    if not is_graded(measurement.test, catalogue):
        return None
    if measurement.could_not or not (measurement.trials or measurement.answer):
        return _not_measured(measurement, catalogue)
    if measurement.answer:
        return with_pain(_grade_words(measurement, catalogue), measurement)
    return with_pain(_grade_number(measurement, catalogue, tester), measurement)


def _bare(measurement: Measurement, catalogue: Catalogue) -> Grade:
    test = catalogue.tests[measurement.test]
    return Grade(
        test=measurement.test,
        link=test.link,
        side=measurement.side,
        verdict=Verdict.NOT_MEASURED,
        text="",
    )


def _place(measurement: Measurement, catalogue: Catalogue) -> str:
    """Name test and side, such as “Lunge distance, standing, on the right”."""
    name = catalogue.tests[measurement.test].name
    return ", ".join(part for part in (name, ON_SIDE[measurement.side]) if part)


def _not_measured(measurement: Measurement, catalogue: Catalogue) -> Grade:
    why = f"; could not do it: {measurement.could_not}" if measurement.could_not else ""
    text = f"{_place(measurement, catalogue)}: not measured{why}."
    return with_pain(replace(_bare(measurement, catalogue), text=text), measurement)


def _grade_words(measurement: Measurement, catalogue: Catalogue) -> Grade:
    test = catalogue.tests[measurement.test]
    choice = choice_of(test, measurement.answer)
    good = None if choice is None else choice.good
    verdict = {True: Verdict.MEETS, False: Verdict.SHORT, None: Verdict.TOO_CLOSE}[good]
    said = measurement.answer if choice is None else choice.text
    text = f"{_place(measurement, catalogue)}: {verdict}; {said}."
    bare = _bare(measurement, catalogue)
    return replace(bare, verdict=verdict, text=text, sources=(test.source,))


@dataclass(frozen=True, kw_only=True)
class _Judged:
    """A value with everything that its sentence needs. [SI]"""

    value: float
    target: Target
    known: KnownError | None
    verdict: Verdict
    unit: str

    @property
    def gap(self) -> float:
        return shortfall(self.value, self.target.value.si, self.target.sense)

    @property
    def error(self) -> float | None:
        return None if self.known is None else half_width(self.known.sem)


def _grade_number(measurement: Measurement, catalogue: Catalogue, tester: Tester) -> Grade:
    judged = _judge(measurement, catalogue, tester)
    sources = (judged.target.source, *(judged.known.sources if judged.known else ()))
    named = _named_sources(judged, catalogue)
    text = f"{_place(measurement, catalogue)}: {_sentence(judged)} ({named})."
    return replace(
        _bare(measurement, catalogue),
        verdict=judged.verdict,
        value=judged.value,
        error=judged.error,
        target=judged.target.value.si,
        gap=judged.gap,
        unit=judged.unit,
        text=" ".join((text, *about_trials(measurement, catalogue))),
        sources=tuple(dict.fromkeys(sources)),
    )


def _judge(measurement: Measurement, catalogue: Catalogue, tester: Tester) -> _Judged:
    test, target = catalogue.tests[measurement.test], target_of(measurement.test, catalogue)
    value = value_si(measurement, catalogue=catalogue)
    if target is None or value is None:
        raise BadInput(f"{measurement.test}: there is nothing to grade")
    known = error_of(test, value, method=measurement.method, tester=tester)
    asked, sense = target.value.si, target.sense
    if known is None:
        verdict = verdict_of_trials(trials_si(measurement), asked, sense)
    else:
        verdict = Verdict(verdict_of(value, asked, half_width(known.sem), sense=sense))
    return _Judged(value=value, target=target, known=known, verdict=verdict, unit=measurement.unit)


def _sentence(judged: _Judged) -> str:
    """Say value, verdict, target and error; all in the unit that was entered."""
    value, gap = amount(judged.value, judged.unit), amount(judged.gap, judged.unit)
    asked = f"{judged.target.sense} {amount(judged.target.value.si, judged.unit)} asked"
    if judged.error is None:
        return f"{value}, {judged.verdict}, {asked}; no error of this method is published"
    error = amount(judged.error, judged.unit)
    if judged.verdict is Verdict.TOO_CLOSE:
        return f"{value}, too close to call, {asked}; the error is {error}"
    if judged.verdict is Verdict.MEETS:
        return f"{value}, meets, {asked}; the error is {error}"
    well = "well " if judged.gap >= WELL_OUTSIDE * judged.error else ""
    return f"{value}, short by {gap}, {asked}, {well}outside the error of {error}"


def _named_sources(judged: _Judged, catalogue: Catalogue) -> str:
    asked = f"asked: {sources_named((judged.target.source,), catalogue)}"
    if judged.known is None:
        return asked
    borrowed = f", {judged.known.borrowed}" if judged.known.borrowed else ""
    return f"{asked}; error: {sources_named(judged.known.sources, catalogue)}{borrowed}"


def about_trials(measurement: Measurement, catalogue: Catalogue) -> Iterator[str]:
    """Say if there were too few trials, or if they lie too far apart to be one value."""
    test, trials = catalogue.tests[measurement.test], trials_si(measurement)
    value = value_si(measurement, catalogue=catalogue)
    if value is None:
        return
    within = error_of(test, value, method=measurement.method, occasion="within session")
    apart = max(trials) - min(trials)
    if len(trials) < test.trials.value:
        yield f"{len(trials)} of {test.trials.value:g} trials: the error may be larger."
    if test.keep == "mean" and within is not None and apart > within.mdc95:
        far = amount(apart, measurement.unit)
        yield f"The trials lie {far} apart, more than error: measure again."


def about_error(measurement: Measurement, catalogue: Catalogue, tester: Tester) -> Iterator[str]:
    """Say how the published error's circumstances differ from those of a graded value."""
    value = value_si(measurement, catalogue=catalogue)
    if value is not None:
        test = catalogue.tests[measurement.test]
        known = error_of(test, value, method=measurement.method, tester=tester)
        if known is not None and known.borrowed:
            yield f"Its error was {known.borrowed}."


def with_pain(graded: Grade, measurement: Measurement) -> Grade:
    """
    Say the pain of a test, and take back a *meets* that hurt more than 2 of 10.

    See `countermove.safety.pain_action` for the zones and their source.
    """
    pain = measurement.pain
    if pain is None or pain.score == 0:
        return graded
    where = f", {pain.where}" if pain.where else ""
    action = pain_action(pain.score)
    text = f"{graded.text} Painful, {pain.score:g} of 10{where}."
    if action == "stop":
        text += STOP_TEST
    if action != "go on" and graded.verdict is Verdict.MEETS:
        text += " It reaches what is asked, but not without pain, so it is not called met."
        return replace(graded, verdict=Verdict.TOO_CLOSE, text=text)
    return replace(graded, text=text)

"""What a kept entry says: value, whether the trials agree, how it stands, and what it hurt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from countermove import record
from countermove.catalogue import Catalogue
from countermove.clinic.visits.entries import unit_for
from countermove.examination import error_of, grade, half_width, target_of, value_si
from countermove.examination.grades import WELL_OUTSIDE, choice_of
from countermove.examination.readings import trials_si
from countermove.examination.sentences import amount, sources_named
from countermove.record import Grade, Measurement, Verdict
from countermove.safety import pain_action
from countermove.units import from_si, to_si


@dataclass(frozen=True, kw_only=True)
class Told:
    """The sentences of one kept side."""

    value: str
    trials: str
    verdict: str
    rest: str
    pain: str
    source: str


def in_units(one: Measurement, catalogue: Catalogue, *, imperial: bool) -> Measurement:
    """Give a measurement in the reader's unit; what was entered stays as it was."""
    unit = unit_for(catalogue.tests[one.test], imperial=imperial)
    if not one.trials or one.unit == unit:
        return one
    trials = tuple(from_si(to_si(value, one.unit), unit) for value in one.trials)
    return replace(one, trials=trials, unit=unit)


def told(one: Measurement, catalogue: Catalogue, *, same_tester: bool = True) -> Told:
    """Tell one kept side in sentences."""
    graded = grade(one, catalogue=catalogue, tester="same" if same_tester else "different")
    return Told(
        value=value_said(one, catalogue),
        trials=trials_said(one, catalogue),
        verdict="" if one.could_not else _verdict(one, graded),
        rest="" if one.could_not else _rest(one, graded),
        pain=_pain(one),
        source=_source(one, graded, catalogue),
    )


def value_said(one: Measurement, catalogue: Catalogue) -> str:
    """Say the value the test keeps, the answer, or why there is none."""
    if one.could_not:
        return _("Could not do it: %(why)s") % {"why": one.could_not}
    if one.answer:
        choice = choice_of(catalogue.tests[one.test], one.answer)
        return choice.text if choice else one.answer
    value = value_si(one, catalogue=catalogue)
    return "" if value is None else amount(value, one.unit)


def trials_said(one: Measurement, catalogue: Catalogue) -> str:
    """Say whether the trials agree, by the error within a session; empty without trials."""
    if not one.trials:
        return ""
    test, values = catalogue.tests[one.test], trials_si(one)
    needed, listed = int(test.trials.value), ", ".join(f"{round(v, 2):g}" for v in one.trials)
    few = _(" %(n)d of %(needed)d trials: the error may be larger.") % {
        "n": len(values),
        "needed": needed,
    }
    few = few if len(values) < needed else ""
    if len(values) < 2:
        return (_("One trial.") if needed == 1 else "") + few
    apart = max(values) - min(values)
    known = error_of(
        test,
        value_si(one, catalogue=catalogue) or 0.0,
        method=one.method,
        occasion="within session",
    )
    if known is None:
        spread = _("Trials %(listed)s; no error of this method is published.")
        return spread % {"listed": listed} + few
    if apart > known.mdc95:
        return (
            _(
                "The trials do not agree (%(listed)s): %(apart)s apart,"
                " more than the %(error)s of error. Measure again."
            )
            % {
                "listed": listed,
                "apart": amount(apart, one.unit),
                "error": amount(known.mdc95, one.unit),
            }
        ) + few
    return _("Trials agree (%(listed)s).") % {"listed": listed} + few


def _verdict(one: Measurement, graded: Grade | None) -> str:
    if graded is None:
        return _("Kept")
    return {
        Verdict.MEETS: _("Meets"),
        Verdict.SHORT: _("Short"),
        Verdict.TOO_CLOSE: _("Too close to call"),
        Verdict.NOT_MEASURED: _("Not measured"),
    }[graded.verdict]


def _rest(one: Measurement, graded: Grade | None) -> str:
    if graded is None:
        return _("; nothing is asked of this test, it helps to read the others.")
    if graded.target is None or graded.value is None:
        return "."
    asked = amount(graded.target, one.unit)
    if graded.error is None:
        return _("; %(asked)s is asked, no error of this method is published.") % {"asked": asked}
    error = amount(graded.error, one.unit)
    if graded.verdict is Verdict.SHORT:
        gap = graded.gap or 0.0
        well = _("well outside") if gap >= WELL_OUTSIDE * graded.error else _("outside")
        return _(" by %(gap)s, %(well)s the error of %(error)s; %(asked)s is asked.") % {
            "gap": amount(gap, one.unit), "well": well, "error": error, "asked": asked,
        }  # fmt: skip
    if graded.verdict is Verdict.TOO_CLOSE and abs(graded.value - graded.target) <= graded.error:
        return _(": the %(asked)s asked lies inside the error of %(error)s.") % {
            "asked": asked, "error": error,
        }  # fmt: skip
    return _(": %(asked)s is asked, the error is %(error)s.") % {"asked": asked, "error": error}


def _pain(one: Measurement) -> str:
    if one.pain is None:
        return ""
    if one.pain.score == 0:
        return _("No pain.")
    where = f", {one.pain.where}" if one.pain.where else ""
    said = _("Painful, %(score)s of 10%(where)s.") % {
        "score": f"{one.pain.score:g}",
        "where": where,
    }
    action = pain_action(one.pain.score)
    if action == "stop":
        return said + " " + _("Stop this test; find out why first.")
    if action == "hold":
        return said + " " + _("With pain it is never called met.")
    return said


def _source(one: Measurement, graded: Grade | None, catalogue: Catalogue) -> str:
    parts = [_("Measured by %(method)s.") % {"method": one.method}] if one.method else []
    if graded and graded.sources:
        named = sources_named(graded.sources, catalogue)
        parts.append(_("Asked and error: %(sources)s.") % {"sources": named})
    return " ".join(parts)


def earlier_said(
    one: Measurement, before: Iterable[tuple[date, Measurement]], catalogue: Catalogue
) -> list[str]:
    """Tell what the same side gave by the same method at earlier visits, latest first."""
    fitting = [
        (day, m)
        for day, m in before
        if (m.test, m.side, m.method, m.after) == (one.test, one.side, one.method, "")
    ]
    return [
        f"{date_format(day, 'j F Y')}: {value_said(m, catalogue)}" for day, m in reversed(fitting)
    ]


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A number line for one side: where value, error and target stand, in drawing units."""

    value: float
    low: float
    high: float
    target: float
    asked: str
    side: str
    label: str

    @property
    def asked_at(self) -> float:
        """Give where the words of the target stand: over it, inside the drawing."""
        return min(max(self.target, 50.0), 190.0)


def mark_of(one: record.Measurement, catalogue: Catalogue, *, width: float = 240.0) -> Mark | None:
    """Place value, error and target on a line; None where the method has no published error."""
    value, target = value_si(one, catalogue=catalogue), target_of(one.test, catalogue)
    known = None if value is None else error_of(catalogue.tests[one.test], value, method=one.method)
    if value is None or known is None or target is None:
        return None
    error, asked = half_width(known.sem), target.value.si
    low, high = min(value - error, asked), max(value + error, asked)
    pad = 0.12 * (high - low)

    def x(v: float) -> float:
        return round(10 + (width - 20) * (v - low + pad) / (high - low + 2 * pad), 1)

    return Mark(
        value=x(value), low=x(value - error), high=x(value + error), target=x(asked),
        side=one.side, asked=_("asked %(asked)s") % {"asked": amount(asked, one.unit)},
        label=_("%(value)s, error %(error)s, asked %(asked)s") % {
            "value": amount(value, one.unit), "error": amount(error, one.unit),
            "asked": amount(asked, one.unit),
        },
    )  # fmt: skip

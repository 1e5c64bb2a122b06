"""What a card sends, read into measurements; a slip is told, and nothing typed is lost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import isnan
from uuid import UUID, uuid4

from django.db import IntegrityError, transaction
from django.utils.html import format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from countermove import record
from countermove.catalogue import Catalogue, Cited, Test
from countermove.clinic.accounts.models import User
from countermove.clinic.visits.models import Measurement, Treatment, Visit
from countermove.errors import BadInput
from countermove.examination import checked
from countermove.record import Pain, Side
from countermove.safety.pain import MOST_PAIN
from countermove.units import from_si, to_si

IMPERIAL = {"cm": "in", "m": "in", "mm": "in", "kg": "lb"}
# Of the minus and plus buttons; else 1 (our default).
STEPS = {"cm": 0.5, "in": 0.25, "s": 0.5, "m/s": 0.05, "x BW": 0.05, "N.m/kg": 0.1}
MOST_TRIALS = 10


@dataclass(frozen=True, kw_only=True)
class Box:
    """Where one trial is written, and what is read aloud there."""

    value: str
    name: str
    aloud: str
    less: str
    more: str


@dataclass(frozen=True, kw_only=True)
class Typed:
    """One side of a card as it was typed, not judged yet."""

    side: Side
    trials: tuple[str, ...] = ()
    answer: str = ""
    could_not: str = ""
    pain: str = ""
    where: str = ""
    sent_as: str = ""

    # A visit's page has some two hundred boxes; a template is slow to put their words together.
    @cached_property
    def label(self) -> str:
        """Name the column."""
        return side_said(self.side)

    @cached_property
    def boxes(self) -> list[Box]:
        """Give the boxes of the trials."""
        less, more = _("%(side)s trial %(n)d, less"), _("%(side)s trial %(n)d, more")
        named = [{"side": self.label, "n": i} for i, _value in enumerate(self.trials, 1)]
        return [
            Box(
                value=value,
                name=_("trial %(n)d") % names,
                aloud=_("%(side)s trial %(n)d") % names,
                less=less % names,
                more=more % names,
            )
            for value, names in zip(self.trials, named, strict=True)
        ]

    @property
    def pains(self) -> SafeString:
        """Give the scores to choose from, the one that was chosen marked."""
        return pain_scores(self.pain)

    @property
    def is_empty(self) -> bool:
        """Tell whether nothing was typed for this side."""
        words = (*self.trials, self.answer, self.could_not, self.pain, self.where)
        return not any(word.strip() for word in words)


@lru_cache(maxsize=64)
def pain_scores(chosen: str) -> SafeString:
    """Give the scores that pain may have, as options of a list."""
    scores = (str(score) for score in range(int(MOST_PAIN) + 1))
    marked = ((" selected" if score == chosen else "", score) for score in scores)
    return format_html_join("", "<option{}>{}</option>", marked)


def sides_of(test: Test) -> tuple[Side, ...]:
    """Give the sides a test is measured on."""
    return (Side.BOTH,) if test.sides == "both" else (Side.LEFT, Side.RIGHT)


def side_said(side: str) -> str:
    """Name a side at the head of a column."""
    return {Side.LEFT: _("Left"), Side.RIGHT: _("Right"), Side.BOTH: _("Both together")}[Side(side)]


def unit_for(test: Test, *, imperial: bool) -> str:
    """Give the unit somebody writes a test in; empty for words."""
    return IMPERIAL.get(test.unit, test.unit) if imperial else test.unit


def step_of(unit: str) -> float:
    """Give how far one press of minus or plus goes."""
    return STEPS.get(unit, 1.0)


def typed_side(post: Mapping[str, str], side: Side) -> Typed:
    """Read one side of a sent card."""
    return Typed(
        side=side,
        trials=tuple(post.get(f"{side}-{i}", "") for i in range(MOST_TRIALS)),
        answer=post.get(f"{side}-answer", ""),
        could_not=post.get(f"{side}-could", ""),
        pain=post.get(f"{side}-pain", ""),
        where=post.get(f"{side}-where", ""),
        sent_as=post.get(f"{side}-sent", ""),
    )


def number_in(text: str) -> float:
    """
    Read a number; a decimal comma is one too.

    Raises
    ------
    BadInput
        If it is none.
    """
    try:
        return float(text.strip().replace(",", ".").replace("−", "-"))
    except ValueError:
        raise BadInput(
            _("“%(text)s” is not a number; write one, such as 8.5.") % {"text": text}
        ) from None


def uuid_in(text: str) -> UUID:
    """Read the mark that makes a second sending harmless; a new one if there is none."""
    try:
        return UUID(text)
    except ValueError:
        return uuid4()


def measurement_of(
    typed: Typed, key: str, *, method: str, unit: str, after: str = "", catalogue: Catalogue
) -> record.Measurement:
    """
    Turn what was typed into a measurement.

    Raises
    ------
    BadInput
        With what was met and what is needed.
    """
    test = catalogue.tests[key]
    trials = tuple(number_in(text) for text in typed.trials if text.strip())
    if typed.could_not.strip() and (trials or typed.answer):
        raise BadInput(
            _("There is a value and a reason why it could not be done; keep one of them.")
        )
    if not (typed.could_not.strip() or trials or typed.answer):
        raise BadInput(_("There is no value yet; write one, or say why it could not be done."))
    for value in trials:
        _guard(value, unit, test)
    measured = record.Measurement(
        test=key,
        side=typed.side,
        trials=trials,
        unit=unit if trials else "",
        answer=typed.answer,
        method=method,
        could_not=typed.could_not.strip(),
        pain=_pain(typed),
        after=after,
    )
    return checked(measured, catalogue=catalogue)


def _pain(typed: Typed) -> Pain | None:
    if not typed.pain.strip():
        if typed.where.strip():
            raise BadInput(_("Where it hurts is written, but not how much; choose 0 to 10."))
        return None
    score = number_in(typed.pain)
    if not 0 <= score <= 10:
        raise BadInput(_("Pain is a number from 0 to 10."))
    return Pain(score=score, where=typed.where.strip())


def _guard(value: float, unit: str, test: Test) -> None:
    """Refuse what no person reaches, in the unit that was typed."""
    si, hair = to_si(value, unit), 1e-9
    low, high = test.lowest, test.highest
    if isnan(value) or (low and si < low.si - hair) or (high and si > high.si + hair):
        raise BadInput(
            _(
                "%(value)s was typed; this test gives %(low)s to %(high)s."
                " A slip of the pen? Correct it; nothing else is lost."
            )
            % {"value": f"{value:g} {unit}", "low": _in(low, unit), "high": _in(high, unit)}
        )


def _in(limit: Cited | None, unit: str) -> str:
    return _("any") if limit is None else f"{round(from_si(limit.si, unit), 1):g} {unit}"


@dataclass(frozen=True, kw_only=True)
class Correction:
    """What a new row corrects or withdraws, and why."""

    of: Measurement
    reason: str
    withdrawn: bool = False


def keep_measurement(
    visit: Visit,
    measured: record.Measurement,
    *,
    sent_as: UUID,
    by: User,
    after: Treatment | None = None,
    correction: Correction | None = None,
    note: str = "",
) -> Measurement:
    """
    Keep a measurement as one new row; the same page sent twice keeps it once.

    Raises
    ------
    BadInput
        If somebody corrected the same row in the meantime.
    """
    known = Measurement.objects.filter(visit=visit, sent_as=sent_as).first()
    if known is not None:
        return known
    try:
        with transaction.atomic():
            return Measurement.objects.create(
                visit=visit,
                test=measured.test,
                side=measured.side,
                trials=list(measured.trials),
                unit=measured.unit,
                answer=measured.answer,
                method=measured.method,
                tester=str(by) if by != visit.tester else "",
                could_not=measured.could_not,
                pain_score=measured.pain.score if measured.pain else None,
                pain_where=measured.pain.where if measured.pain else "",
                after=after,
                note=note,
                corrects=correction.of if correction else None,
                reason=correction.reason if correction else "",
                withdrawn=correction.withdrawn if correction else False,
                made_by=by,
                sent_as=sent_as,
            )
    except IntegrityError:
        raise BadInput(_("Somebody changed this entry meanwhile; load the page again.")) from None

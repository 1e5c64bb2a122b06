"""
Health answers as a page sends them, kept as one row that nobody rewrites.

A question without an answer stays open: it is never taken for a no.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from django.utils.translation import gettext as _

from countermove import record
from countermove.catalogue import Catalogue, Caution
from countermove.clinic.accounts.models import User
from countermove.clinic.people.convert import clearance_in_force
from countermove.clinic.people.models import Athlete, Clearance, Override
from countermove.errors import BadInput
from countermove.record import Answer, Decision
from countermove.safety import questions_for
from countermove.safety.clearance import HOW_SOON
from countermove.safety.overrides import STOPS

LASTS_MONTHS = 6  # our default; the practitioner may set another day


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question on the page, with what was answered and what a yes leads to."""

    key: str
    text: str
    yes: str
    says: str
    answer: str
    unsure_is_yes: bool


@dataclass(frozen=True, kw_only=True)
class Group:
    """A heading and its questions."""

    name: str
    questions: tuple[Question, ...]


def months_after(day: date, months: int) -> date:
    """
    Give the same day some months later, or the last day of that month.

    Examples
    --------
    >>> months_after(date(2026, 8, 31), 6)
    datetime.date(2027, 2, 28)
    """
    year, month = divmod(day.month - 1 + months, 12)
    last = calendar.monthrange(day.year + year, month + 1)[1]
    return date(day.year + year, month + 1, min(day.day, last))


def groups_for(
    whole: record.Athlete, answers: Mapping[str, str], *, on: date, catalogue: Catalogue
) -> list[Group]:
    """Give the questions to put to this athlete on a day, under their headings."""
    asked = questions_for(whole, on=on, catalogue=catalogue)
    return [
        Group(name=name, questions=tuple(_question(key, c, answers) for key, c in members))
        for name, members in groupby(asked.items(), key=lambda item: item[1].group)
    ]


def _question(key: str, caution: Caution, answers: Mapping[str, str]) -> Question:
    return Question(
        key=key,
        text=caution.question,
        yes=HOW_SOON[caution.leads_to],
        says=caution.says,
        answer=answers.get(key, ""),
        unsure_is_yes=caution.when_unsure == "as yes",
    )


def given_answers(row: Clearance, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Give the questions of a row with their answers, in the catalogue's order, for the reader."""
    cautions = catalogue.cautions.items()
    return [(c.question or key, row.answers[key]) for key, c in cautions if key in row.answers]


def answers_in(
    post: Mapping[str, str], whole: record.Athlete, *, on: date, catalogue: Catalogue
) -> dict[str, str]:
    """
    Read the answers out of a sent page.

    Raises
    ------
    BadInput
        If an answer is none of yes, no, unsure.
    """
    found = {}
    for key in questions_for(whole, on=on, catalogue=catalogue):
        answer = post.get(key, "")
        if answer and answer not in set(Answer):
            raise BadInput(_("An answer was not yes, no or unsure; tap one of the three."))
        if answer:
            found[key] = str(answer)
    return found


def last_day(written: str, asked: date) -> date:
    """
    Read the last day on which the answers count; empty gives the default.

    Raises
    ------
    BadInput
        If it is no date, or lies before the answers.
    """
    if not written:
        return months_after(asked, LASTS_MONTHS)
    try:
        day = date.fromisoformat(written)
    except ValueError:
        raise BadInput(_("The last day is no date; write it as 2027-05-25.")) from None
    if day < asked:
        raise BadInput(_("The last day lies before the day of the answers; choose a later one."))
    return day


def keep_answers(
    athlete: Athlete,
    answers: dict[str, str],
    *,
    asked: date,
    expires: date,
    by: User,
    signed: bool,
    reason: str = "",
) -> Clearance:
    """
    Keep answers as one new row; the same row sent twice stands once.

    Answers of a day on which some were given already correct those, and need a reason.

    Raises
    ------
    BadInput
        If a correction gives no reason.
    """
    last = clearance_in_force(athlete)
    reviewer = by if signed else None
    if last and _same(last, answers, asked, expires, reviewer):
        return last
    corrected = last if last and last.asked == asked else None
    if corrected and not reason.strip():
        raise BadInput(_("Answers of today are on record already; say why they are corrected."))
    return Clearance.objects.create(
        athlete=athlete,
        asked=asked,
        expires=expires,
        answers=answers,
        reviewed_by=reviewer,
        corrects=corrected,
        reason=reason.strip() if corrected else "",
        made_by=by,
    )


def _same(
    last: Clearance, answers: dict[str, str], asked: date, expires: date, reviewer: User | None
) -> bool:
    met = (last.answers, last.asked, last.expires, last.reviewed_by)
    return met == (answers, asked, expires, reviewer)


def sign(row: Clearance, *, by: User, expires: date) -> Clearance:
    """Sign answers that stand unreviewed: a new row, which points to the one it signs."""
    if row.reviewed_by is not None:
        return row
    return Clearance.objects.create(
        athlete=row.athlete,
        asked=row.asked,
        expires=expires,
        answers=row.answers,
        reviewed_by=by,
        corrects=row,
        reason=_("reviewed and signed"),
        made_by=by,
    )


@dataclass(frozen=True, kw_only=True)
class Narrowed:
    """
    One reason as the page shows it.

    Attributes
    ----------
    reason : record.Reason
        As clearance judged it.
    lifted_before : Override or None
        The latest override of the same caution on earlier answers, which counts no more.
    """

    reason: record.Reason
    lifted_before: Override | None


def with_earlier_lifts(
    reasons: Iterable[record.Reason], athlete: Athlete, row: Clearance | None
) -> list[Narrowed]:
    """Put beside each narrowing reason in force how it was lifted on earlier answers."""
    earlier = Override.objects.filter(clearance__athlete=athlete).exclude(clearance=row)
    latest = {one.caution: one for one in earlier.select_related("by").order_by("pk")}
    return [Narrowed(reason=one, lifted_before=_lifted_before(one, latest)) for one in reasons]


def _lifted_before(reason: record.Reason, latest: Mapping[str, Override]) -> Override | None:
    if reason.overridden or reason.decision is not Decision.NARROWER:
        return None
    return latest.get(reason.caution)


def lift(
    row: Clearance, caution: str, *, by: User, reason: str, on: date, catalogue: Catalogue
) -> Override:
    """
    Lift a narrowing caution, with a reason that stays in sight.

    It belongs to these signed answers: newer ones need it again.

    Raises
    ------
    BadInput
        Without a reason, before the answers are signed, or if the caution is a stop, which cannot
        be lifted here.
    """
    if row.reviewed_by is None:
        raise BadInput(_("Sign the answers first; a caution is lifted on what was read."))
    if not reason.strip():
        raise BadInput(_("Lifting a caution needs a reason; it stays on the record."))
    entry = catalogue.cautions.get(caution)
    if entry is None or entry.leads_to in STOPS:
        raise BadInput(_("A stop cannot be lifted here; somebody else decides first."))
    same = row.overrides.filter(caution=caution, by=by, on=on, reason=reason.strip()).first()
    return same or Override.objects.create(
        clearance=row, caution=caution, reason=reason.strip(), on=on, by=by
    )

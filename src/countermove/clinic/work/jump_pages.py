"""What the pages of the jump show, gathered from rows, files and the record."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from django.http import Http404
from django.utils.safestring import SafeString
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from countermove import record
from countermove.catalogue import Catalogue, Test, load_catalogue
from countermove.charts import force_at_zero, moved_from, points_of, span_shown, trace_svg
from countermove.clinic.people.consents import against_testing
from countermove.clinic.visits.convert import athlete_record, standing
from countermove.clinic.visits.models import Recording, Visit
from countermove.clinic.work.examinations import cleared_on
from countermove.clinic.work.jump_facts import (
    Event,
    Fact,
    Scale,
    Time,
    cautions_of,
    event_name,
    events_of,
    facts_of,
    give_or_take,
    height_words,
    standing_words,
    times_of,
)
from countermove.clinic.work.jump_trials import (
    MarkedTrial,
    marked_trials,
    summed_up,
    trace_of,
)
from countermove.errors import CountermoveError
from countermove.examination.jump_summaries import usable_heights
from countermove.figure import Moment, jump_moments, usual_proportions
from countermove.record import ClearanceResult, JumpKind, JumpResult, Trial
from countermove.recordings import ForceTrace
from countermove.safety import clear, may_test

NARROW_LEAD_S = 0.15  # of standing, shown on a phone (our default)
FIGURE_PX = {False: 108.0, True: 62.0}  # the standing figure, wide and narrow
BEFORE_S, AFTER_S = 12.0, 5.0  # of take-off and landing, for the page's script (our default)


def why_closed(visit: Visit, catalogue: Catalogue) -> dict[JumpKind, str]:
    """Give the jumps that consent or clearance closes, each with its reason."""
    unagreed = against_testing(visit.athlete, localdate())
    if unagreed:
        return dict.fromkeys(JumpKind, f"{unagreed}.")
    whole = athlete_record(visit.athlete)
    is_latest = visit.date == max(one.date for one in whole.visits)
    day = cleared_on(whole) if is_latest else visit.date
    judged = clear(whole, on=day, catalogue=catalogue)
    reasons = {kind: _closed(kind, judged, catalogue) for kind in JumpKind}
    return {kind: reason for kind, reason in reasons.items() if reason}


def _closed(kind: JumpKind, judged: ClearanceResult, catalogue: Catalogue) -> str:
    against = may_test(catalogue.tests[kind.value], judged)
    if against:
        return against[0]
    if judged.jumping:
        return ""
    return judged.reasons[0].text if judged.reasons else _("jumping is closed")


@dataclass(frozen=True, kw_only=True)
class Line:
    """One trial in the list of a visit."""

    marked: MarkedTrial
    place: int
    height: str
    doubt: bool
    moved: str

    @property
    def key(self) -> uuid.UUID:
        """Of its recording."""
        return self.marked.recording.sent_as


@dataclass(frozen=True, kw_only=True)
class Series:
    """All trials of one kind of jump at a visit, and what they say together."""

    kind: JumpKind
    name: str
    text: str
    fewer: str
    lines: tuple[Line, ...]

    def place_of(self, marked: MarkedTrial) -> int:
        """Give which of these a trial is, from 1; 0 if it is of another kind."""
        names = [(line.key, line.marked.trial.number) for line in self.lines]
        name = (marked.recording.sent_as, marked.trial.number)
        return names.index(name) + 1 if name in names else 0


@dataclass(frozen=True, kw_only=True)
class Told:
    """The trials of a visit by kind; recordings that could not be used, or were withdrawn."""

    series: tuple[Series, ...]
    unused: tuple[str, ...]
    withdrawn: tuple[Recording, ...]


def trials_told(visit: Visit, catalogue: Catalogue, scale: Scale) -> Told:
    """Give every trial of a visit, rejected ones with their reason."""
    found: list[MarkedTrial] = []
    unused = []
    for row in standing(visit.recordings.all()):
        try:
            found += marked_trials(row)
        except (CountermoveError, OSError) as error:
            unused.append(f"{row.name}: {error}")
    series = tuple(
        Series(
            kind=result.kind,
            name=catalogue.tests[result.kind.value].name,
            text=result.text,
            fewer=_fewer(result, catalogue.tests[result.kind.value]),
            lines=_lines(trials, scale),
        )
        for result, trials in summed_up(found, catalogue)
    )
    withdrawn = visit.recordings.filter(withdrawn=True).select_related("made_by").order_by("pk")
    return Told(series=series, unused=tuple(unused), withdrawn=tuple(withdrawn))


def _fewer(result: JumpResult, test: Test) -> str:
    """Say it if fewer trials can be used than the test asks for; empty otherwise."""
    used, asked = len(usable_heights(result.trials)), round(test.trials.value)
    if used >= asked:
        return ""
    return ngettext(
        "%(used)d usable trial; the test asks for %(asked)d (%(source)s). Jump again today, or read"
        " the mean with more care.",
        "%(used)d usable trials; the test asks for %(asked)d (%(source)s). Jump again today, or"
        " read the mean with more care.",
        used,
    ) % {"used": used, "asked": asked, "source": test.trials.status.value.replace("-", " ")}


def _lines(trials: Iterable[MarkedTrial], scale: Scale) -> tuple[Line, ...]:
    return tuple(
        Line(
            marked=one,
            place=place,
            height=height_words(one.trial, scale),
            doubt=one.trial.worst() in (record.Severity.DOUBT, record.Severity.REFUSE),
            moved=_moved(one),
        )
        for place, one in enumerate(trials, 1)
    )


def _moved(one: MarkedTrial) -> str:
    """Name what a hand moved of a trial; empty if nothing."""
    return ", ".join(event_name(row.what) for row in one.marks.moved)


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One trial on its page."""

    marked: MarkedTrial
    height: str
    error: str
    words: str
    moved: str
    plates: str
    wide: SafeString
    narrow: SafeString
    marks: str
    facts: list[Fact]
    times: list[Time]
    events: list[Event]
    cautions: list[str]

    @property
    def trial(self) -> Trial:
        """The trial itself."""
        return self.marked.trial


def trial_shown(row: Recording, number: int, scale: Scale) -> Shown:
    """
    Gather what the page of a trial shows; 404 if the recording holds no such trial.

    Raises
    ------
    RecordingError, OSError
        If the file cannot be read.
    """
    trace = trace_of(row)
    marked = one_trial(marked_trials(row, trace), number)
    trial = marked.trial
    points = points_of(trace, trial, length_unit=scale.length, found=marked.found)
    return Shown(
        marked=marked,
        height=height_words(trial, scale),
        error=give_or_take(trial, scale),
        words=standing_words(trial),
        moved=_moved(marked),
        plates=_plates(trace),
        wide=_drawing(trace, marked, scale, narrow=False),
        narrow=_drawing(trace, marked, scale, narrow=True),
        marks=json.dumps(_marks(trace, marked, scale)),
        facts=facts_of(trial, points, scale),
        times=times_of(trial),
        events=events_of(trial, marked.found),
        cautions=cautions_of(trial, scale),
    )


def one_trial(trials: Iterable[MarkedTrial], number: int) -> MarkedTrial:
    """Give a trial by its number; 404 if there is none."""
    for one in trials:
        if one.trial.number == number:
            return one
    raise Http404


def _drawing(trace: ForceTrace, marked: MarkedTrial, scale: Scale, *, narrow: bool) -> SafeString:
    key = "narrow-trace" if narrow else "wide-trace"
    svg = trace_svg(
        trace,
        marked.trial,
        length_unit=scale.length,
        narrow=narrow,
        key=key,
        moments=small_figures(marked.trial.kind is JumpKind.CMJ_ARMS, narrow=narrow),
        found=marked.found,
    )
    return SafeString(svg)  # ours throughout; what it quotes was escaped there


@cache
def small_figures(arms: bool, *, narrow: bool) -> tuple[Moment, ...]:
    """Draw the figures over a trace, of usual proportions; once a process."""
    usual = usual_proportions(load_catalogue())
    return jump_moments(usual, height_px=FIGURE_PX[narrow], arms=arms)


def _plates(trace: ForceTrace) -> str:
    words = {1: _("one plate"), 2: _("two plates")}
    count = trace.force_n.shape[0]
    plates = words.get(count, _("%(n)d plates") % {"n": count})
    return f"{plates}, {trace.rate_hz:g} Hz"


def _marks(trace: ForceTrace, marked: MarkedTrial, scale: Scale) -> dict[str, Any]:
    """Give the page's script what it draws besides the force."""
    trial = marked.trial
    sides = ["" if side is None else side.value for side in trace.sides]
    return {
        "start": _span(trace, marked.found)[0] / trace.rate_hz + trace.start_s,
        "rate": trace.rate_hz,
        "sides": sides,
        "weight": trial.weight_n,
        "view": span_shown(trace, trial),
        "narrow_view": span_shown(trace, trial, lead_s=NARROW_LEAD_S),
        "was_found": moved_from(trial, marked.found),
        "phases": [[p.name, p.start_s, p.end_s] for p in trial.phases],
        "points": [
            [p.key, p.letter, p.time_s, p.force_n, p.text, p.under]
            for p in points_of(trace, trial, length_unit=scale.length, found=marked.found)
        ],
    }


def _span(trace: ForceTrace, found: Trial) -> tuple[int, int]:
    """
    Give the samples around a trial that its page may scroll over.

    Of the trial as found: the signal is kept by the browser, and marks must not shift it.
    """
    takeoff = found.takeoff_s or trace.start_s
    last = takeoff if found.landing_s is None else found.landing_s
    first_sample = round((takeoff - BEFORE_S - trace.start_s) * trace.rate_hz)
    last_sample = round((last + AFTER_S - trace.start_s) * trace.rate_hz)
    return max(0, first_sample), min(trace.force_n.shape[1], last_sample)


def signal_of(row: Recording, number: int) -> bytes:
    """
    Give the force around a trial for the page's script: float32, little end first, plate by plate.

    Raises
    ------
    RecordingError, OSError
        If the file cannot be read.
    """
    trace = trace_of(row)
    trial = one_trial(marked_trials(row, trace), number).found
    first, last = _span(trace, trial)
    return np.ascontiguousarray(force_at_zero(trace, trial)[:, first:last], dtype="<f4").tobytes()

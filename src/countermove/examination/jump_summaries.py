"""
All trials of one kind of jump at a visit, and what they say together.

The height is the mean of the trials that were not refused, by impulse only (heights of two methods
are never mixed). Its error is the larger of two: the published change from day to day of a jumper
in whom nothing changed, and what the scatter of the athlete's own trials leaves of their mean.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from statistics import fmean, median, stdev, variance
from typing import NamedTuple

from scipy.special import stdtrit

from countermove.catalogue import Catalogue
from countermove.errors import BadInput
from countermove.examination.measurement_errors import Z95, KnownError, error_of, half_width
from countermove.examination.sentences import centimetres, listed, sources_named
from countermove.record import JumpKind, JumpResult, QualityNote, Severity, Trial

# Below this much more than the squat jump, the countermovement "gains little" (our default). 2 to
# 4 cm is the order met in the literature (Bobbert and Casius, Med. Sci. Sports Exerc. 37, 2005).
LITTLE_GAIN_M = 0.02
# Clothes, shoes and some weeks move body mass by less; more is another athlete, an old record or a
# slip of the pen (our default).
OTHER_MASS = 0.05
ONE_SIDED_97_5 = 0.975


def summarise(
    kind: JumpKind, trials: Sequence[Trial], *, catalogue: Catalogue, mass_kg: float | None = None
) -> JumpResult:
    """
    Put the trials of one kind together.

    Parameters
    ----------
    kind : JumpKind
        The jump that was asked for; its test has the same key in the catalogue.
    trials : sequence of Trial
        From all recordings of that kind at the visit.
    catalogue : Catalogue
        Holds the test and its errors.
    mass_kg : float, optional
        Body mass on record. A plate that weighs another one is told: it may be another athlete.

    Returns
    -------
    JumpResult
        Height and error in metres; both None if no trial can be used.
    """
    heights = usable_heights(trials)
    known = _known(kind, heights, catalogue)
    height = fmean(heights) if heights else None
    error = _error(heights, known)
    return JumpResult(
        kind=kind,
        trials=tuple(trials),
        height_m=height,
        error_m=error,
        text=_sentence(kind, trials, heights, error, known, catalogue)
        + weighed_otherwise(trials, mass_kg),
        quality=notes_of(trials),
        sources=known.sources if known else (),
    )


def usable_heights(trials: Sequence[Trial]) -> tuple[float, ...]:
    """Give the heights by impulse of the trials that were not refused. [m]"""
    return tuple(
        trial.height_impulse_m
        for trial in trials
        if trial.height_impulse_m is not None and trial.worst() is not Severity.REFUSE
    )


def weighed_otherwise(trials: Sequence[Trial], mass_kg: float | None) -> str:
    """Ask whose recording it is if the plate weighs another mass than the record says."""
    weighed = [trial.mass_kg for trial in trials if trial.mass_kg is not None]
    if not weighed or mass_kg is None:
        return ""
    plate = median(weighed)
    if abs(plate - mass_kg) <= OTHER_MASS * mass_kg:
        return ""
    return (
        f" The plate weighed {plate:.1f} kg, the record says {mass_kg:.1f} kg: make sure that it"
        " is this athlete's recording, and weigh again."
    )


def notes_of(trials: Sequence[Trial]) -> tuple[QualityNote, ...]:
    """Give every kind of note once, at its gravest, gravest first."""
    order = list(Severity)
    gravest: dict[str, QualityNote] = {}
    for note in (note for trial in trials for note in trial.quality):
        held = gravest.get(note.code)
        if held is None or order.index(note.severity) > order.index(held.severity):
            gravest[note.code] = note
    return tuple(sorted(gravest.values(), key=lambda note: -order.index(note.severity)))


def _known(kind: JumpKind, heights: Sequence[float], catalogue: Catalogue) -> KnownError | None:
    test = catalogue.tests.get(kind.value)
    if test is None or not heights:
        return None
    return error_of(test, fmean(heights), method=test.methods[0])


def _error(heights: Sequence[float], known: KnownError | None) -> float | None:
    """Give the 95 % half-width of a mean height; None where nothing tells it."""
    bands = [half_width(known.sem)] if known else []
    if len(heights) > 1:
        bands.append(Z95 * stdev(heights) / sqrt(len(heights)))
    return max(bands, default=None)


def _sentence(
    kind: JumpKind,
    trials: Sequence[Trial],
    heights: Sequence[float],
    error: float | None,
    known: KnownError | None,
    catalogue: Catalogue,
) -> str:
    test = catalogue.tests.get(kind.value)
    name = kind.value if test is None else test.name
    if not heights:
        return f"{name}: no height, none of {len(trials)} trials can be used. Jump again."
    each = listed(centimetres(height).removesuffix(" cm") for height in heights)
    of = f"mean of {len(heights)} trials ({each} cm)" if len(heights) > 1 else "one trial"
    refused = len(trials) - len(heights)
    left_out = f", {refused} more not used" if refused else ""
    give = _give_or_take(error, known, catalogue)
    doubt = " Doubted: see the notes." if _doubted(trials) else ""
    return f"{name}: {centimetres(fmean(heights))} by impulse, {of}{left_out}{give}.{doubt}"


def _give_or_take(error: float | None, known: KnownError | None, catalogue: Catalogue) -> str:
    if error is None:
        return "; one trial and no published error: how far it strays is not known"
    named = f" ({sources_named(known.sources, catalogue)})" if known else " (own trials)"
    return f", give or take {centimetres(error)} from day to day{named}"


def _doubted(trials: Sequence[Trial]) -> bool:
    return any(trial.worst() is Severity.DOUBT for trial in trials)


class Gain(NamedTuple):
    """How much higher the countermovement jump is, with the 95 % interval. [m]"""

    difference: float
    low: float
    high: float


def countermovement_gain(cmj_m: Sequence[float], sj_m: Sequence[float]) -> Gain:
    """
    How much the countermovement adds to the height of the squat jump.

    Both kinds come from one visit, so the error is that of the trials of this day: the interval is
    Student's, with the scatter of both kinds pooled. It describes; more is not better by itself,
    since a poor squat jump makes it large too.

    Parameters
    ----------
    cmj_m, sj_m : sequence of float
        Heights of the trials of either kind, by one method. [m]

    Raises
    ------
    BadInput
        If either kind has fewer than two trials.

    References
    ----------
    .. [1] Student's two-sample interval, any textbook of statistics.
    .. [2] Z. Kozinc and others, Int. J. Environ. Res. Public Health 18 (2021) 11754: a high ratio
       of the two was of no use in volleyball players.
    """
    n, m = len(cmj_m), len(sj_m)
    if n < 2 or m < 2:
        raise BadInput(f"{n} and {m} trials were met; two of either kind are needed for an error")
    freedom = n + m - 2
    pooled = ((n - 1) * variance(cmj_m) + (m - 1) * variance(sj_m)) / freedom
    half = float(stdtrit(freedom, ONE_SIDED_97_5)) * sqrt(pooled * (1 / n + 1 / m))
    difference = fmean(cmj_m) - fmean(sj_m)
    return Gain(difference, difference - half, difference + half)


def gains_little(gain: Gain, *, little_m: float = LITTLE_GAIN_M) -> bool:
    """Tell whether the whole interval of the gain lies below what we call little (our default)."""
    return gain.high < little_m


def gain_of(jumps: Sequence[JumpResult]) -> Gain | None:
    """Give the gain at a visit; None without two usable, undoubted trials of either kind."""
    heights = {
        jump.kind: usable_heights(jump.trials) for jump in jumps if not _doubted(jump.trials)
    }
    cmj, sj = heights.get(JumpKind.CMJ, ()), heights.get(JumpKind.SJ, ())
    if len(cmj) < 2 or len(sj) < 2:
        return None
    return countermovement_gain(cmj, sj)


def gain_sentence(gain: Gain) -> str:
    """Say what the countermovement adds; an observation, nothing asked for."""
    interval = f"{centimetres(gain.low).removesuffix(' cm')} to {centimetres(gain.high)}"
    adds = f"The countermovement adds {centimetres(gain.difference)} ({interval})"
    if gains_little(gain):
        little = f"{100 * LITTLE_GAIN_M:g} cm"
        return f"{adds} to the squat jump: little, below {little} (our default)."
    return f"{adds} to the squat jump; more is not better by itself."

"""
Which pattern fits at the ankle: stiff joint, calf muscle across the knee, or the rest of the calf.

A pattern is something to confirm by hand, never a diagnosis.

The bent-knee lunge, the straight-knee lunge against its own limit, and where the end is felt decide
together. The gap between straight and bent says nothing alone: healthy people already have 13 to 14
degrees of it (Baumbach 2014).

====================  ====================  ==============  =======================
bent-knee lunge       straight-knee lunge   felt            fits
====================  ====================  ==============  =======================
short                 not *meets*           front pinch     joint
short                 not *meets*           calf stretch    soleus or whole calf
meets                 short                 no front pinch  gastrocnemius
anything else                                               no pattern fits
====================  ====================  ==============  =======================

With the bent knee short, a straight knee that was not measured or is too close leaves the pattern
as it is (the joint and the deep calf limit both); one that *meets* contradicts it: measure again.
"""

from __future__ import annotations

from collections.abc import Iterable

from countermove.record import Grade, Measurement, Side, Verdict

JOINT = "joint"
GASTROCNEMIUS = "gastrocnemius"
CALF = "soleus or whole calf"
NO_PATTERN = "no pattern fits"
PATTERNS = (JOINT, GASTROCNEMIUS, CALF, NO_PATTERN)

# The catalogue's tests that the table reads, and the answers of the last.
BENT_KNEE = ("lunge_distance", "lunge_distance_half_kneeling", "lunge_angle")
STRAIGHT_KNEE = "lunge_angle_knee_straight"
FELT = "lunge_felt"
PINCH, STRETCH = "front_pinch", "calf_stretch"
NOT_CALF = (PINCH, "both")

# A heuristic of the trade (common practice): said wherever a pinch in front is.
PINCH_RULE = " Do not stretch into the pinch; if it stays, or the ankle locks, refer."
SAYS = {
    JOINT: "fits a stiff joint",
    GASTROCNEMIUS: "fits a short calf muscle that crosses the knee (gastrocnemius)",
    CALF: "fits a short soleus or whole calf",
    NO_PATTERN: "no pattern fits",
}


def ankle_pattern(bent: str, straight: str, felt: str) -> str:
    """
    Give the pattern that fits the lunges of one ankle.

    Parameters
    ----------
    bent, straight : str
        Verdict on the lunge with the knee bent and with the knee straight: ``"meets"``,
        ``"short"``, ``"too close to call"`` or ``"not measured"``.
    felt : str
        Where the end of the bent-knee lunge was felt: ``"front_pinch"``, ``"calf_stretch"``,
        ``"both"``, ``"nothing_or_even"``; empty if nobody asked.

    Returns
    -------
    str
        One of ``"joint"``, ``"gastrocnemius"``, ``"soleus or whole calf"``, ``"no pattern fits"``.

    Raises
    ------
    ValueError
        If a verdict is not one of the four words.

    References
    ----------
    .. [1] The table is our default, built from end-feel heuristics of the trade (common practice)
       and S. Baumbach and others, BMC Musculoskelet. Disord. 15 (2014) 246: straight-knee lunge
       25 degrees (95 % CI of the mean 22-28) in healthy adults.

    Examples
    --------
    >>> ankle_pattern("short", "short", "front_pinch")
    'joint'
    """
    knee_bent, knee_straight = Verdict(bent), Verdict(straight)
    if knee_bent is Verdict.SHORT and knee_straight is not Verdict.MEETS:
        return {PINCH: JOINT, STRETCH: CALF}.get(felt, NO_PATTERN)
    if knee_bent is Verdict.MEETS and knee_straight is Verdict.SHORT and felt not in NOT_CALF:
        return GASTROCNEMIUS
    return NO_PATTERN


def bent_knee_verdict(verdicts: Iterable[Verdict]) -> Verdict:
    """
    Put the bent-knee lunges of one ankle together; two that disagree are too close to call.

    A distance and an angle are never averaged: where one meets and the other is short, both stand
    and are to be measured again.
    """
    met = set(verdicts) - {Verdict.NOT_MEASURED}
    if {Verdict.MEETS, Verdict.SHORT} <= met:
        return Verdict.TOO_CLOSE
    for verdict in (Verdict.SHORT, Verdict.TOO_CLOSE, Verdict.MEETS):
        if verdict in met:
            return verdict
    return Verdict.NOT_MEASURED


def pattern_of(grades: Iterable[Grade], felt: Iterable[Measurement], side: Side) -> str:
    """
    Give the pattern of one ankle from a visit's grades and answers.

    Returns
    -------
    str
        As `ankle_pattern`; empty if none of its tests falls short on this side.
    """
    own = [grade for grade in grades if grade.side is side]
    bent = bent_knee_verdict(g.verdict for g in own if g.test in BENT_KNEE)
    straight = next((g.verdict for g in own if g.test == STRAIGHT_KNEE), Verdict.NOT_MEASURED)
    if Verdict.SHORT not in (bent, straight):
        return ""
    answers = [m.answer for m in felt if m.test == FELT and m.side is side and not m.after]
    return ankle_pattern(bent, straight, answers[0] if answers else "")


def pattern_sentence(pattern: str, side: Side) -> str:
    """Say a pattern of one ankle; empty without one."""
    if not pattern:
        return ""
    if pattern == NO_PATTERN:
        return f"The {side} ankle: {SAYS[pattern]}; examine it by hand."
    careful = PINCH_RULE if pattern == JOINT else ""
    return f"The {side} ankle: {SAYS[pattern]}; confirm by hand.{careful}"

"""
What pain during a test or drill allows, on the 0-10 scale.

Two zone sets are in print: 0-2, 2-5 and 5-10 (Thomee 1997) and one whose first zone ends at 3
(as circulated for the Achilles tendon). The stricter is our default. A missing score never counts
as none.
"""

from __future__ import annotations

from collections.abc import Iterable

from countermove.errors import BadInput
from countermove.record import Measurement

# R. Thomee, Phys. Ther. 77 (1997): 0-2 safe, 2-5 acceptable, 5-10 high risk (from memory).
CALM_UP_TO = 2.0
STOP_ABOVE = 5.0
MOST_PAIN = 10.0


def pain_action(
    score: float | None, *, calm_up_to: float = CALM_UP_TO, stop_above: float = STOP_ABOVE
) -> str:
    """
    Say what a pain score during the work allows.

    Parameters
    ----------
    score : float or None
        0 (none) to 10 (worst imaginable); None if nobody asked.
    calm_up_to, stop_above : float, optional
        Ends of the first and second zone, both included.

    Returns
    -------
    str
        ``"go on"``, ``"hold"`` (no more load than now; also when the score is missing) or
        ``"stop"``.

    Raises
    ------
    BadInput
        If the score is not between 0 and 10.

    References
    ----------
    .. [1] R. Thomee, "A comprehensive treatment approach for patellofemoral pain syndrome in young
       women," Phys. Ther., vol. 77, pp. 1690-1703, 1997 (from memory).
    """
    if score is None:
        return "hold"
    if not 0 <= score <= MOST_PAIN:
        raise BadInput(f"pain {score:g} was met, a score from 0 to 10 is needed")
    if score > stop_above:
        return "stop"
    return "hold" if score > calm_up_to else "go on"


def worst_pain(measurements: Iterable[Measurement]) -> float:
    """Give the highest pain said in some tests; 0 if none was said."""
    return max((m.pain.score for m in measurements if m.pain is not None), default=0.0)

"""
The small chain: five joints in a row, ankle first, for lists and for rows answered in words.

On the line meets, hanging below is short, crossing is too close to call, a break in the line is not
measured: the shapes differ, so no colour is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from itertools import pairwise

from countermove.record import Link, Verdict

STEP_PX = 32
LINE_PX = 14
RADIUS_PX = 6
WIDTH_PX, HEIGHT_PX = 156, 34


def small_chain(verdicts: Sequence[str], *, say: Callable[[str], str] = str) -> str:
    """
    Draw a chain.

    Parameters
    ----------
    verdicts : sequence of str
        Words of `Verdict`, ankle first; links left out are not measured.
    say : callable, optional
        Translates words.

    Returns
    -------
    str
        SVG with its words in a label; no style and no script.

    Raises
    ------
    ValueError
        If a word is no verdict.
    """
    given = [Verdict(word) for word in verdicts][: len(Link)]
    chain = given + [Verdict.NOT_MEASURED] * (len(Link) - len(given))
    label = "; ".join(f"{say(link)} {say(v)}" for link, v in zip(Link, chain, strict=True))
    parts = [_between(i, pair) for i, pair in enumerate(pairwise(chain))]
    parts += [joint(LINE_PX + STEP_PX * i, LINE_PX, verdict) for i, verdict in enumerate(chain)]
    return (
        f'<svg class="chain" width="{WIDTH_PX}" height="{HEIGHT_PX}"'
        f' viewBox="0 0 {WIDTH_PX} {HEIGHT_PX}" role="img" aria-label="{escape(label)}">'
        f"{''.join(parts)}</svg>"
    )


def _between(place: int, pair: tuple[Verdict, Verdict]) -> str:
    """Draw the piece of line between two joints, faint where one of them is not measured."""
    kind = "hair" if Verdict.NOT_MEASURED in pair else "axis"
    start = LINE_PX + STEP_PX * place + RADIUS_PX + 1
    return f'<path class="{kind}" d="M{start} {LINE_PX}h{STEP_PX - 2 * RADIUS_PX - 2}"/>'


def joint(x: float, y: float, verdict: Verdict) -> str:
    """
    Draw one joint on a line at height `y`, in the shape of its verdict.

    Parameters
    ----------
    x, y : float
        Where the joint sits on the line. [px]
    verdict : Verdict
        Decides the shape.
    """
    r = RADIUS_PX
    if verdict is Verdict.MEETS:
        return f'<circle class="half" cx="{x:g}" cy="{y:g}" r="{r}"/>'
    if verdict is Verdict.SHORT:
        hook = f'<path class="axis" d="M{x - 7:g} {y:g}h14M{x:g} {y:g}v4"/>'
        return f'{hook}<circle class="ring" cx="{x:g}" cy="{y + 10:g}" r="{r}"/>'
    if verdict is Verdict.TOO_CLOSE:
        disc = f'<circle class="half open" cx="{x:g}" cy="{y:g}" r="{r}"/>'
        return f'{disc}<path class="axis" d="M{x - 9:g} {y:g}h18"/>'
    return f'<path class="cap" d="M{x - 3:g} {y - 4:g}v8M{x + 3:g} {y - 4:g}v8"/>'

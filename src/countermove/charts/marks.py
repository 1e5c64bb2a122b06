"""The marks of a row as SVG: posts, half-discs, error bands with caps, target, gap, thread."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from countermove.record import Side

RADIUS_PX = 6.5
APART_PX = 3.0  # from the post to the flat side of a half-disc, so that two never merge to one disc
BAND_PX = 10.0


def n(value: float) -> str:
    """Write a coordinate with one decimal."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def post(x: float, height: float, *, latest: bool) -> str:
    """Draw the upright of a visit: ink for the latest, grey for those before."""
    kind = "post" if latest else "post past"
    return f'<path class="{kind}" d="M{n(x)} 0V{n(height)}"/>'


def target(y: float, width: float, words: str, *, below: bool = False) -> str:
    """Draw what is asked: a violet line with an end stop, its words at the right end."""
    at = y + 17 if below else y - 6
    line = f'<path class="target" d="M0 {n(y - 4)}v8M0 {n(y)}H{n(width)}"/>'
    return f'{line}<text class="ask end" x="{n(width)}" y="{n(at)}">{escape(words)}</text>'


def middle(x: float, side: Side) -> float:
    """Give the middle of a side's band: left of the post, right of it, or on it."""
    if side is Side.BOTH:
        return x
    away = APART_PX + BAND_PX / 2
    return x - away if side is Side.LEFT else x + away


def band(x: float, top: float, bottom: float, side: Side) -> str:
    """Draw the error of a side as a tint with end caps."""
    half = BAND_PX if side is Side.BOTH else BAND_PX / 2
    left = middle(x, side) - half
    caps = f"M{n(left)} {n(top)}h{n(2 * half)}M{n(left)} {n(bottom)}h{n(2 * half)}"
    return (
        f'<rect class="error" x="{n(left)}" y="{n(top)}" width="{n(2 * half)}"'
        f' height="{n(bottom - top)}"/><path class="cap" d="{caps}"/>'
    )


def disc(x: float, y: float, side: Side) -> str:
    """Draw a value: left half, right half, or a whole disc for both sides together."""
    if side is Side.BOTH:
        return f'<circle class="half" cx="{n(x)}" cy="{n(y)}" r="{RADIUS_PX}"/>'
    flat = x - APART_PX if side is Side.LEFT else x + APART_PX
    sweep = 0 if side is Side.LEFT else 1
    r = RADIUS_PX
    return (
        f'<path class="half" d="M{n(flat)} {n(y - r)}A{r} {r} 0 0 {sweep} {n(flat)} {n(y + r)}Z"/>'
    )


def number(x: float, y: float, side: Side, words: str, *, latest: bool) -> str:
    """Write a value beside its mark, outward."""
    kind = "big" if latest else "soft"
    if side is Side.LEFT:
        kind, at = f"{kind} end", x - 18
    else:
        at = x + 18
    return f'<text class="{kind}" x="{n(at)}" y="{n(y + 5)}">{escape(words)}</text>'


def thread(points: Sequence[tuple[float, float]]) -> str:
    """Join the values of one side from visit to visit; nothing for fewer than two."""
    if len(points) < 2:
        return ""
    path = " L".join(f"{n(x)} {n(y)}" for x, y in points)
    return f'<path class="thread" d="M{path}"/>'


def gap(x: float, y: float, asked: float, side: Side) -> str:
    """Draw what is missing beyond the error, from the end of the band to what is asked."""
    away = APART_PX + BAND_PX + 2
    at = x - away if side is Side.LEFT else x + away
    return f'<path class="gap" d="M{n(at)} {n(y)}V{n(asked)}"/>'


def svg(parts: Sequence[str], width: float, height: float, title: str, desc: str) -> str:
    """Put marks into a drawing with its words: a title, and a description of every value."""
    label = escape(f"{title}: {desc}")
    return (
        f'<svg width="{n(width)}" height="{n(height)}" viewBox="0 0 {n(width)} {n(height)}"'
        f' role="img" aria-label="{label}"><title>{escape(title)}</title>'
        f"<desc>{escape(desc)}</desc>{''.join(parts)}</svg>"
    )

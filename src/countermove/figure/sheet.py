"""One page with every picture and its name, to look at each of them."""

from __future__ import annotations

from html import escape
from importlib import resources
from typing import Literal

from countermove.catalogue import Catalogue
from countermove.figure.draw import draw_drill, draw_test
from countermove.figure.pen import INK, PAPER, PENCIL, SERIF
from countermove.figure.proportions import Proportions

SHEET = f"""
body {{ margin: 1.5rem; background: {PAPER}; color: {INK}; font: 1.0625rem/1.4 {SERIF}; }}
h1 {{ font-weight: 400; }}
h2 {{ font-style: italic; font-weight: 400; }}
.sheet {{ display: flex; flex-wrap: wrap; gap: 2.5rem 3.5rem; align-items: end; }}
figure {{ margin: 0; max-width: 100%; }}
figcaption {{ color: {PENCIL}; }}
svg {{ display: block; max-width: 100%; height: auto; }}
@media print {{ body {{ background: none; }} figure {{ break-inside: avoid; }} }}
"""


def style_sheet() -> str:
    """Give the style sheet for the clinic to serve: it hides motion from those who ask for less."""
    return (resources.files("countermove.figure") / "figure.css").read_text(encoding="utf-8")


def contact_sheet(
    catalogue: Catalogue,
    *,
    animated: bool = False,
    small: bool = False,
    side: Literal["right", "left"] = "right",
    proportions: Proportions | None = None,
) -> str:
    """
    Draw everything on one page.

    Parameters
    ----------
    catalogue : Catalogue
        Its tests and drills, in its order.
    animated, small, side
        As in `draw_pose`.
    proportions : Proportions, optional
        Whom to draw.

    Returns
    -------
    str
        HTML with one style sheet in its head, no style attribute and no script.
    """
    parts = []
    for heading, entries, draw in (
        ("Tests", catalogue.tests, draw_test),
        ("Drills", catalogue.drills, draw_drill),
    ):
        parts.append(f'<h2>{heading}</h2><div class="sheet">')
        for key, entry in entries.items():
            picture = draw(
                key, catalogue, animated=animated, proportions=proportions, small=small, side=side
            )
            name = f"{escape(entry.name)} ({key})"
            parts.append(f"<figure>{picture}<figcaption>{name}</figcaption></figure>")
        parts.append("</div>")
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Every picture</title>'
        f"<style>{SHEET}{style_sheet()}</style></head>"
        f"<body><h1>Every picture</h1>{''.join(parts)}</body></html>\n"
    )

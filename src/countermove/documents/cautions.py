"""
The cautions on every sheet: when to stop, what to leave out, whom to ask.

The pain rule is the stricter of those in print: 0 to 2 of 10 is calm (R. Thomee, Phys. Ther. 77,
1997, from memory), and without a managed tendon pain any pain of calf or Achilles tendon stops the
drill (our default). What says stop at once, and what cannot wait, is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from countermove.documents.athlete_words import CLOSED, spoken_date
from countermove.documents.parts import Line, Part, Practice
from countermove.examination.sentences import listed, opening
from countermove.safety.pain import CALM_UP_TO


def left_out(closed: Sequence[str]) -> Part:
    """Say in plain words what clearance closes."""
    return Part(
        heading="Leave out for now",
        lines=(
            Line(
                strong=f"{opening(listed(CLOSED.get(tag, tag) for tag in closed))}.",
                text="This follows from what you told us about your health. In your own sport too:"
                " ask before you take any of it up again.",
            ),
        ),
    )


def stop_rules(practice: Practice) -> Part:
    """Give the rules that stand above every drill, strictest of the listed ones (our default)."""
    return Part(
        heading="Before you start: when to stop",
        bar=True,
        lines=(
            Line(
                strong="Stop at once",
                text="at sharp or sudden pain, a pop, giving way, new swelling or numbness. Do no"
                " more that day, and call us.",
            ),
            Line(
                strong="Pain rule.",
                text="Calf or Achilles tendon: stop the drill at any pain. Anywhere else: up to"
                f" {CALM_UP_TO:g} of 10 is allowed, above {CALM_UP_TO:g} stop that drill for the"
                " day. If a drill’s own stop line is stricter, or you agreed another rule with us,"
                " keep to that.",
            ),
            Line(
                strong="The next morning",
                text="more pain or stiffness than before? Write it down, leave that drill out, and"
                " ask.",
            ),
            Line(
                strong="Do not wait for an answer.",
                text="Chest pain, breathlessness at rest, or a collapse: call"
                f" {practice.emergency} now. One calf or leg that swells, feels hot or turns red:"
                " to a doctor the same day. Nobody watches this sheet live.",
            ),
        ),
    )


def whom_to_ask(day: date, practice: Practice, *, with_drills: bool) -> Part:
    """Say whom to call, and what this sheet does not promise."""
    whom = ", ".join(said for said in (practice.name, practice.phone) if said)
    call = whom or "your practitioner"
    lines = [Line(strong="Questions?", text=f"Call {call}.")]
    if with_drills:
        lines += [
            Line(
                strong="Ask before you change it.",
                text="More sets, more weight, another drill, or other days: ask first.",
            ),
            Line(
                strong="No promise.",
                text="The drills were checked against every rule listed. A freer joint is not by"
                " itself a higher jump, so we measure again.",
            ),
        ]
    emergency = f"An emergency? Call {practice.emergency}."
    watch = "" if with_drills else f" {emergency}"
    lines.append(
        Line(
            strong="Nobody watches this sheet live.",
            text=f"It speaks for {spoken_date(day)}. If your health has changed since,"
            f" tell us before you go on.{watch}",
        )
    )
    return Part(heading="Whom to ask", lines=tuple(lines))

"""
What an athlete reads when clearance stops the work: what to do now, whom to see, how soon.

Calm and plain. The rule that follows from an answer stands as the catalogue has it, under its own
heading, so that whoever sees the athlete reads it unshortened. Nothing here is a diagnosis.
"""

from __future__ import annotations

from countermove.catalogue import Catalogue, Consequence
from countermove.documents.parts import Line, Opening, Part
from countermove.record import Answer, Decision, Examination, Reason
from countermove.safety import EVERY_TEST, about_consent

NOT_NOW = (
    "No drills, jumps or tests until that is settled. It is one of our listed rules, not a finding:"
    " somebody else should look first."
)

AGREE = (
    "If you want to go on, say that you agree to testing, and to a record of it being kept. Under"
    " 18 a parent or guardian agrees too. You may take it back at any time."
)

SAID = {
    Answer.YES: "You answered yes to:",
    Answer.UNSURE: "You were not sure about:",
}
OTHER = "It follows from this question:"


def referred(examination: Examination, catalogue: Catalogue, *, emergency: str) -> Opening:
    """Open the sheet of an athlete who is referred: the soonest reason leads."""
    reasons = _standing(examination, Decision.REFER)
    gravest = reasons[0].leads_to if reasons else Consequence.ELSEWHERE
    return Opening(
        aim=_aim(gravest, emergency),
        aside=NOT_NOW,
        parts=(
            Part(heading="What to do now", lines=_now(gravest, emergency), numbered=True),
            Part(heading="Why", lines=tuple(_why(reason, catalogue) for reason in reasons)),
            Part(
                heading="For you, and for whoever sees you",
                bar=True,
                lines=tuple(Line(text=_rule(reason, catalogue)) for reason in reasons),
            ),
        ),
    )


def asked_first(examination: Examination, catalogue: Catalogue) -> Opening:
    """Open the sheet of an athlete whose health questions, or whose consent, are not settled."""
    reasons = _standing(examination, Decision.ASK_FIRST)
    consent = [reason for reason in reasons if about_consent(reason)]
    if consent and len(consent) == len(reasons):
        return _consent_first(consent[0])
    open_questions = [
        Line(text=caution.question)
        for caution in catalogue.cautions.values()
        if caution.question and any(caution.question in reason.text for reason in reasons)
    ]
    bring = (
        [Part(heading="Questions to think about", lines=tuple(open_questions), numbered=True)]
        if open_questions
        else []
    )
    asked = [Line(text=AGREE)] if consent else []
    return Opening(
        aim="First, your health questions.",
        aside="They are not settled yet, so there are no drills and no jump tests today. That is a"
        " rule for everybody, and says nothing about you.",
        parts=(
            Part(
                heading="What to do now",
                numbered=True,
                lines=(
                    Line(
                        text="Answer the health questions with your practitioner, before the next"
                        " session. “I am not sure” is an answer too."
                    ),
                    Line(text="Your practitioner reads and signs them. Then the work can begin."),
                    *asked,
                    Line(
                        text="Until then do no jumps, hops or heaviest lifts for us. If anything"
                        " worries you now, see a doctor and do not wait for us."
                    ),
                ),
            ),
            *bring,
        ),
    )


def _consent_first(reason: Reason) -> Opening:
    """Open the sheet of an athlete who is well but has not agreed, or no longer does."""
    back = EVERY_TEST in reason.closes
    return Opening(
        aim="You took your consent back, so we stopped." if back else "First, your consent.",
        aside="Without it there are no drills and no tests. It is yours to give or to keep, and"
        " nobody needs a reason.",
        parts=(
            Part(
                heading="What to do now",
                numbered=True,
                lines=(
                    Line(text=AGREE),
                    Line(text="Ask what is measured, what is kept and who sees it."),
                    Line(text="If anything about your health worries you now, see a doctor."),
                ),
            ),
        ),
    )


def _standing(examination: Examination, decision: Decision) -> list[Reason]:
    return [
        reason
        for reason in examination.clearance.reasons
        if reason.decision is decision and not reason.overridden
    ]


def _aim(leads_to: str, emergency: str) -> str:
    if leads_to == Consequence.EMERGENCY:
        return f"Get help now: call {emergency}, or go to an emergency department."
    if leads_to == Consequence.SAME_DAY:
        return "See a doctor today."
    return "See a doctor before you train or are tested here."


def _now(leads_to: str, emergency: str) -> tuple[Line, ...]:
    """List what to do, in order, for the gravest consequence."""
    if leads_to == Consequence.EMERGENCY:
        return _lines(
            f"Call {emergency}, or let somebody take you to an emergency department now. Do not"
            " drive yourself, and do not stay alone.",
            "Take this sheet with you.",
            "Do not train. We begin again when a doctor says that you may.",
        )
    if leads_to == Consequence.SAME_DAY:
        return _lines(
            "See a doctor today: your own, one on call, or an emergency department if you cannot"
            " get an appointment today. Take this sheet with you.",
            "Until then rest, and leave out training.",
            f"If you get worse, have chest pain or are short of breath, call {emergency} now.",
        )
    return _lines(
        "Make an appointment with a doctor, or with whoever treats you for it. How soon stands"
        " below; if it does not, within days. Take this sheet with you.",
        "Ask for a word in writing: may you jump, and what should stay out?",
        "Bring it to your next visit. Until then no jumps, hops or heaviest lifts, here or in"
        " your sport.",
        f"If you get worse meanwhile, do not wait. In an emergency call {emergency}.",
    )


def _lines(*said: str) -> tuple[Line, ...]:
    return tuple(Line(text=text) for text in said)


def _why(reason: Reason, catalogue: Catalogue) -> Line:
    """Say which answer leads here; a rule that is no question speaks for itself."""
    caution = catalogue.cautions.get(reason.caution)
    if caution is None or not caution.question:
        return Line(text=reason.text)
    said = next((said for word, said in SAID.items() if f"answered {word}." in reason.text), OTHER)
    return Line(strong=said, text=f"“{caution.question}”")


def _rule(reason: Reason, catalogue: Catalogue) -> str:
    """Give what the catalogue says to the practitioner; the whole reason if it is gone."""
    caution = catalogue.cautions.get(reason.caution)
    return caution.says if caution is not None else reason.text

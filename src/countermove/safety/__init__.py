"""Clearance, gates and pain: one function a rule, plain loops, no solver, no diagnosis."""

from countermove.safety.clearance import (
    DECISIONS,
    NEEDS_CLEARANCE,
    OPEN,
    clear,
    decision_from,
    decision_of,
    fact_in_force,
    strictest,
)
from countermove.safety.consents import (
    EVERY_TEST,
    about_consent,
    consented,
    is_minor,
    testing_consent,
)
from countermove.safety.gates import gate_opens, kept_value, reaches, why_shut
from countermove.safety.landings import capped, landing_cap, lowest
from countermove.safety.pain import pain_action, worst_pain
from countermove.safety.permission import may_do, may_test, missing_equipment
from countermove.safety.questions import is_asked, questions_for, unanswered

__all__ = [
    "DECISIONS",
    "EVERY_TEST",
    "NEEDS_CLEARANCE",
    "OPEN",
    "about_consent",
    "capped",
    "clear",
    "consented",
    "decision_from",
    "decision_of",
    "fact_in_force",
    "gate_opens",
    "is_asked",
    "is_minor",
    "kept_value",
    "landing_cap",
    "lowest",
    "may_do",
    "may_test",
    "missing_equipment",
    "pain_action",
    "questions_for",
    "reaches",
    "strictest",
    "testing_consent",
    "unanswered",
    "why_shut",
    "worst_pain",
]

"""What a caution of the catalogue holds: what is asked, of whom, and what an answer leads to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import Entry


class Consequence(StrEnum):
    """What a caution leads to, gravest first."""

    EMERGENCY = "emergency"
    SAME_DAY = "same-day doctor"
    ELSEWHERE = "clearance from elsewhere"
    NARROWER = "narrower"
    NOTE = "note"


@dataclass(frozen=True, kw_only=True, slots=True)
class Caution(Entry):
    """
    Something that stops or narrows the work, asked as a question or read from the record.

    Attributes
    ----------
    group : str
        Heading it is asked under.
    question : str
        Asked of the athlete, so that *yes* is the answer that matters; empty for a fact.
    asked_of : {"everyone", "women", "under 18", "40 and over"}
        Whom.
    fact : {"", "mass over", "age under", "age over"}
        Read from the record instead of asked, against `limit`.
    leads_to : Consequence
        What a yes (or the fact) leads to.
    says : str
        To the practitioner: what follows, whom to see, how soon. No diagnosis.
    closes : tuple of str
        Tags of tests and drills that it closes; a note closes nothing.
    landings : Cited, optional
        Most landings a session, all drills together.
    landings_share : Cited, optional
        Share of a drill's usual landings that is left.
    landing_days : Cited, optional
        Most days a week with landings.
    follows : str
        Key of the question that comes before it; after a no there it need not be asked.
    when_unsure : {"as yes", "note"}
        How *unsure* counts.
    """

    group: str
    question: str = ""
    asked_of: Literal["everyone", "women", "under 18", "40 and over"] = "everyone"
    fact: Literal["", "mass over", "age under", "age over"] = ""
    limit: Cited | None = None
    leads_to: Consequence
    says: str
    closes: tuple[str, ...] = ()
    landings: Cited | None = None
    landings_share: Cited | None = None
    landing_days: Cited | None = None
    follows: str = ""
    when_unsure: Literal["as yes", "note"] = "as yes"

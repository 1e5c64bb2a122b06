"""The closed lists of words: each thing has one word, here and on every page."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Annotated

from msgspec import Meta


class Link(StrEnum):
    """The links of the kinetic chain, in chain order: from the floor up."""

    ANKLE = "ankle"
    KNEE = "knee"
    HIP = "hip"
    THORACIC_SPINE = "thoracic spine"
    SHOULDER = "shoulder"


class Side(StrEnum):
    """Left, right, or both together."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"


class Sex(StrEnum):
    """The two columns that published tables of the body come in."""

    FEMALE = "female"
    MALE = "male"


class Level(StrEnum):
    """Training history, as dose tables use it."""

    BEGINNER = "beginner"
    INTERMEDIATE = "intermediate"
    ADVANCED = "advanced"


class Answer(StrEnum):
    """An answer to a health question. A missing answer is not a no."""

    YES = "yes"
    NO = "no"
    UNSURE = "unsure"


class Purpose(StrEnum):
    """What an athlete agrees to, each by itself."""

    TESTING = "testing"
    VIDEO = "video"
    RECIPIENT = "recipient"


class Verdict(StrEnum):
    """How a link stands against what jumping asks of it."""

    MEETS = "meets"
    SHORT = "short"
    TOO_CLOSE = "too close to call"
    NOT_MEASURED = "not measured"


class Decision(StrEnum):
    """What clearance says, from the freest to the strictest."""

    GO_ON = "go on"
    NARROWER = "narrower"
    ASK_FIRST = "ask first"
    REFER = "refer"


class Severity(StrEnum):
    """How much a quality note weighs: said, doubted, or the number is refused."""

    NOTE = "note"
    DOUBT = "doubt"
    REFUSE = "refuse"


def rank_of(severity: Severity) -> int:
    """Give the place of a severity from the lightest, 0, up: the one order of quality notes."""
    return list(Severity).index(severity)


def gravest(severities: Iterable[Severity]) -> Severity | None:
    """Give the gravest of some severities; None if there are none."""
    return max(severities, key=rank_of, default=None)


class Instead(StrEnum):
    """How a drill of the work list gave its place to another."""

    EASE = "ease"
    PROGRESS = "progress"
    SWAP = "swap"


class JumpKind(StrEnum):
    """The jumps we analyse from force."""

    CMJ = "cmj"
    CMJ_ARMS = "cmj_arms"
    SJ = "sj"


class Status(StrEnum):
    """How we know a number: the one list of status words."""

    READ = "read"
    QUOTED = "quoted"
    DERIVED = "derived"
    FROM_MEMORY = "from-memory"
    COMMON_PRACTICE = "common-practice"
    OUR_DEFAULT = "our-default"


# Limits that no person passes; the codec refuses what lies outside. They only catch slips of the
# pen (our-default), they judge nobody.
Key = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=64)]
HEIGHT_M = (0.5, 2.7)
MASS_KG = (10.0, 400.0)
HeightM = Annotated[float, Meta(ge=HEIGHT_M[0], le=HEIGHT_M[1])]
MassKg = Annotated[float, Meta(ge=MASS_KG[0], le=MASS_KG[1])]
LengthM = Annotated[float, Meta(gt=0, le=2)]
PainScore = Annotated[float, Meta(ge=0, le=10)]
RateHz = Annotated[float, Meta(gt=0, le=100_000)]
Minutes = Annotated[float, Meta(gt=0, le=240)]

"""The hand-out: an examination as the athlete takes it home, on one or more sheets of paper."""

from __future__ import annotations

from typing import Literal, get_args

from countermove.catalogue import Catalogue
from countermove.documents.parts import Practice
from countermove.documents.pdf import print_pdf
from countermove.documents.sheet import sheet_of
from countermove.errors import BadInput
from countermove.record import Examination

Paper = Literal["a4", "us-letter"]
LANGUAGES = ("en", "en-GB", "en-US")


def hand_out(
    examination: Examination,
    catalogue: Catalogue,
    *,
    paper: Paper = "a4",
    practice: str = "",
    phone: str = "",
    emergency: str = "112",
    language: str = "en",
) -> bytes:
    """
    Print the athlete's hand-out.

    Pure: the date is the examination's, and nothing but this package is read; the fonts of the
    machine are asked only for letters that no font of Typst has.

    Parameters
    ----------
    examination : Examination
        Its clearance decides what is printed: the work, or whom to see first.
    catalogue : Catalogue
        The one of the examination; holds the steps of its drills.
    paper : {"a4", "us-letter"}
        Size of the sheet.
    practice, phone : str, optional
        Whom it is from and whom to call.
    emergency : str, optional
        The local emergency number.
    language : {"en", "en-GB", "en-US"}
        What the document calls its language; its words are English.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a. The same input gives the same bytes.

    Raises
    ------
    BadInput
        If paper or language is another, or the catalogue lacks a drill of the work list.
    NotPrinted
        If the layout fails.
    """
    _one_of("paper", paper, get_args(Paper))
    _one_of("language", language, LANGUAGES)
    if not emergency.strip():
        raise BadInput("no emergency number was given; pass the local one, such as 112 or 911")
    sheet = sheet_of(
        examination,
        catalogue,
        practice=Practice(name=practice.strip(), phone=phone.strip(), emergency=emergency.strip()),
    )
    tongue, _, region = language.partition("-")
    return print_pdf("hand_out", sheet, paper=paper, language=tongue, region=region)


def _one_of(name: str, met: str, known: tuple[str, ...]) -> None:
    if met not in known:
        raise BadInput(f"{name} {met!r} was met; use one of {', '.join(known)}")

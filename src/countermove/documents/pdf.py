"""
From a sheet to a PDF: Typst lays out, the standards of access and archive are kept.

A text reaches the template as data and is never read as markup. The fonts are those that Typst
carries (Latin, Greek, Cyrillic, Hebrew, Arabic, Devanagari and more), so the same sheet gives the
same bytes everywhere. Only for letters they lack are the fonts of the machine asked; a letter that
no font has is printed as an empty square, and the sheet says so.
"""

from __future__ import annotations

import re
import unicodedata
from importlib import resources
from typing import Any, Literal

import msgspec
import typst

from countermove.errors import NotPrinted

# Tagged for screen readers, and self-contained for decades: ISO 14289-1 and ISO 19005-2.
STANDARDS: list[Literal["ua-1", "a-2a"]] = ["ua-1", "a-2a"]
SQUARE = "□"
LOST_LETTERS = f"No font here has some letters of this sheet; {SQUARE} stands for each."
# Joiners and direction marks that a name may need. Other invisible marks could turn a line round.
KEPT_MARKS = "\u200c\u200d\u200e\u200f\u00ad"
UNPRINTABLE = ("Cc", "Co", "Cs", "Cn")
MISSING = re.compile(r"the text `\"(.+?)\"` could not be displayed")
ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")


def print_pdf(template: str, sheet: Any, **settings: str) -> bytes:
    """
    Lay a sheet out with a template of this room.

    Parameters
    ----------
    template : str
        Name of the template, without its ending.
    sheet : dataclass or mapping
        Anything that has JSON. A field ``lost`` is added to it, empty unless letters were lost.
    **settings : str
        Short words for the template, such as the paper.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a; the same input gives the same bytes.

    Raises
    ------
    NotPrinted
        If the layout fails; the message is Typst's.
    """
    data = printable(msgspec.to_builtins(sheet)) | {"lost": ""}
    settings = printable(settings)
    source = (resources.files(__package__) / f"{template}.typ").read_bytes()
    try:
        return _compile(source, data, settings, own_fonts_only=True)
    except typst.TypstError as error:
        if not missing_letters(error.diagnostic):
            raise NotPrinted(f"the document could not be laid out: {error}") from error
    return _with_fonts_of_the_machine(source, data, settings)


def _with_fonts_of_the_machine(source: bytes, data: Any, settings: dict[str, str]) -> bytes:
    try:
        return _compile(source, data, settings, own_fonts_only=False)
    except typst.TypstError as error:
        lost = missing_letters(error.diagnostic)
    # The title is no drawn text and needs no font: it keeps its letters.
    squared = without(data, lost) | {"lost": LOST_LETTERS, "title": data.get("title", "")}
    try:
        return _compile(source, squared, without(settings, lost), own_fonts_only=False)
    except typst.TypstError as error:
        raise NotPrinted(f"the document could not be laid out: {error}") from error


def _compile(source: bytes, data: Any, settings: dict[str, str], *, own_fonts_only: bool) -> bytes:
    printed: bytes = typst.compile(
        source,
        sys_inputs={**settings, "sheet": msgspec.json.encode(data).decode()},
        pdf_standards=[*STANDARDS],
        ignore_system_fonts=own_fonts_only,
    )
    return printed


def printable(data: Any) -> Any:
    r"""
    Replace what no font can print, in every text: control, private and unassigned characters.

    Line ends and tabs become spaces; marks that reorder a line fall away.

    Examples
    --------
    >>> printable({"a": ["one\ntwo", "\x00"]})
    {'a': ['one two', '□']}
    """
    if isinstance(data, str):
        return "".join(_printable(letter) for letter in data)
    if isinstance(data, dict):
        return {key: printable(value) for key, value in data.items()}
    return [printable(one) for one in data] if isinstance(data, list | tuple) else data


def _printable(letter: str) -> str:
    kind = unicodedata.category(letter)
    if letter.isspace():
        return letter if letter == "\u00a0" else " "
    if kind == "Cf":
        return letter if letter in KEPT_MARKS else ""
    return SQUARE if kind in UNPRINTABLE else letter


def missing_letters(message: str) -> frozenset[str]:
    """Read from Typst's message which letters no font has; empty if that is not what it says."""
    found = "".join(MISSING.findall(message))
    plain = ESCAPED.sub(lambda code: chr(int(code[1], 16)), found)
    return frozenset(letter for letter in plain if ord(letter) >= 0x80)


def without(data: Any, lost: frozenset[str]) -> Any:
    """Put an empty square for each lost letter, in every text."""
    if isinstance(data, str):
        return "".join(SQUARE if letter in lost else letter for letter in data)
    if isinstance(data, dict):
        return {key: without(value, lost) for key, value in data.items()}
    return [without(one, lost) for one in data] if isinstance(data, list) else data

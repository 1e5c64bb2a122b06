"""
What stands on the pages of a PDF, read back with pikepdf alone: text, place, size and structure.

Follows ISO 32000-1 as far as our own documents go: two-byte glyph codes, each with its letters in
the font's ToUnicode table (9.10.3), shown by Tj and TJ (9.4.3), placed by Tm and cm.
"""

import re
from dataclasses import dataclass

import pikepdf

CHARACTER = re.compile(rb"<(\w+)> <(\w+)>\s")
RANGE = re.compile(rb"<(\w+)> <(\w+)> <(\w+)>\s")


@dataclass(frozen=True)
class Shown:
    """One run of text: page from 0, lower left corner and size in points."""

    page: int
    x: float
    y: float
    size: float
    text: str


def squeezed(text):
    """Leave out all white space: where a line breaks is not what is said."""
    return "".join(text.split())


def pages_of(pdf):
    """Give each page's text without white space, in the order it was written."""
    shown = runs(pdf)
    numbers = range(len(pdf.pages))
    return [squeezed("".join(one.text for one in shown if one.page == n)) for n in numbers]


def text_of(pdf):
    """Give all text without white space."""
    return "".join(pages_of(pdf))


def page_with(pages, text):
    """Give the number of the page on which a text stands whole; fails if there is none."""
    found = [number for number, page in enumerate(pages) if squeezed(text) in page]
    assert found, f"no page holds {text!r}"
    return found[0]


def runs(pdf):
    """List every run of text of a document."""
    return [one for number, page in enumerate(pdf.pages) for one in _page_runs(number, page)]


def _page_runs(number, page):
    fonts = {
        str(name): _letters(font.ToUnicode.read_bytes())
        for name, font in page.Resources.get("/Font", {}).items()
    }
    matrix, stack, line, font, size = _IDENTITY, [], _IDENTITY, None, 0.0
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "q":
                stack.append(matrix)
            case "Q":
                matrix = stack.pop()
            case "cm":
                matrix = _times([float(x) for x in operands], matrix)
            case "Tf":
                font, size = fonts[str(operands[0])], float(operands[1])
            case "Tm":
                line = [float(x) for x in operands]
            case "Tj" | "TJ":
                placed = _times(line, matrix)
                text = _decoded(operands[0], font)
                yield Shown(number, placed[4], placed[5], abs(size * placed[3]), text)


_IDENTITY = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0]


def _times(first, then):
    a, b, c, d, e, f = first
    A, B, C, D, E, F = then
    return [
        a * A + b * C,
        a * B + b * D,
        c * A + d * C,
        c * B + d * D,
        e * A + f * C + E,
        e * B + f * D + F,
    ]


def _decoded(shown, font):
    parts = shown if isinstance(shown, pikepdf.Array) else [shown]
    codes = b"".join(bytes(part) for part in parts if isinstance(part, pikepdf.String))
    return "".join(font[codes[i : i + 2]] for i in range(0, len(codes), 2))


def _letters(table):
    """Read a ToUnicode table: glyph code to letters."""
    letters = {}
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.S):
        for code, value in CHARACTER.findall(block):
            letters[bytes.fromhex(code.decode())] = _utf16(value)
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.S):
        for first, last, value in RANGE.findall(block):
            start, stop, letter = (int(x, 16) for x in (first, last, value))
            for step in range(stop - start + 1):
                letters[(start + step).to_bytes(2, "big")] = chr(letter + step)
    return letters


def _utf16(digits):
    return bytes.fromhex(digits.decode()).decode("utf-16-be")


def elements(pdf):
    """List kind and words for what it shows of each structure element, in reading order."""
    return [(str(one.S), str(one.get("/Alt", ""))) for one in _below(pdf.Root.StructTreeRoot)]


def _below(node):
    if isinstance(node, pikepdf.Array):
        for child in node:
            yield from _below(child)
    elif isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from _below(node.K)

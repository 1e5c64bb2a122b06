"""Bytes of an outside file to plain text bytes: encoding, line ends, and what is no text."""

from __future__ import annotations

from countermove.errors import UnreadableRecording

LOOKED_AT = 4096  # bytes of the file that its kind is told from

# First bytes of common kinds of file, as their specifications give them.
SIGNATURES: tuple[tuple[bytes, str], ...] = (
    (b"PK\x03\x04", "a zip archive (spreadsheets such as .xlsx and .ods are such archives)"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet or office document"),
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"%PDF", "a PDF document"),
    (b"\x1f\x8b", "a compressed file (gzip)"),
    (b"PAR1", "a Parquet file"),
    (b"{\\rtf", "a formatted document (RTF)"),
    (b"SQLite format 3", "a database"),
)
BLANK = b" \t\r\n\x00"
EXPORT = "export the recording as a text table (.csv or .txt) and read that"
# Byte order marks (Unicode standard, section 23.8); UTF-32 first, it begins like UTF-16.
MARKS: tuple[tuple[bytes, str], ...] = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe\x00\x00", "utf-32-le"),
    (b"\x00\x00\xfe\xff", "utf-32-be"),
    (b"\xff\xfe", "utf-16-le"),
    (b"\xfe\xff", "utf-16-be"),
)


def plain_text(data: bytes) -> bytes:
    """
    Give the text of a file as bytes in which every number is plain ASCII.

    Parameters
    ----------
    data : bytes
        The file as it came: UTF-8, Latin-1, or UTF-16 and UTF-32 with or without a mark.

    Returns
    -------
    bytes
        No byte order mark, lines ended by line feeds (a carriage return before one may stay).

    Raises
    ------
    UnreadableRecording
        If the file is empty, or is no text.
    """
    if not data[:LOOKED_AT].strip(BLANK) and not data.strip(BLANK):
        raise UnreadableRecording(
            "the file is empty; check that the recording was saved, and export it again"
        )
    _refuse_other_kinds(data)
    text = _without_wide_characters(data)
    if b"\x00" in text[:LOOKED_AT]:
        raise UnreadableRecording(f"the file is binary, not a text table; {EXPORT}")
    return _with_line_feeds(text.rstrip(b"\x00"))


def decoded(line: bytes) -> str:
    """Give a line as text: UTF-8 where it is that, else Latin-1, which reads any byte."""
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("latin-1")


def _refuse_other_kinds(data: bytes) -> None:
    for signature, kind in SIGNATURES:
        if data.startswith(signature):
            raise UnreadableRecording(f"the file is {kind}, whatever its name says; {EXPORT}")
    start = data[:LOOKED_AT].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if start.startswith((b"<!doctype", b"<html", b"<?xml", b"<head", b"<body", b"<table")):
        raise UnreadableRecording(
            "the file is a web page or XML, not a table of numbers (a download may have saved"
            f" an error page or a log-in page); {EXPORT}"
        )


def _without_wide_characters(data: bytes) -> bytes:
    encoding, mark = _wide_encoding(data)
    if encoding == "utf-8":
        return data[mark:]
    return data[mark:].decode(encoding, errors="replace").encode("utf-8")


def _wide_encoding(data: bytes) -> tuple[str, int]:
    for mark, encoding in MARKS:
        if data.startswith(mark):
            return encoding, len(mark)
    head = data[:LOOKED_AT]
    half = len(head) // 2
    # Digits and Latin letters in UTF-16 have a zero in every second byte, and only there.
    if head[1::2].count(0) > 0.6 * half and head[0::2].count(0) < 0.1 * half:
        return "utf-16-le", 0
    if head[0::2].count(0) > 0.6 * half and head[1::2].count(0) < 0.1 * half:
        return "utf-16-be", 0
    return "utf-8", 0


def _with_line_feeds(text: bytes) -> bytes:
    if b"\n" not in text and b"\r" in text:
        return text.replace(b"\r", b"\n")
    return text


def counted(count: int, noun: str) -> str:
    """Give a count with its noun: 1 row, 2 rows."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"

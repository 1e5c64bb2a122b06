"""
Errors that say what was met, what is needed and how to go on.

Every error of ours is a `CountermoveError` and a built-in one: catch either. `code` is a short
word that stays the same from version to version, for programs that read `--json`.

    CountermoveError
    ├── BadInput (ValueError)            a value that cannot be true
    │   ├── UnknownUnit                  a unit we do not know, or of the wrong kind
    │   ├── BadDocument                  an athlete file or other document that does not fit
    │   ├── NoVisit                      no visit on the day asked for
    │   ├── BadEvent                     an event set by hand where no jump can have it
    │   └── NewerDocument                written by a later version than this one
    ├── BadCatalogue (ValueError)        a catalogue entry without source, unit, place or status
    ├── NotPrinted (RuntimeError)        a document that could not be laid out
    └── RecordingError (ValueError)      a recording that cannot be used
        ├── UnreadableRecording          not a table of numbers
        ├── AmbiguousRecording           more than one reading fits; `.flag` settles it
        ├── RecordingTooLarge            refused before it was opened
        └── NoJump                       read well, but no jump is in it
"""

from __future__ import annotations


class CountermoveError(Exception):
    """Whatever this package raises on purpose."""

    code = "error"


class BadInput(CountermoveError, ValueError):
    """A value that cannot be true."""

    code = "bad-input"


class UnknownUnit(BadInput):
    """A unit that is not in the table, or that measures something else."""

    code = "unknown-unit"


class BadDocument(BadInput):
    """A document that does not fit its schema; the message starts with the path."""

    code = "bad-document"


class NoVisit(BadInput):
    """The athlete has no visit on the day asked for, or none at all."""

    code = "no-visit"


class BadEvent(BadInput):
    """An event set by hand that is out of order, or where no jump can have it."""

    code = "bad-event"


class NewerDocument(BadInput):
    """A document written by a later version of countermove."""

    code = "newer-document"


class BadCatalogue(CountermoveError, ValueError):
    """A catalogue entry that does not say enough; the message starts with its path."""

    code = "bad-catalogue"


class NotPrinted(CountermoveError, RuntimeError):
    """A document that could not be laid out."""

    code = "not-printed"


class RecordingError(CountermoveError, ValueError):
    """A recording that cannot be used."""

    code = "recording"


class UnreadableRecording(RecordingError):
    """Not a table of numbers that holds a force."""

    code = "unreadable"


class AmbiguousRecording(RecordingError):
    """
    More than one reading fits, and a guess could be wrong.

    Attributes
    ----------
    flag : str
        The command-line flag that settles it, such as ``--rate``.
    """

    code = "ambiguous"

    def __init__(self, text: str, *, flag: str) -> None:
        super().__init__(text)
        self.flag = flag


class RecordingTooLarge(RecordingError):
    """Refused before it was opened."""

    code = "too-large"


class NoJump(RecordingError):
    """The recording was read, but no jump was found in it."""

    code = "no-jump"

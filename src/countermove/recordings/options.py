"""What the caller may settle about a recording that its file does not say."""

from __future__ import annotations

from dataclasses import dataclass

from countermove.errors import BadInput

DEFAULT_MAX_BYTES = 256 * 2**20  # our default: an hour of two plates at 2 kHz is about 200 MB
MAX_SAMPLES = 10_000_000  # our default: an hour at 2 kHz is 7.2 million
SEPARATORS = {
    "tab": "\t",
    "\t": "\t",
    "\\t": "\t",
    "comma": ",",
    ",": ",",
    "semicolon": ";",
    ";": ";",
    "space": " ",
    " ": " ",
}
FORCE_UNITS = ("N", "kN", "kgf", "lbf")


@dataclass(frozen=True, kw_only=True)
class ForceOptions:
    """
    Answers to what a force file may leave open; None and () mean "find it".

    Attributes
    ----------
    rate_hz : float, optional
        Samples a second. [Hz]
    unit : str, optional
        Unit of the force: ``N``, ``kN``, ``kgf`` or ``lbf``.
    columns : tuple of str
        The columns of vertical force, one a plate, by header name or 1-based number.
    left, right : str, optional
        Which column belongs to which foot, by name or number.
    time : str, optional
        The column of time, by name or number.
    time_unit : str, optional
        ``s`` or ``ms``.
    decimal : str, optional
        ``.`` or ``,``.
    separator : str, optional
        ``,``, ``;``, ``tab`` or ``space``.
    max_bytes : int
        Larger files are refused before they are opened.

    Raises
    ------
    BadInput
        If an answer cannot be true.
    """

    rate_hz: float | None = None
    unit: str | None = None
    columns: tuple[str, ...] = ()
    left: str | None = None
    right: str | None = None
    time: str | None = None
    time_unit: str | None = None
    decimal: str | None = None
    separator: str | None = None
    max_bytes: int = DEFAULT_MAX_BYTES

    def __post_init__(self) -> None:
        if self.rate_hz is not None and not 0 < self.rate_hz < float("inf"):
            raise BadInput(f"a rate of {self.rate_hz} Hz cannot be; pass samples a second")
        if self.unit is not None:
            _one_of("unit of force", self.unit, FORCE_UNITS)
        if self.time_unit is not None:
            _one_of("time unit", self.time_unit, ("s", "ms"))
        if self.decimal is not None:
            _one_of("decimal mark", self.decimal, (".", ","))
        if self.separator is not None:
            _one_of("separator", self.separator, tuple(SEPARATORS))


def _one_of(what: str, met: str, known: tuple[str, ...]) -> None:
    if met not in known:
        shown = " ".join(word for word in known if word.strip() and "\\" not in word)
        raise BadInput(f"{met!r} is not a {what} we know; use one of: {shown}")

"""
Broken force files, each made from one good recording, and the page that lists what each gives.

    python -m tests.builders.broken_files > docs/broken-files.md

Nothing is random but a seeded noise, so every file is the same on each run.
"""

from __future__ import annotations

import io
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from countermove.errors import CountermoveError
from countermove.jumps import analyse_jumps
from countermove.record import JumpKind, QualityNote, Trial
from countermove.recordings import ForceOptions, ForceTrace, read_force
from tests.builders.good_recording import (
    GOOD,
    GOOD_TEXT,
    GRAVITY,
    KILOGRAM_N,
    MASS_KG,
    RATE_HZ,
    Recording,
    table,
    total_force_n,
)


@dataclass(frozen=True)
class Case:
    """
    One broken file.

    `answer` is None where the file must read as the good one does, else the code of the error, or
    empty where the jump's own notes tell;
    `flag` is the flag that must be named; `notes` are the codes that must be said.
    """

    name: str
    wrong: str
    make: Callable[[], bytes]
    answer: str | None
    flag: str | None = None
    notes: tuple[str, ...] = ()
    grow_to: int = 0

    def write(self, folder: Path) -> Path:
        path = folder / self.name
        with path.open("wb") as file:
            file.write(self.make())
            if self.grow_to:
                file.truncate(self.grow_to)  # sparse: takes no room on the disk
        return path


def _lines() -> list[str]:
    return GOOD_TEXT.splitlines()


def _joined(lines: list[str]) -> bytes:
    return ("\n".join(lines) + "\n").encode()


def _edited(change: Callable[[list[str]], list[str]]) -> bytes:
    return _joined(change(_lines()))


def _columns(
    make: Callable[[int, tuple[float, float, float]], str], head: str, recording: Recording = GOOD
) -> bytes:
    rows = zip(recording.time_s, recording.left_n, recording.right_n, strict=True)
    return _joined([head, *(make(i, row) for i, row in enumerate(rows))])


def _one_column() -> bytes:
    return _columns(lambda _, r: f"{r[1] + r[2]:.3f}", "force_n")


def _all_nan() -> bytes:
    return _columns(lambda _, r: f"{r[0]:.3f},NaN,NaN", "time_s,left_n,right_n")


def _some_nan() -> bytes:
    gone = {*range(300, 304), *range(1500, 1503)}
    return _columns(
        lambda i, r: f"{r[0]:.3f},NaN," if i in gone else f"{r[0]:.3f},{r[1]:.3f},{r[2]:.3f}",
        "time_s,left_n,right_n",
    )


def _gap_in_time() -> bytes:
    return _edited(lambda lines: lines[:400] + lines[405:])


def _no_flight() -> bytes:
    standing = [column[:1900] for column in (GOOD.left_n, GOOD.right_n)]
    left, right = (np.concatenate([column, column[::-1]]) for column in standing)
    return table(Recording(np.arange(left.size) / RATE_HZ, left, right)).encode()


def _milliseconds_for_seconds() -> bytes:
    shifted = replace(GOOD, time_s=GOOD.time_s * 1000)
    return table(shifted, decimals=1).encode()


def _tens_of_units() -> bytes:
    """Steps of 0.1: 10 Hz for 17 minutes, or 10 kHz for a second."""
    twice = (np.tile(column, 2) for column in (GOOD.left_n, GOOD.right_n))
    long = Recording(np.arange(2 * GOOD.time_s.size) * 0.1, *twice)
    return table(long, head="time (s),left (N),right (N)").encode()


def _both_commas() -> bytes:
    return GOOD_TEXT.replace(".", ",").encode()


def _without_time(head: str) -> bytes:
    return _columns(lambda _, r: f"{r[1]:.3f},{r[2]:.3f}", head)


def _in_unit(newtons: float, decimals: int, head: str) -> bytes:
    return _columns(
        lambda _, r: f"{r[0]:.3f},{r[1] / newtons:.{decimals}f},{r[2] / newtons:.{decimals}f}", head
    )


def _three_forces() -> bytes:
    return _columns(
        lambda _, r: f"{r[0]:.3f},{r[1]:.3f},{r[2]:.3f},{0.9 * r[1] + 3:.3f}",
        "time_s,fz1_n,fz2_n,fz3_n",
    )


def _with_total() -> bytes:
    return _columns(
        lambda _, r: f"{r[0]:.3f},{r[1] + r[2]:.3f},{r[1]:.3f},{r[2]:.3f}",
        "time_s,fz_total_n,fz_left_n,fz_right_n",
    )


def _downward() -> bytes:
    return _columns(lambda _, r: f"{r[0]:.3f},{-r[1]:.3f},{-r[2]:.3f}", "time_s,left_n,right_n")


def _swapped() -> bytes:
    return _columns(lambda _, r: f"{r[2]:.3f},{r[0]:.3f},{r[1]:.3f}", "right_n,time_s,left_n")


def _no_heading() -> bytes:
    return GOOD_TEXT.partition("\n")[2].encode()


def _two_recordings() -> bytes:
    return _edited(lambda lines: lines + lines[1:])


def _out_of_order() -> bytes:
    return _edited(lambda lines: [*lines[:700], lines[701], lines[700], *lines[702:]])


def _repeated_row() -> bytes:
    return _edited(lambda lines: [*lines[:900], lines[899], *lines[900:]])


def _broken_last_line() -> bytes:
    return (GOOD_TEXT + "5.9").encode()


def _zip() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr(zipfile.ZipInfo("sheet.xml"), "<sheet/>")
    return packed.getvalue()


def _png() -> bytes:
    return b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4


def _binary() -> bytes:
    return np.random.default_rng(7).bytes(20_000)


def _web_page() -> bytes:
    return b"<!DOCTYPE html>\n<html><head><title>Log in</title></head><body>1,2,3</body></html>\n"


def _metadata_only() -> bytes:
    return b"Recording: trial 3\nSampling rate: 1000 Hz\nUnit: N\nAthlete: A. Person\n"


def _long_metadata() -> bytes:
    above = [f"Remark {i}: nothing of note" for i in range(300)]
    return _joined([*above, "Abtastrate: 1000 Hz", "Links [N],Rechts [N]", *_pairs()])


def _pairs() -> list[str]:
    return [line.partition(",")[2] for line in _lines()[1:]]


def _many_channels() -> bytes:
    head = "Frame,Fx,Fy,Fz,Mx,My,Mz,Fx,Fy,Fz,Mx,My,Mz"
    return _joined(
        [
            "Frequency,1000 Hz",
            ",Left plate,,,,,,Right plate,,,,,",
            head,
            ",N,N,N,N.m,N.m,N.m,N,N,N,N.m,N.m,N.m",
            *(
                f"{i},1.2,{0.03 * a:.3f},{a:.3f},{0.05 * a:.3f},2.0,0.1,"
                f"-1.1,{0.02 * b:.3f},{b:.3f},{-0.05 * b:.3f},1.0,0.2"
                for i, (a, b) in enumerate(zip(GOOD.left_n, GOOD.right_n, strict=True), 1)
            ),
        ]
    )


def _slow() -> bytes:
    return table(GOOD.rows(step=100)).encode()


def _constant() -> bytes:
    return _columns(lambda _, r: f"{r[0]:.3f},343.000,343.000", "time_s,left_n,right_n")


def _zeroed_loaded() -> bytes:
    weight = MASS_KG * GRAVITY
    return _columns(lambda _, r: f"{r[0]:.3f},{r[1] + r[2] - weight:.3f}", "time_s,fz_n")


def _times_body_weight(head: str) -> bytes:
    weight = MASS_KG * GRAVITY
    return _columns(lambda _, r: f"{r[0]:.3f},{(r[1] + r[2]) / weight:.5f}", head)


def _two_rates() -> bytes:
    return b"Sampling rate: 500 Hz\n" + GOOD_TEXT.encode()


def _words_inside() -> bytes:
    return _edited(lambda lines: [*lines[:300], "0.299,overload,overload", *lines[301:]])


def _cut_before_landing() -> bytes:
    flying = int(np.flatnonzero(total_force_n() == 0)[200])
    return table(GOOD.rows(flying)).encode()


CASES = (
    Case("empty.csv", "nothing in it", lambda: b"", "unreadable"),
    Case("blank-lines.csv", "blank lines only", lambda: b"\r\n \r\n\r\n", "unreadable"),
    Case("prose.txt", "a letter", lambda: b"Dear coach,\nthe plate was off today.\n", "unreadable"),
    Case("metadata.csv", "only the lines above the table", _metadata_only, "unreadable"),
    Case("sheet.csv", "a spreadsheet with another ending", _zip, "unreadable"),
    Case("picture.csv", "a picture with another ending", _png, "unreadable"),
    Case("noise.csv", "random bytes", _binary, "unreadable"),
    Case("login.csv", "a web page saved as .csv", _web_page, "unreadable"),
    Case("gigabytes.csv", "3 GB long", GOOD_TEXT.encode, "too-large", grow_to=3 * 2**30),
    Case("one-column.csv", "one column, no rate", _one_column, "ambiguous", "--rate"),
    Case("no-rate.csv", "two plates, no rate, no time", lambda: _without_time("left_n,right_n"),
         "ambiguous", "--rate"),
    Case("all-nan.csv", "force cells all NaN", _all_nan, "unreadable"),
    Case("some-nan.csv", "seven samples lost", _some_nan, None, notes=("dropped-samples",)),
    Case("gap.csv", "five rows missing, seen in the time", _gap_in_time, None,
         notes=("dropped-samples",)),
    Case("constant.csv", "force never changes", _constant, "unreadable"),
    Case("ten-hertz.csv", "thinned out to 10 Hz", _slow, "unreadable"),
    Case("two-rates.csv", "stated rate and time contradict", _two_rates, "ambiguous", "--rate"),
    Case("swapped.csv", "columns in another order", _swapped, None),
    Case("no-heading.csv", "no heading, no unit", _no_heading, None, notes=("unit-found",)),
    Case("no-flight.csv", "the athlete only stands", _no_flight, "no-jump"),
    Case("before-landing.csv", "cut while the athlete is in the air", _cut_before_landing, ""),
    Case("utf-16.txt", "UTF-16, tabs", lambda: GOOD_TEXT.replace(",", "\t").encode("utf-16"), None),
    Case("utf-16-bare.txt", "UTF-16 without its mark, decimal commas",
         lambda: GOOD_TEXT.replace(",", ";").replace(".", ",").encode("utf-16-le"), None),
    Case("milliseconds.csv", "heading says s, times are ms", _milliseconds_for_seconds, None,
         notes=("time-in-ms",)),
    Case("s-or-ms.csv", "heading says s; ms would fit too", _tens_of_units, "ambiguous",
         "--time-unit"),
    Case("commas.csv", "comma as separator and as decimal mark", _both_commas, "ambiguous",
         "--decimal"),
    Case("three-forces.csv", "three plates", _three_forces, "ambiguous", "--columns"),
    Case("total.csv", "both plates and their sum", _with_total, None, notes=("total-left-out",)),
    Case("kilograms.csv", "kilogram-force, said in the heading",
         lambda: _in_unit(KILOGRAM_N, 5, "time_s,left_kgf,right_kgf"), None),
    Case("pounds-or-kilograms.csv", "no unit, values that are kgf or lbf",
         lambda: _in_unit(KILOGRAM_N, 5, "time_s,left,right"), "ambiguous", "--unit"),
    Case("body-weights.csv", "no unit, stands at 1: kN or body weights",
         lambda: _times_body_weight("time_s,fz"), "ambiguous", "--unit"),
    Case("relative.csv", "multiples of body weight, said",
         lambda: _times_body_weight("time_s,fz (BW)"), "unreadable"),
    Case("wrong-unit.csv", "heading says N, values are kN",
         lambda: _in_unit(1000.0, 6, "time_s,left_n,right_n"), "ambiguous", "--unit"),
    Case("downward.csv", "downward counted positive", _downward, None, notes=("sign-turned",)),
    Case("zeroed-loaded.csv", "plate set to zero with the athlete on it", _zeroed_loaded,
         "unreadable"),
    Case("two-recordings.csv", "two recordings, one after the other", _two_recordings,
         "unreadable"),
    Case("out-of-order.csv", "two rows changed places", _out_of_order, None,
         notes=("time-sorted",)),
    Case("row-twice.csv", "a row written twice", _repeated_row, None, notes=("time-repeated",)),
    Case("words-inside.csv", "a word among the numbers", _words_inside, None,
         notes=("line-dropped", "dropped-samples")),
    Case("broken-end.csv", "last line cut while it was written", _broken_last_line, None,
         notes=("line-dropped",)),
    Case("long-preface.csv", "300 lines above the table, German heading, rate stated",
         _long_metadata, None),
    Case("channels.csv", "two plates of six channels, units below the heading", _many_channels,
         None),
)  # fmt: skip


@dataclass(frozen=True)
class Answer:
    """What one file gave."""

    error: CountermoveError | None = None
    trace: ForceTrace | None = None
    trial: Trial | None = None

    @property
    def height_m(self) -> float | None:
        return None if self.trial is None else self.trial.height_impulse_m

    def notes(self) -> tuple[QualityNote, ...]:
        read = () if self.trace is None else self.trace.notes
        return (*read, *(() if self.trial is None else self.trial.quality))


def answer_to(path: Path, options: ForceOptions = ForceOptions()) -> Answer:  # noqa: B008 - frozen
    trace = None
    try:
        trace = read_force(path, options)
        trial, *_ = analyse_jumps(trace, kind=JumpKind.CMJ)
    except CountermoveError as error:
        return Answer(error=error, trace=trace)
    return Answer(None, trace, trial)


def _told(answer: Answer, jump_tells: bool) -> str:
    if answer.error is not None:
        return str(answer.error)
    notes = answer.notes() if jump_tells else answer.trace.notes if answer.trace else ()
    shown = "no height" if answer.height_m is None else f"{100 * answer.height_m:.0f} cm"
    return " ".join((f"Read: jump height {shown}.", *(note.text for note in notes)))


PREFACE = """# Broken files

What `countermove jump` says to files that are broken, odd or incomplete. Each is made from one good
recording of two plates (70 kg, 1000 Hz, made by equations, no person's). "Read" means that the
jump is the good recording's jump; what is said about the jump itself is left out, but for a
recording that ends too early. This page is generated:

    python -m tests.builders.broken_files > docs/broken-files.md

A test holds it against the program.

| file | what is wrong with it | what you are told |
|---|---|---|"""


def page() -> str:
    return "\n".join((PREFACE, *_page_rows())) + "\n"


def _page_rows() -> Iterator[str]:
    with tempfile.TemporaryDirectory() as folder:
        for case in CASES:
            path = case.write(Path(folder))
            told = _told(answer_to(path), case.answer == "").replace("|", "\\|")
            path.unlink()
            yield f"| `{case.name}` | {case.wrong} | {told} |"


if __name__ == "__main__":
    sys.stdout.write(page())

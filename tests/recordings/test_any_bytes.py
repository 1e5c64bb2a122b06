"""Whatever bytes come, they read as a force or are refused in words; nothing else, and quickly."""

from contextlib import suppress
from time import perf_counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.errors import RecordingError
from countermove.recordings import ForceOptions, ForceTrace, parse_force
from tests.builders.good_recording import GOOD_TEXT

LINES = GOOD_TEXT.splitlines()[:900]
GOOD = ("\n".join(LINES) + "\n").encode()
NEVER_LONGER_S = 5.0  # such a file takes milliseconds; this only catches a search without end
PIECES = [b"", b"\n", b"\r", b",", b";", b"\t", b" ", b'"', b"-", b"+", b"e9", b"1e308", b"NaN"]
PIECES += [b"inf", b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"999999999999", b"0,0", b"Hz", b"\xc3"]
OPTIONS = st.builds(
    ForceOptions,
    rate_hz=st.sampled_from((None, 1000.0, 1e9, 1e-9)),
    unit=st.sampled_from((None, "N", "kgf")),
    columns=st.sampled_from(((), ("2",), ("2", "3"), ("left_n",), ("9",))),
    time=st.sampled_from((None, "1", "time_s", "nothing")),
    decimal=st.sampled_from((None, ".", ",")),
    separator=st.sampled_from((None, "tab", "comma", "space")),
)


def check(data: bytes, options: ForceOptions) -> None:
    start = perf_counter()
    with suppress(RecordingError):
        trace = parse_force(data, options=options)
        assert isinstance(trace, ForceTrace)
        assert np.isfinite(trace.force_n).all()
        assert trace.force_n.shape[1] == trace.missing.size
        assert trace.rate_hz > 0
    assert perf_counter() - start < NEVER_LONGER_S


@given(data=st.binary(max_size=3000), options=OPTIONS)
def test_random_bytes(data, options):
    check(data, options)


@given(
    text=st.text(alphabet='0123456789.,;\t\n -+eEnaNsFz"', max_size=2000),
    options=OPTIONS,
)
def test_random_tables(text, options):
    check(text.encode(), options)


@given(
    changes=st.lists(
        st.tuples(st.integers(0, len(GOOD)), st.integers(0, 40), st.sampled_from(PIECES)),
        min_size=1,
        max_size=12,
    ),
    options=OPTIONS,
)
def test_good_files_with_damage(changes, options):
    data = GOOD
    for at, cut, piece in changes:
        data = data[:at] + piece + data[at + cut :]
    check(data, options)


@given(
    rows=st.lists(st.tuples(st.integers(0, len(LINES) - 1), st.integers(0, len(LINES) - 1))),
    cut=st.integers(1, len(GOOD)),
    wide=st.booleans(),
)
def test_good_files_with_rows_moved_and_the_end_cut(rows, cut, wide):
    lines = LINES.copy()
    for one, other in rows:
        lines[one], lines[other] = lines[other], lines[one]
    data = "\n".join(lines).encode()[:cut]
    check(data.decode().encode("utf-16") if wide else data, ForceOptions())


NEVER_TOGETHER = "\n".join(
    f"{i / 1000}," + (f"{700 * (i % 9 > 0)}.1," if i % 2 else f",{700 * (i % 7 > 0)}.1")
    for i in range(2000)
).encode()
# Each once raised something else than a RecordingError; found by longer runs of the tests above.
ONCE_BROKE = [
    (GOOD.replace(b".", b","), ForceOptions(decimal=".")),
    (GOOD.replace(b"0.300,", b"1e308,", 1).replace(b"0.301,", b"-1e308,", 1), ForceOptions()),
    (GOOD.replace(b"\n0.", b"\n0.0000e-300"), ForceOptions()),
    (GOOD.replace(b"\n0.3", b"\n1e400"), ForceOptions()),
    (GOOD.replace(b",3", b",inf"), ForceOptions(columns=("2", "3"))),
    (GOOD.replace(b"\n0.4", b'\n"0.\r4'), ForceOptions()),
    (GOOD.replace(b"\n0.4", b"\n\xc3(0.4,"), ForceOptions()),
    (GOOD, ForceOptions(time="left_n")),
    (NEVER_TOGETHER, ForceOptions()),
    (GOOD.replace(b"time_s", b"x (mm)"), ForceOptions(columns=("1",), rate_hz=1000.0)),
]


@pytest.mark.parametrize("number", range(len(ONCE_BROKE)))
def test_damage_that_once_broke_the_reader(number):
    data, options = ONCE_BROKE[number]
    assert data != GOOD or options != ForceOptions()
    check(data, options)


def test_rows_of_very_many_numbers_are_refused_quickly():
    row = b",".join([b"1"] * 100_000)  # a search through columns that is not by hash takes 30 s
    check(row + b"\n" + row + b"\n", ForceOptions())
    with pytest.raises(RecordingError, match="one sample a line"):
        parse_force(row + b"\n" + row + b"\n")

"""However a recording is written down, it reads as the same force on the same axis."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.record import Side
from countermove.recordings import ForceOptions, parse_force
from tests.builders.good_recording import GOOD, KILOGRAM_N, POUND_N, RATE_HZ

STEP = 2  # every second sample keeps the tests fast; 500 Hz is a plate's rate too
TIME_S = GOOD.time_s[::STEP]
LEFT_N, RIGHT_N = GOOD.left_n[::STEP], GOOD.right_n[::STEP]
BOTH = np.stack([LEFT_N, RIGHT_N])
# unit, newtons in one (BIPM SI brochure; pound agreement of 1959), decimals printed
UNITS = [("N", 1.0, 3), ("kN", 1000.0, 6), ("kgf", KILOGRAM_N, 5), ("lbf", POUND_N, 5)]
LAST_DIGIT_N = 0.0006  # half the last digit printed is 0.5 mN at most in each of these units
SEPARATORS = ["\t", ";", ",", "   "]
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"]
HEADINGS = [
    ("time", "left", "right"),
    ("Time", "Left Force", "Right Force"),
    ("t", "FzL", "FzR"),
    ("Zeit", "Kraft links", "Kraft rechts"),
    ("Temps", "Force gauche", "Force droite"),
    ("Tiempo", "Fuerza izquierda", "Fuerza derecha"),
    ("Tempo", "Forza sinistra", "Forza destra"),
    ("elapsed time", "L_Fz", "R_Fz"),
]
METADATA = [
    [],
    ["Trial: 3", "Note: hands on hips"],
    ["Größe: 181", "Gewicht: 70,0", "", "Bemerkung: keine"],
    ["Low-pass filter: 50 Hz", "Sampling rate: 500 Hz", "1"],
]


def written(
    *,
    heading: tuple[str, str, str] = HEADINGS[0],
    unit: tuple[str, float, int] = UNITS[0],
    separator: str = ",",
    decimal: str = ".",
    order: tuple[int, ...] = (0, 1, 2),
    extra: tuple[str, ...] = (),
    above: list[str] | None = None,
    units_row: bool = False,
    start_s: float = 0.0,
    end: str = "\n",
) -> str:
    """Write the recording down; each name in `extra` adds a column that is no vertical force."""
    name, newtons, digits = unit
    units = ("s", name, name, *("mm" for _ in extra))
    names = (*heading, *extra)
    bracketed = "".join if units_row else None
    heads = [n if bracketed else f"{n} [{u}]" for n, u in zip(names, units, strict=True)]
    columns = [
        [f"{t + start_s:.3f}" for t in TIME_S],
        [f"{f / newtons:.{digits}f}" for f in LEFT_N],
        [f"{f / newtons:.{digits}f}" for f in RIGHT_N],
        *([f"{np.cos(i + k):.2f}" for i in range(TIME_S.size)] for k, _ in enumerate(extra)),
    ]
    places = (*order, *range(3, 3 + len(extra)))
    rows = zip(*(columns[i] for i in places), strict=True)
    lines = [*(above or []), separator.join(heads[i] for i in places)]
    if units_row:
        lines.append(separator.join(f"[{units[i]}]" for i in places))
    lines += [separator.join(row).replace(".", decimal) for row in rows]
    return end.join(lines) + end


def assert_same(trace, start_s=0.0, bound=LAST_DIGIT_N):
    assert trace.rate_hz == RATE_HZ / STEP
    assert trace.start_s == pytest.approx(start_s, abs=0.0005)  # half of the last digit printed
    assert trace.sides == (Side.LEFT, Side.RIGHT)
    assert trace.force_n.shape == BOTH.shape
    assert np.abs(trace.force_n - BOTH).max() <= bound
    assert not trace.missing.any()


@given(
    heading=st.sampled_from(HEADINGS),
    unit=st.sampled_from(UNITS),
    separator=st.sampled_from(SEPARATORS),
    decimal=st.sampled_from(".,"),
    encoding=st.sampled_from(ENCODINGS),
    order=st.permutations((0, 1, 2)).map(tuple),
    extra=st.lists(
        st.sampled_from(("Mx", "My", "CoPx", "COPy", "Ax")), max_size=3, unique=True
    ).map(tuple),
    above=st.sampled_from(METADATA),
    units_row=st.booleans(),
    end=st.sampled_from(("\n", "\r\n", "\r")),
)
def test_however_it_is_written_it_reads_the_same(encoding, **ways):
    if ways["separator"] == ",":
        ways["decimal"] = "."  # the comma cannot do both; test_broken_files asks about that
    if ways["separator"] == "   ":
        ways["heading"] = tuple(name.replace(" ", "_") for name in ways["heading"])
    assert_same(parse_force(written(**ways).encode(encoding)))


@given(start_s=st.integers(-20_000, 2_000_000_000_000))  # ms; clocks may count from 1970
def test_a_shift_in_time_moves_the_start_only(start_s):
    start_s /= 1000
    assert_same(parse_force(written(start_s=start_s).encode()), start_s)


@given(rate_hz=st.integers(60, 2000), decimals=st.integers(3, 6), seconds=st.integers(3, 12))
def test_any_rate_is_found_from_rounded_times(rate_hz, decimals, seconds):
    times = np.arange(rate_hz * seconds) / rate_hz
    force = np.interp(times, [0, 1.5, 1.6, 2.0, 2.1, 60], [700, 700, 2, 2, 700, 700])
    force += np.sin(70 * times)
    rows = [f"{t:.{decimals}f},{f:.2f}" for t, f in zip(times, force, strict=True)]
    trace = parse_force("\n".join(["time (s),Fz (N)", *rows, ""]).encode())
    # A rate the printed times cannot tell from a rounder one may be that: two last digits in all.
    assert trace.rate_hz == pytest.approx(rate_hz, rel=2 * 10.0**-decimals / seconds + 1e-9)
    assert trace.force_n.shape == (1, times.size)


@given(
    start=st.integers(1, TIME_S.size - 40),
    length=st.integers(1, 30),
    how=st.sampled_from(("row", "blank", "NaN")),
)
def test_lost_samples_are_filled_and_marked(start, length, how):
    lines = written().splitlines()
    gone = range(start + 1, start + 1 + length)
    for i in gone:
        lines[i] = f"{lines[i].split(',')[0]},{how},{how}".replace("blank", "")
    kept = [line for i, line in enumerate(lines) if how != "row" or i not in gone]
    trace = parse_force("\n".join([*kept, ""]).encode())
    assert trace.force_n.shape == BOTH.shape
    assert np.flatnonzero(trace.missing).tolist() == list(range(start, start + length))
    assert [note.code for note in trace.notes] == ["dropped-samples"]
    inside = slice(start, start + length)
    straight = np.interp(TIME_S[inside], TIME_S[~trace.missing], LEFT_N[~trace.missing])
    assert trace.force_n[0, inside] == pytest.approx(straight, abs=LAST_DIGIT_N)


@given(swap=st.booleans(), offset=st.floats(-20, 20), share=st.floats(0.3, 0.48))
def test_without_a_heading_columns_are_told_by_what_they_do(swap, offset, share):
    total = LEFT_N + RIGHT_N
    plates = [share * total + offset / 2, (1 - share) * total + np.sin(TIME_S) + offset / 2]
    columns = [TIME_S, *plates]
    order = (2, 0, 1) if swap else (0, 1, 2)
    rows = ["\t".join(f"{columns[i][k]:.3f}" for i in order) for k in range(TIME_S.size)]
    trace = parse_force("\n".join([*rows, ""]).encode())
    assert trace.rate_hz == RATE_HZ / STEP
    assert trace.sides == (None, None)
    assert trace.total_n == pytest.approx(sum(plates), abs=2 * LAST_DIGIT_N)
    assert [note.code for note in trace.notes] == ["unit-found"]


@pytest.mark.parametrize(
    "above",
    [
        "Sampling rate: 500 Hz",
        "Sample rate,500",
        "Rate (Hz);500",
        "Abtastrate = 500,0 Hz",
        "Fréquence d'échantillonnage : 500 Hz",
        "Frecuencia de muestreo (Hz): 500",
        "0.5 kHz",
        "Frequency=500Hz",
        "Samples per second: 500",
        "sampling interval: 2 ms",
        "Sample period: 0.002 s",
        "# fs = 500",
    ],
)
def test_a_rate_is_read_from_the_line_that_states_it(above):
    rows = [f"{a:.3f};{b:.3f}" for a, b in BOTH.T]
    text = "\n".join(["Mains 50 Hz", "Cut-off 20 Hz", above, "left [N];right [N]", *rows, ""])
    assert_same(parse_force(text.encode("latin-1")))


def test_the_caller_may_name_everything():
    text = written(heading=("a", "b", "c"), separator=";", decimal=",")
    for name in ("a [s]", "b [N]", "c [N]"):
        text = text.replace(name, name[0])
    options = ForceOptions(
        time="a", time_unit="s", unit="N", left="b", right="3", decimal=",", separator="semicolon"
    )
    assert_same(parse_force(text.encode(), options=options))


def test_counted_samples_show_what_was_lost():
    rows = [f"{i},{a:.3f},{b:.3f}" for i, (a, b) in enumerate(BOTH.T, 1) if not 500 <= i < 503]
    text = "\n".join(["rate: 500 Hz", "Frame,FzL (N),FzR (N)", *rows, ""])
    trace = parse_force(text.encode())
    assert np.flatnonzero(trace.missing).tolist() == [499, 500, 501]


def test_quoted_cells_may_hold_decimal_commas():
    lines = written().splitlines()
    quoted = [",".join(f'"{cell}"' for cell in line.split(",")) for line in lines[1:]]
    text = "\n".join([lines[0], *(line.replace(".", ",") for line in quoted), ""])
    assert_same(parse_force(text.encode()))


def test_rows_may_end_with_a_separator():
    head, *rows = written(separator=";").splitlines()
    assert_same(parse_force("\n".join([head, *(f"{row};" for row in rows), ""]).encode()))


def test_a_line_that_names_the_separator_is_passed_over():
    assert_same(parse_force(("sep=;\n" + written(separator=";", decimal=",")).encode()))


def test_a_column_of_clock_times_is_left_out():
    head, *rows = written(above=["Rate: 500 Hz"]).splitlines()[1:]
    lines = [f"10:00:{row}" for row in rows]
    assert_same(parse_force("\n".join(["Rate: 500 Hz", head, *lines, ""]).encode()))


def test_a_blank_line_in_one_column_is_a_lost_sample():
    rows = [f"{force:.3f}" for force in LEFT_N + RIGHT_N]
    rows[700] = ""
    trace = parse_force("\n".join(["Rate: 500 Hz", "Fz (N)", *rows, ""]).encode())
    assert np.flatnonzero(trace.missing).tolist() == [700]
    assert trace.total_n.size == TIME_S.size

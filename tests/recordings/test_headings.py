import pytest

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.record import Side
from countermove.recordings import ForceOptions, parse_force
from countermove.recordings.labels import read_label
from countermove.recordings.metadata import stated_rates_hz, stated_units
from tests.builders.good_recording import GOOD

LEFT, RIGHT = Side.LEFT, Side.RIGHT
# heading, kind, side, unit: everyday spellings of the trade, in six tongues (common practice)
HEADINGS = [
    ("Time (s)", "time", None, "s"),
    ("time_ms", "time", None, "ms"),
    ("Zeit [s]", "time", None, "s"),
    ("t", "time", None, ""),
    ("ms", "time", None, "ms"),
    ("Sample time", "time", None, ""),
    ("Frame", "counter", None, ""),
    ("Sample No.", "counter", None, ""),
    ("Muestra", "counter", None, ""),
    ("Fz", "force", None, ""),
    ("Fz (N)", "force", None, "N"),
    ("FzL", "force", LEFT, ""),
    ("FZR", "force", RIGHT, ""),
    ("RFz [N]", "force", RIGHT, "N"),
    ("F1z", "force", None, ""),
    ("left_n", "force", LEFT, "N"),
    ("Right Vertical Force (kN)", "force", RIGHT, "kN"),
    ("Kraft links in N", "force", LEFT, "N"),
    ("KraftRechts", "force", RIGHT, ""),
    ("Force verticale gauche", "force", LEFT, ""),
    ("Fuerza derecha (kgf)", "force", RIGHT, "kgf"),
    ("vGRF / BW", "force", None, "relative"),
    ("Load cell [mV]", "force", None, "raw"),
    ("Fx", "shear", None, ""),
    ("Left Fy [N]", "shear", LEFT, "N"),
    ("Anterior force", "shear", None, ""),
    ("Mz", "other", None, ""),
    ("COPx [mm]", "other", None, "other"),
    ("Left knee angle", "other", LEFT, ""),
    ("RFD (N/s)", "other", None, "other"),
    ("Power (W)", "other", None, "other"),
    ("whatever", "", None, ""),
]


@pytest.mark.parametrize(("text", "kind", "side", "unit"), HEADINGS)
def test_a_heading_says_what_its_column_is(text, kind, side, unit):
    label = read_label(text)
    assert (label.kind, label.side, label.unit) == (kind, side, unit)


@pytest.mark.parametrize(
    ("lines", "rates"),
    [
        (["Sampling rate: 1,000 Hz"], (1000.0,)),
        (["Rate: 1000.0 Hz", "Freq 1000 Hz"], (1000.0,)),
        (["Filter: low-pass 50 Hz", "Mains: 50 Hz"], ()),
        (["Video camera 240 Hz", "Analog rate 1200 Hz"], (1200.0,)),
        (["Number of samples: 5000", "Duration: 5 s"], ()),
        (["1 kHz", "500 Hz"], (1000.0, 500.0)),
        (["Date: 2024-05-01 10:20", "Body mass: 70 kg"], ()),
        (["x" * 100_000 + " rate 5"], ()),
    ],
)
def test_rates_are_told_from_other_frequencies(lines, rates):
    assert stated_rates_hz(lines) == rates


@pytest.mark.parametrize(
    ("line", "units"),
    [
        ("Unit: N", ("N",)),
        ("Force unit = kgf", ("kgf",)),
        ("Einheit;kN", ("kN",)),
        ("Units,BW", ("relative",)),
        ("Unit: 3", ()),
    ],
)
def test_units_are_read_from_the_line_that_states_them(line, units):
    assert stated_units([line]) == units


def file_of(head: str, *columns, step: int = 2) -> bytes:
    rows = zip(*(column[::step] for column in (GOOD.time_s, *columns)), strict=True)
    return "\n".join([head, *(",".join(f"{v:.4f}" for v in row) for row in rows), ""]).encode()


TOTAL = GOOD.left_n + GOOD.right_n


@pytest.mark.parametrize(
    ("head", "columns", "sides"),
    [
        ("time,Fz (N)", (TOTAL,), (None,)),
        ("time,Fz1 (N),Fz2 (N)", (GOOD.left_n, GOOD.right_n), (None, None)),
        ("time,R (N),L (N)", (GOOD.right_n, GOOD.left_n), (LEFT, RIGHT)),
        ("time,Fx (N),Fy (N),Fz (N)", (0.1 * TOTAL, -0.2 * TOTAL, TOTAL), (None,)),
        ("time,Total,Left (N),Right (N)", (TOTAL, GOOD.left_n, GOOD.right_n), (LEFT, RIGHT)),
        ("time,a (N),b (N),c (N)", (GOOD.left_n, GOOD.right_n, TOTAL), (None, None)),
        ("s,N", (TOTAL,), (None,)),
        ("time,Fz (N),body weight (N)", (TOTAL, 0 * TOTAL + 686.5), (None,)),
    ],
)
def test_the_total_is_counted_once_however_it_is_headed(head, columns, sides):
    trace = parse_force(file_of(head, *columns))
    rounding_n = 0.0001  # four decimals printed, two plates
    assert trace.sides == sides
    assert trace.total_n == pytest.approx(TOTAL[::2], abs=rounding_n)


@pytest.mark.parametrize(
    ("head", "columns"),
    [
        ("time,Fz raw (N),Fz smooth (N)", (TOTAL, 1.001 * TOTAL)),
        ("time,Fz (N),force (N)", (TOTAL, 0.1 * TOTAL)),
        ("time,Left (N),other", (GOOD.left_n, GOOD.right_n)),
        ("time,Left (N),Left (N)", (GOOD.left_n, GOOD.left_n)),
        ("time,a,b,c,d", (GOOD.left_n, GOOD.right_n, 0.4 * TOTAL, 0.6 * TOTAL)),
    ],
)
def test_columns_that_may_be_either_are_asked_for(head, columns):
    with pytest.raises(AmbiguousRecording, match="--columns") as caught:
        parse_force(file_of(head, *columns))
    assert caught.value.flag == "--columns"


@pytest.mark.parametrize(
    ("options", "flag"),
    [
        (ForceOptions(columns=("Fz9",)), "--columns"),
        (ForceOptions(columns=("7",)), "--columns"),
        (ForceOptions(left="nobody"), "--left"),
        (ForceOptions(right="0"), "--right"),
        (ForceOptions(left="2", right="2"), "--left"),
        (ForceOptions(time="clock"), "--time"),
    ],
)
def test_a_column_that_is_not_there_names_those_that_are(options, flag):
    with pytest.raises(AmbiguousRecording) as caught:
        parse_force(file_of("time,Fz1 (N),Fz2 (N)", GOOD.left_n, GOOD.right_n), options=options)
    assert caught.value.flag == flag
    assert "Fz1 (N)" in str(caught.value)


def test_naming_one_foot_tells_the_other():
    data = file_of("time,Fz1 (N),Fz2 (N)", GOOD.left_n, GOOD.right_n)
    trace = parse_force(data, options=ForceOptions(left="Fz2 (N)"))
    assert trace.sides == (LEFT, RIGHT)
    assert trace.force_n[0] == pytest.approx(GOOD.right_n[::2], abs=0.0001)


def test_shear_alone_is_no_vertical_force():
    with pytest.raises(UnreadableRecording, match="vertical force"):
        parse_force(file_of("time,Fx (N),Fy (N)", TOTAL, TOTAL))


def test_a_column_of_time_without_numbers_is_asked_about():
    data = file_of("time,Fz (N)", TOTAL).replace(b"time,", b"clock,time,").replace(b"\n", b"\nx,")
    data = data.replace(b"x,clock", b"clock").removesuffix(b"x,")
    with pytest.raises(AmbiguousRecording, match="not numbers") as caught:
        parse_force(data, options=ForceOptions(time="clock"))
    assert caught.value.flag == "--time"
    with pytest.raises(AmbiguousRecording, match="--time"):
        parse_force(data.replace(b"\nx,", b"\n,"), options=ForceOptions(time="clock"))

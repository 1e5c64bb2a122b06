import numpy as np
import pytest

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.recordings import ForceOptions, parse_force
from countermove.recordings.timeline import timeline_of


def file_of(times, digits=3, head="time (s),Fz (N)", above=()) -> bytes:
    force = 700 + 5 * np.sin(np.arange(len(times)) / 7)
    rows = [f"{t:.{digits}f},{f:.2f}" for t, f in zip(times, force, strict=True)]
    return "\n".join([*above, head, *rows, ""]).encode()


def codes(trace) -> list[str]:
    return [note.code for note in trace.notes]


@pytest.mark.parametrize("rate_hz", [450, 480, 512, 600, 999, 1000, 1200, 2000])
def test_a_rate_is_found_from_three_decimals(rate_hz):
    trace = parse_force(file_of(np.arange(4 * rate_hz) / rate_hz))
    assert trace.rate_hz == rate_hz
    assert codes(trace) == []


@pytest.mark.parametrize("rate_hz", [450, 1000, 2000])
@pytest.mark.parametrize("lost", [[900], [400, 401, 402, 1300], list(range(700, 760))])
def test_lost_rows_do_not_move_the_rate(rate_hz, lost):
    times = np.arange(4 * rate_hz) / rate_hz
    trace = parse_force(file_of(np.delete(times, lost), digits=4))
    assert trace.rate_hz == rate_hz
    assert np.flatnonzero(trace.missing).tolist() == lost
    assert trace.force_n.shape[1] == times.size


@pytest.mark.parametrize(
    ("scale", "head", "unit_code"),
    [
        (1.0, "time,Fz (N)", None),
        (1.0, "time (ms),Fz (N)", "time-in-s"),
        (1e3, "time (ms),Fz (N)", None),
        (1e3, "time (s),Fz (N)", "time-in-ms"),
        (1e3, "time,Fz (N)", "time-in-ms"),
        (1e6, "time (us),Fz (N)", None),
    ],
)
def test_seconds_and_milliseconds_are_told_apart(scale, head, unit_code):
    trace = parse_force(file_of(scale * np.arange(3000) / 500, head=head))
    assert trace.rate_hz == 500
    assert codes(trace) == ([unit_code] if unit_code else [])


def test_a_stated_rate_settles_what_the_times_leave_open():
    data = file_of(0.1 * np.arange(20_000), above=["Sampling rate: 10000 Hz"])
    assert parse_force(data).rate_hz == 10_000


def test_a_given_rate_still_finds_lost_rows():
    times = np.delete(np.arange(4000) / 1000, [77, 78])
    trace = parse_force(file_of(times), options=ForceOptions(rate_hz=1000))
    assert np.flatnonzero(trace.missing).tolist() == [77, 78]


def test_a_wavering_clock_is_read_between_and_doubted():
    rng = np.random.default_rng(3)
    times = (np.arange(3000) + rng.uniform(-0.4, 0.4, 3000)) / 1000
    trace = parse_force(file_of(times, digits=6))
    assert codes(trace) == ["uneven-time"]
    assert trace.rate_hz == pytest.approx(1000, rel=1e-3)  # one step's waver over three seconds


@pytest.mark.parametrize("times", [np.zeros(2000), np.arange(2000) * 0.7])
def test_a_given_rate_stands_for_times_that_say_nothing(times):
    trace = parse_force(file_of(times), options=ForceOptions(rate_hz=500))
    assert (trace.rate_hz, trace.start_s, codes(trace)) == (500, 0.0, ["time-ignored"])


@pytest.mark.parametrize(
    ("times", "error", "text"),
    [
        (np.zeros(2000), UnreadableRecording, "never changes"),
        (np.cumsum(np.geomspace(0.001, 1, 2000)), UnreadableRecording, "unevenly"),
        (np.repeat(np.arange(1000), 2) / 1000, AmbiguousRecording, "--rate"),
        (np.r_[0:2:0.001, 0.5:2.5:0.001], UnreadableRecording, "backwards after row 2000"),
        (np.r_[0:1:0.001, 5:6:0.001], UnreadableRecording, "are missing"),
        (np.arange(300) / 1000, UnreadableRecording, "300 samples"),
        (np.arange(3000) / 25, UnreadableRecording, "25 samples a second"),
        (np.arange(3000) * 1e-6, UnreadableRecording, "more than any force plate"),
    ],
)
def test_times_that_are_no_axis_are_refused(times, error, text):
    with pytest.raises(error, match=text):
        parse_force(file_of(times, digits=7))


def test_two_columns_of_time_must_agree():
    rows = [f"{i / 1000:.3f},{i / 500:.3f},700.{i % 7}" for i in range(3000)]
    data = "\n".join(["time,elapsed time,Fz (N)", *rows, ""]).encode()
    with pytest.raises(AmbiguousRecording, match="--time"):
        parse_force(data)
    assert parse_force(data, options=ForceOptions(time="elapsed time")).rate_hz == 500


def test_a_row_written_twice_at_a_coarse_digit_is_seen():
    times = np.arange(5000) / 1000
    line = timeline_of(np.insert(times, 3000, times[3000]), 0.001)
    assert line.step == 0.001
    assert [note.code for note in line.notes] == ["time-repeated"]

"""Notes on events set by hand: how far from the found ones, and what that does to the heights."""

from __future__ import annotations

from countermove.jumps.by_hand import WORDS
from countermove.jumps.reading import ByHand, Reading
from countermove.jumps.remarks import DOUBT_M, Notes, graver, level_n, remark

CODES = {
    "weighing_s": "weighing-by-hand",
    "onset_s": "onset-by-hand",
    "takeoff_s": "takeoff-by-hand",
    "landing_s": "landing-by-hand",
}
LOADED_SHARE = 0.05  # of weight; with more on the plate the feet have not left it (our-default)


def set_by_hand(reading: Reading) -> Notes:
    """Say each event that a hand set; doubt it where a height moves by a centimetre."""
    if reading.by_hand is None:
        return
    said = _heights_said(reading, reading.by_hand.found)
    for name, code in CODES.items():
        if getattr(reading.by_hand.events, name) is None:
            continue
        cost = _cost_m(name, reading, reading.by_hand.found)
        loaded = _still_loaded(reading) if name == "takeoff_s" else ""
        text = f"The {WORDS[name]} was set by hand, {_moved(name, reading)}.{loaded}{said}"
        doubted = bool(loaded) or cost is None or cost >= DOUBT_M
        yield remark(code, graver(doubted), text, cost)
        said = ""  # once is enough: the heights move by all of them together


def _moved(name: str, reading: Reading) -> str:
    """Say how far an event lies from the found one."""
    by_hand = reading.by_hand
    assert by_hand is not None
    if name == "weighing_s":
        return _weighed(reading, by_hand)
    time, found = getattr(by_hand.events, name), by_hand.found_s(name)
    if found is None:
        return f"at {time:.3f} s; none was found"
    apart_ms = 1000 * (time - found)
    if abs(apart_ms) < 0.05:
        return f"at {time:.3f} s, where it was found"
    way = "later" if apart_ms > 0 else "earlier"
    return f"at {time:.3f} s, {abs(apart_ms):.1f} ms {way} than found ({found:.3f} s)"


def _weighed(reading: Reading, by_hand: ByHand) -> str:
    start, end = by_hand.events.weighing_s or (0.0, 0.0)
    window = f"from {start:.3f} to {end:.3f} s"
    here, there = reading.weighing, by_hand.found.weighing
    if here is None or there is None:
        return f"{window}; none was found"
    apart = here.weight_n - there.weight_n
    first, last = (by_hand.found.at(edge) for edge in (there.span.start, there.span.stop))
    return f"{window} (found: {first:.3f} to {last:.3f} s); the weight is {apart:+.1f} N for it"


def _still_loaded(reading: Reading) -> str:
    """Say if the plate still carried the athlete at the take-off that a hand set."""
    force = reading.end_n
    if force <= LOADED_SHARE * level_n(reading):
        return ""
    return (
        f" The plate still carried {force:.0f} N then, so the height by impulse is not that of the"
        " flight."
    )


def _cost_m(name: str, reading: Reading, found: Reading) -> float | None:
    """How far the heights that an event enters are from those found; None if one is missing."""
    pairs = []
    if name != "landing_s":
        pairs.append((reading.height_impulse_m, found.height_impulse_m))
    if name in ("takeoff_s", "landing_s"):
        pairs.append((reading.height_flight_m, found.height_flight_m))
    apart = [abs(a - b) for a, b in pairs if a is not None and b is not None]
    appeared = any((a is None) != (b is None) for a, b in pairs)
    return None if appeared else max(apart, default=0.0)


def _heights_said(reading: Reading, found: Reading) -> str:
    """Say how the heights differ from those found; empty where they do not."""
    pairs = (
        ("by impulse", reading.height_impulse_m, found.height_impulse_m),
        ("by flight time", reading.height_flight_m, found.height_flight_m),
    )
    moved = [
        f"{1000 * (a - b):+.0f} mm {how}"
        for how, a, b in pairs
        if a is not None and b is not None and abs(a - b) >= 0.0005
    ]
    return f" Against what was found the height is {' and '.join(moved)}." if moved else ""

"""The trace under hands: files dropped, brackets, a trial left out and back, a weighing moved."""

import logging
import re
from statistics import median

import pytest
from django.urls import reverse

from countermove.clinic.visits.models import TrialMark
from countermove.clinic.work.jump_trials import marked_trials
from tests.builders.good_recording import good_recording, table

READY = "figure.tracing[data-on='2']"
TEN_THOUSAND = 10_000
# One redraw; reading a pixel back waits until the canvas is really painted.
REDRAW_MS = """([samples, times]) => {
  const tracing = document.querySelector("figure.tracing").tracing;
  tracing.view = [tracing.first, tracing.first + (samples - 1) / tracing.marks.rate];
  const pen = tracing.canvas.getContext("2d"), taken = [];
  for (let i = 0; i < times; i += 1) {
    const began = performance.now();
    tracing.paint();
    pen.getImageData(0, 0, 1, 1);
    taken.push(performance.now() - began);
  }
  return [tracing.to - tracing.from, taken];
}"""
INK = """() => {
  const { canvas } = document.querySelector("figure.tracing").tracing;
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let dark = 0;
  for (let i = 3; i < data.length; i += 4) if (data[i] > 200) dark += 1;
  return dark;
}"""
VIEW = "() => document.querySelector('figure.tracing').tracing.view"


@pytest.fixture
def visit(juno):
    return juno.visits.last()


@pytest.fixture
def cmj(visit):
    return visit.recordings.get(kind="cmj")


@pytest.fixture
def trace(page, sign_in, ada, cmj):
    """The trace page of a trial, its script at work."""
    sign_in(ada)
    page.goto(reverse("trace", args=[cmj.sent_as, 1]))
    page.wait_for_selector(READY)
    return page


def reading(page):
    return page.get_by_role("slider", name="Reading line on the force trace")


def field(page, name):
    return page.locator(f"#move_{name}")


def open_move(page):
    page.locator("#open-move").click()
    grip(page, "landing_s").wait_for()


def grip(page, name):
    return page.locator(f".grip[data-event='{name}']")


def pull(page, name, by_px):
    """Drag a handle by its knob, with the mouse."""
    handle = grip(page, name)
    handle.scroll_into_view_if_needed()
    page.wait_for_timeout(100)  # two frames, for the view to widen
    box = handle.bounding_box()
    x, y = knob(box, turned="turned" in handle.get_attribute("class"))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + by_px, y, steps=4)
    page.mouse.up()


def knob(box, *, turned):
    """Give the middle of a handle's knob: at its left end, or where it is turned, at its right."""
    half = 22
    x = box["x"] + (box["width"] - half if turned else half)
    return x, box["y"] + half


def settled(page, words):
    """Wait until the page says so, and its new trace is drawn."""
    page.get_by_text(words).first.wait_for()
    page.wait_for_selector(READY)


def test_a_file_goes_in_and_its_brackets_show(page, sign_in, ada, visit, serious):
    sign_in(ada)
    page.goto(reverse("visit-recordings", args=[visit.key]))
    page.get_by_label("Countermovement jump", exact=True).check()
    data = table(good_recording()).encode()
    page.get_by_label("Drop the files here, or choose them").set_input_files(
        {"name": "good.csv", "mimeType": "text/csv", "buffer": data}
    )
    page.get_by_role("button", name="Read the files").click()
    page.get_by_text("good.csv: read and kept.").wait_for()
    assert serious(page) == []
    page.get_by_role("link", name="trial 4").click()
    page.wait_for_selector(READY)
    drawn = page.evaluate(
        "() => document.querySelector('figure.tracing').tracing.marks.phases.map((p) => p[0])"
    )
    assert drawn == ["weighing", "unweighting", "braking", "propulsion", "flight", "landing"]
    assert page.evaluate(INK) > 1000
    assert serious(page) == []


def test_a_trial_is_left_out_and_taken_back_without_a_new_page(trace, serious):
    trace.evaluate("() => { window.same = true; }")
    trace.get_by_text("Leave the trial out").click()
    trace.locator("#id_reason").fill("looked down")
    trace.get_by_role("button", name="Leave it out").click()
    settled(trace, "left out: looked down")
    assert trace.locator(".verdict del").is_visible()
    assert trace.get_by_text("1 more not used").is_visible()
    assert serious(trace) == []
    trace.get_by_role("button", name="Take the trial back in").click()
    settled(trace, "mean of 3 trials")
    assert trace.locator("del").count() == 0
    assert trace.evaluate("() => window.same") is True


@pytest.mark.parametrize("page", ["desktop"], indirect=True)
def test_the_weighing_is_moved_by_keyboard_alone_and_undone(trace, cmj):
    before = marked_trials(cmj)[0].trial
    trace.locator("#open-move").focus()
    trace.keyboard.press("Enter")
    reading(trace).focus()
    trace.keyboard.press("Home")
    for _ in range(40):  # tenths of a second from the first sample
        trace.keyboard.press("PageUp")
    assert "4.000 s" in reading(trace).get_attribute("aria-valuetext")
    trace.keyboard.press("[")
    for _ in range(15):
        trace.keyboard.press("PageUp")
    trace.keyboard.press("]")
    start, end = field(trace, "start_s"), field(trace, "end_s")
    assert (start.input_value(), end.input_value()) == ("4.000", "5.500")
    trace.locator("#move_reason").focus()
    trace.keyboard.type("swayed before")
    trace.keyboard.press("Enter")
    settled(trace, "Undo the moved weighing")
    mark = TrialMark.objects.get()
    assert (mark.what, mark.value, mark.reason) == ("weighing", [4.0, 5.5], "swayed before")
    after = marked_trials(cmj)[0].trial
    assert (after.weighing_start_s, after.weighing_end_s) == (4.0, 5.5)
    trace.locator("#undo-weighing").focus()
    trace.keyboard.press("Enter")
    trace.get_by_role("button", name="Undo the moved weighing").wait_for(state="detached")
    assert marked_trials(cmj)[0].trial == before


def test_an_edge_of_the_weighing_is_dragged(trace):
    trace.locator("#open-move").click()
    start = field(trace, "start_s")
    held = float(start.input_value())
    pull(trace, "start_s", 40)
    assert float(start.input_value()) > held


def test_keys_read_and_zoom(trace):
    line = reading(trace)
    line.focus()
    first = float(line.get_attribute("aria-valuenow"))
    trace.keyboard.press("ArrowRight")
    second = float(line.get_attribute("aria-valuenow"))
    trace.keyboard.press("Shift+ArrowRight")
    assert first < second < float(line.get_attribute("aria-valuenow")) < first + 1
    start, end = trace.evaluate(VIEW)
    trace.keyboard.press("+")
    trace.wait_for_function(f"() => ({VIEW})()[1] - ({VIEW})()[0] < {0.7 * (end - start)}")
    trace.keyboard.press("-")
    trace.wait_for_function(f"() => ({VIEW})()[1] - ({VIEW})()[0] > {0.9 * (end - start)}")
    for key, edge in (("Home", "aria-valuemin"), ("End", "aria-valuemax")):
        trace.keyboard.press(key)
        assert line.get_attribute("aria-valuenow") == line.get_attribute(edge)
    low, high = trace.evaluate(VIEW)
    assert low < float(line.get_attribute("aria-valuenow")) <= high + 1e-6


@pytest.mark.parametrize("page", ["phone"], indirect=True)
def test_on_a_phone_a_finger_reads_and_nothing_overflows(trace):
    box = reading(trace).bounding_box()
    trace.touchscreen.tap(box["x"] + 100, box["y"] + 150)
    left = float(reading(trace).get_attribute("aria-valuenow"))
    trace.touchscreen.tap(box["x"] + 200, box["y"] + 150)
    assert float(reading(trace).get_attribute("aria-valuenow")) > left
    assert trace.evaluate("() => document.documentElement.scrollWidth") <= 390
    for button in trace.locator("main button:visible, main summary:visible").all():
        assert button.bounding_box()["height"] >= 44


def test_a_turned_screen_is_drawn_again(trace):
    wide = trace.evaluate("() => document.querySelector('canvas').width")
    trace.set_viewport_size({"width": 700, "height": 390})
    trace.wait_for_function(f"() => document.querySelector('canvas').width !== {wide}")
    assert trace.evaluate(INK) > 1000


def test_a_redraw_of_ten_thousand_samples(trace, record_property):
    """The budget is 16 ms; what was met is reported, as time on a shared machine proves little."""
    samples, taken = trace.evaluate(REDRAW_MS, [TEN_THOUSAND, 60])
    assert abs(samples - TEN_THOUSAND) <= 2
    record_property("median_redraw_ms", median(taken))
    told = "redraw of %d samples: median %.2f ms, most %.2f ms"
    logging.getLogger(__name__).warning(told, samples, median(taken), max(taken))


# Events under hands


def test_a_handle_is_dragged_stepped_by_keys_undone_and_kept(trace, cmj, serious):
    found = marked_trials(cmj)[0].trial
    open_move(trace)
    takeoff = field(trace, "takeoff_s")
    first = takeoff.input_value()
    assert first == f"{found.takeoff_s:.3f}"
    handle = grip(trace, "takeoff_s")
    handle.focus()
    for keys, apart_ms in (("ArrowRight", 1), ("Shift+ArrowRight", 11), ("ArrowLeft", 10)):
        trace.keyboard.press(keys)
        assert float(takeoff.input_value()) == pytest.approx(float(first) + apart_ms / 1000)
    assert "+10 ms from where it was found" in handle.get_attribute("aria-valuetext")
    pull(trace, "takeoff_s", 30)
    assert float(takeoff.input_value()) > float(first) + 0.011
    trace.locator("#step-back").click()
    assert float(takeoff.input_value()) == pytest.approx(float(first) + 0.010)
    handle.focus()
    trace.keyboard.press("Control+z")
    assert float(takeoff.input_value()) == pytest.approx(float(first) + 0.011)
    trace.keyboard.press("Control+z")
    trace.keyboard.press("Control+z")
    assert takeoff.input_value() == first
    assert trace.locator("#step-back").is_disabled()
    assert not TrialMark.objects.exists()
    trace.keyboard.press("Shift+ArrowLeft")
    assert serious(trace) == []
    trace.locator("#move_reason").fill("edge rings")
    trace.get_by_role("button", name="Set by hand").click()
    settled(trace, "Undo the moved take-off")
    mark = TrialMark.objects.get()
    assert (mark.what, mark.value) == ("takeoff", pytest.approx(float(first) - 0.010))
    assert trace.get_by_text(re.compile(r"\d+\.\d ms earlier than found")).first.is_visible()
    trace.locator("#reset").click()
    trace.get_by_role("button", name="Reset to found").wait_for(state="detached")
    assert marked_trials(cmj)[0].trial == found


def test_all_back_to_found_is_one_step(trace):
    open_move(trace)
    landing = field(trace, "landing_s")
    first = landing.input_value()
    landing.fill("7.9")
    landing.blur()
    grip(trace, "onset_s").focus()
    trace.keyboard.press("ArrowLeft")
    trace.locator("#all-found").click()
    assert landing.input_value() == first == landing.get_attribute("data-found")
    trace.locator("#step-back").click()
    assert landing.input_value() == "7.9"


def test_a_handle_stays_between_its_neighbours(trace):
    open_move(trace)
    handle = grip(trace, "landing_s")
    handle.focus()
    for _ in range(12):
        trace.keyboard.press("PageDown")
    takeoff, landing = (
        float(field(trace, f"{name}_s").input_value()) for name in ("takeoff", "landing")
    )
    assert landing == pytest.approx(takeoff + 0.001)


def test_the_small_figures_follow_the_view(trace):
    shown = ".figures .moment[display=inline]"
    assert trace.locator(shown).count() >= 4
    assert trace.locator(shown + "[data-name=flight]").count() == 1
    flight = "document.querySelector('.figures .moment[data-name=flight]')"
    where = f"() => {flight}.getAttribute('transform')"
    before = trace.evaluate(where)
    reading(trace).focus()
    trace.keyboard.press("-")
    trace.wait_for_function(f"() => ({where})() !== {before!r}")


@pytest.mark.parametrize("page", ["phone"], indirect=True)
def test_a_finger_drags_a_handle_of_its_own_size(trace):
    open_move(trace)
    handle, landing = grip(trace, "landing_s"), field(trace, "landing_s")
    handle.scroll_into_view_if_needed()
    trace.wait_for_timeout(100)  # two frames, for the view to widen
    box = handle.bounding_box()
    assert min(box["height"], box["width"]) >= 44
    first = float(landing.input_value())
    x, y = knob(box, turned="turned" in handle.get_attribute("class"))
    touch = trace.context.new_cdp_session(trace)
    for kind, points in (
        ("touchStart", [{"x": x, "y": y}]),
        ("touchMove", [{"x": x + 6, "y": y + 9}]),
        ("touchMove", [{"x": x + 12, "y": y + 18}]),
        ("touchEnd", []),
    ):
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    assert float(landing.input_value()) > first + 0.01


@pytest.mark.parametrize("page", ["desktop"], indirect=True)
def test_without_a_script_the_drawing_stands(chromium, live_server, page, sign_in, ada, cmj):
    sign_in(ada)
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies(page.context.cookies())
    plain = context.new_page()
    plain.goto(reverse("trace", args=[cmj.sent_as, 1]))
    assert plain.locator(".wide svg .trace").is_visible()
    assert plain.get_by_role("slider").count() == 0
    plain.get_by_role("button", name="Keep the trial").click()
    plain.get_by_role("button", name="Undo “kept”").wait_for()
    assert plain.locator(".wide .moment").count() == 5
    plain.locator("#open-move").click()
    held = float(plain.locator("#move_landing_s").input_value())
    plain.locator("#move_landing_s").fill(f"{held + 0.004:.3f}")
    plain.locator("#move_reason").fill("rang before")
    plain.get_by_role("button", name="Set by hand").click()
    plain.get_by_role("button", name="Reset to found").wait_for()
    plain.get_by_text("Times of events and phases").click()
    row = plain.locator("tr", has_text="landing").first
    assert row.locator("td").all_inner_texts()[2].startswith("+")
    plain.get_by_role("button", name="Reset to found").click()
    plain.get_by_role("button", name="Undo “landing as found”").wait_for()
    context.close()

"""The trace under hands: files dropped, brackets, a trial left out and back, a weighing moved."""

import logging
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
    start, end = trace.get_by_label("Weighing starts at"), trace.get_by_label("and ends at")
    assert (start.input_value(), end.input_value()) == ("4.00", "5.50")
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
    trace.get_by_text("Move the weighing").click()
    start = trace.get_by_label("Weighing starts at")
    held = float(start.input_value())
    holder = reading(trace)
    holder.scroll_into_view_if_needed()
    trace.wait_for_timeout(100)  # two frames, for the view to widen
    box = holder.bounding_box()
    x = trace.evaluate("(at) => document.querySelector('figure.tracing').tracing.x(at)", held)
    trace.mouse.move(box["x"] + x, box["y"] + 200)
    trace.mouse.down()
    trace.mouse.move(box["x"] + x + 40, box["y"] + 200, steps=4)
    trace.mouse.up()
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
    context.close()

"""Recordings in, trials marked by hand, and an examination that honours the marks."""

import json
import uuid
from datetime import timedelta
from hashlib import sha256
from statistics import fmean

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from countermove.catalogue import load_catalogue
from countermove.charts.trace import FIGURE_FLOOR_PX, STRIP_PX
from countermove.clinic.people.models import Clearance
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.models import Recording, TrialMark
from countermove.clinic.work import uploads
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.jump_pages import small_figures
from countermove.clinic.work.jump_trials import marked_trials, trace_of
from countermove.clinic.work.models import Result
from countermove.jumps import HandEvents, analyse_jumps
from countermove.record import JumpKind
from countermove.recordings import parse_force
from tests.builders.good_recording import good_recording, table

pytestmark = pytest.mark.django_db

GOOD = table(good_recording()).encode()
TIMELESS = "\n".join(line.split(",", 1)[1] for line in GOOD.decode().splitlines()).encode()
PICTURE = b"\x89PNG\r\n\x1a\n" + bytes(200)


@pytest.fixture
def visit(juno):
    return juno.visits.last()


@pytest.fixture
def cmj(visit):
    return visit.recordings.get(kind="cmj")


def url_of(row, number=1, name="trace"):
    return reverse(name, args=[row.sent_as, number])


def signed(client, user):
    client.force_login(user)
    return client


def send(client, visit, *files, kind="cmj", sent_as=None):
    sent = [SimpleUploadedFile(name, data) for name, data in files]
    return client.post(
        reverse("visit-recordings", args=[visit.key]),
        {"kind": kind, "dropped": sent, "sent_as": sent_as or uuid.uuid4()},
        follow=True,
    )


def marked(client, row, number=1, **sent):
    return client.post(url_of(row, number), sent, follow=True)


# Whose it is


def test_each_view_by_owner_reader_stranger_and_nobody(client, visit, cmj, ada, ben, cleo):
    pages = [
        reverse("visit-recordings", args=[visit.key]),
        url_of(cmj),
        url_of(cmj, name="trace-data"),
    ]
    for page in pages:
        answer = client.get(page)
        assert answer.status_code == 302
        assert answer.url.startswith(reverse("account_login"))
    for user, status in ((ada, 200), (ben, 200), (cleo, 404)):
        signed(client, user)
        assert [client.get(page).status_code for page in pages] == [status] * len(pages)


def test_a_reader_and_a_stranger_change_nothing(client, visit, cmj, ben, cleo):
    settle = reverse("recording-settle", args=[visit.key, uuid.uuid4()])
    for user in (ben, cleo):
        signed(client, user)
        assert send(client, visit, ("a.csv", GOOD)).status_code == 404
        assert marked(client, cmj, act="keep").status_code == 404
        assert client.post(settle, {}).status_code == 404
    client.logout()
    assert client.post(url_of(cmj), {"act": "keep"}).status_code == 302
    assert client.post(settle, {}).status_code == 302
    assert not TrialMark.objects.exists()
    assert visit.recordings.count() == 2


def test_a_reader_is_offered_no_change(client, visit, cmj, ben):
    signed(client, ben)
    for page in (reverse("visit-recordings", args=[visit.key]), url_of(cmj)):
        assert 'method="post"' not in client.get(page).content.decode().split("<main")[1]


def test_every_look_is_logged(client, cmj, ada):
    signed(client, ada).get(url_of(cmj))
    client.get(url_of(cmj, name="trace-data"))
    marked(client, cmj, act="keep")
    found = AccessEntry.objects.filter(kind="recording", key=str(cmj.sent_as), by=ada)
    assert [entry.what for entry in found.order_by("pk")] == ["view", "view", "change", "view"]


# Files in


def test_a_file_is_read_kept_with_its_hash_and_examined(client, visit, ada):
    before = Result.objects.count()
    answer = send(signed(client, ada), visit, ("good.csv", GOOD))
    row = visit.recordings.get(name="good.csv")
    assert (row.kind, row.sha256, row.made_by) == ("cmj", sha256(GOOD).hexdigest(), ada)
    with row.file.open("rb") as file:
        assert file.read() == GOOD
    assert "good.csv: read and kept." in answer.content.decode()
    assert Result.objects.count() == before + 1
    jumps = Result.objects.latest("pk").output["jumps"]
    assert [len(jump["trials"]) for jump in jumps if jump["kind"] == "cmj"] == [4]


def test_several_files_go_in_at_once_and_a_broken_one_keeps_none_out(client, visit, ada):
    second = GOOD.replace(b"time_s", b"time (s)")
    files = [("a.csv", GOOD), ("photo.png", PICTURE), ("b.csv", second)]
    answer = send(signed(client, ada), visit, *files)
    assert set(visit.recordings.values_list("name", flat=True)) >= {"a.csv", "b.csv"}
    assert not visit.recordings.filter(name="photo.png").exists()
    with pytest.raises(ValueError, match=r".") as met:
        parse_force(PICTURE, name="photo.png")
    assert f"photo.png: not kept: {met.value}" in told(answer)


def told(answer):
    return [str(message) for message in answer.context["messages"]]


def test_the_same_file_is_kept_once_however_often_it_is_sent(client, visit, ada):
    signed(client, ada)
    once = uuid.uuid4()
    for sent_as in (once, once, uuid.uuid4()):
        answer = send(client, visit, ("good.csv", GOOD), sent_as=sent_as)
    assert visit.recordings.filter(sha256=sha256(GOOD).hexdigest()).count() == 1
    assert f"good.csv: on record already, of {visit.date}." in told(answer)


def test_a_send_that_comes_through_twice_at_once_stands_once(visit, ada, monkeypatch):
    once = uuid.uuid4()
    kinds = {"options": {}, "by": ada, "sent_as": once}
    first = uploads.take(visit, JumpKind.CMJ, "good.csv", GOOD, **kinds)
    monkeypatch.setattr(uploads, "same_file", lambda visit, data: None)  # as the other saw it
    again = uploads.take(visit, JumpKind.CMJ, "good.csv", GOOD, **kinds)
    assert (first.is_new, again.is_new) == (True, False)
    assert again.recording == first.recording


def test_a_file_without_a_jump_is_not_kept(client, visit, ada):
    standing = GOOD.splitlines()[:1500]
    answer = send(signed(client, ada), visit, ("still.csv", b"\n".join(standing)))
    assert "check that this is a recording of a jump" in " ".join(told(answer))
    assert not visit.recordings.filter(name="still.csv").exists()


def test_a_file_over_the_limit_is_refused_unread(client, visit, ada, monkeypatch):
    monkeypatch.setattr(uploads, "MOST_BYTES", 1000)
    monkeypatch.setattr(uploads, "take", lambda *args, **kwargs: pytest.fail("it was read"))
    answer = send(signed(client, ada), visit, ("good.csv", GOOD))
    assert "export the part with the jumps" in " ".join(told(answer))


def test_too_many_files_are_refused(client, visit, ada):
    answer = send(signed(client, ada), visit, *[(f"{i}.csv", GOOD) for i in range(13)])
    assert "13 files were sent" in answer.content.decode()
    assert visit.recordings.count() == 2


def test_without_clearance_no_jump_is_taken(client, visit, ada):
    latest = visit.athlete.clearances.latest("pk")
    Clearance.objects.create(
        athlete=visit.athlete, asked=latest.asked, expires=visit.date - timedelta(days=1),
        answers=latest.answers, reviewed_by=ada, made_by=ada,
    )  # fmt: skip
    page = signed(client, ada).get(reverse("visit-recordings", args=[visit.key]))
    assert "Jumping is closed, so no recording is taken" in page.content.decode()
    assert "The clearance expired" in page.content.decode()
    answer = send(client, visit, ("good.csv", GOOD))
    assert "This jump is closed" in str(answer.context["form"].errors)
    assert visit.recordings.count() == 2


# Questions of the reader


def question(client, visit):
    page = client.get(reverse("visit-recordings", args=[visit.key]))
    return page.context["waiting"]


def test_a_question_is_settled_with_the_same_upload(client, visit, ada):
    answer = send(signed(client, ada), visit, ("timeless.csv", TIMELESS))
    assert not visit.recordings.filter(name="timeless.csv").exists()
    (asked,) = question(client, visit)
    assert asked.flag == "--rate"
    assert "The file states no sampling rate" in answer.content.decode()
    assert [field.name for field in asked.asked()] == ["rate_hz"]
    settle = reverse("recording-settle", args=[visit.key, asked.word])
    answer = client.post(settle, {"rate_hz": "1000"}, follow=True)
    assert "timeless.csv: read and kept." in told(answer)
    row = visit.recordings.get(name="timeless.csv")
    assert row.options == {"rate_hz": 1000.0}
    plain, told_rate = analyse_jumps(parse_force(GOOD)), marked_trials(row)
    assert told_rate[0].trial.height_impulse_m == pytest.approx(
        plain[0].height_impulse_m, abs=1e-12
    )
    assert list(question(client, visit)) == []
    assert default_storage.listdir(uploads.WAITING)[1] == []


def test_columns_are_stored_as_they_were_told(client, visit, ada):
    three = GOOD.decode().splitlines()
    head, *rows = three
    data = "\n".join([f"{head},extra_n", *(f"{row},{row.split(',')[1]}" for row in rows)])
    data = data.replace("left_n,right_n,extra_n", "force a (N),force b (N),force c (N)").encode()
    send(signed(client, ada), visit, ("three.csv", data))
    (asked,) = question(client, visit)
    assert asked.flag == "--columns"
    settle = reverse("recording-settle", args=[visit.key, asked.word])
    client.post(settle, {"columns": "2; 3", "left": "2", "right": "3"})
    row = visit.recordings.get(name="three.csv")
    assert row.options == {"columns": ["2", "3"], "left": "2", "right": "3"}
    assert [side.value for side in trace_of(row).sides] == ["left", "right"]
    assert marked_trials(row)[0].trial.left_share_propulsion == pytest.approx(0.52, abs=0.005)


def test_a_further_question_keeps_the_file_waiting(client, visit, ada):
    send(signed(client, ada), visit, ("timeless.csv", TIMELESS))
    (asked,) = question(client, visit)
    settle = reverse("recording-settle", args=[visit.key, asked.word])
    answer = client.post(settle, {"rate_hz": "1000", "left": "no such column"}, follow=True)
    (again,) = question(client, visit)
    assert again.flag == "--left"
    assert again.form.initial["rate_hz"] == 1000.0
    assert "timeless.csv: has a question." in told(answer)


def test_an_answer_that_cannot_be_is_said_and_the_file_waits_on(client, visit, ada):
    send(signed(client, ada), visit, ("timeless.csv", TIMELESS))
    (asked,) = question(client, visit)
    settle = reverse("recording-settle", args=[visit.key, asked.word])
    answer = client.post(settle, {"rate_hz": "-5"}, follow=True)
    assert told(answer)[0].startswith("Not tried. Samples a second:")
    assert len(question(client, visit)) == 1


def test_a_file_with_a_question_waits_once_however_often_it_is_sent(client, visit, ada):
    signed(client, ada)
    for name in ("timeless.csv", "again.csv"):
        send(client, visit, (name, TIMELESS))
    assert [asked.name for asked in question(client, visit)] == ["again.csv"]
    assert len(default_storage.listdir(uploads.WAITING)[1]) == 1


def test_a_waiting_file_can_be_thrown_away(client, visit, ada):
    send(signed(client, ada), visit, ("timeless.csv", TIMELESS))
    (asked,) = question(client, visit)
    client.post(reverse("recording-settle", args=[visit.key, asked.word]), {"drop": "1"})
    assert list(question(client, visit)) == []
    assert default_storage.listdir(uploads.WAITING)[1] == []


def test_another_person_cannot_settle_what_waits(client, visit, ada, site):
    send(signed(client, ada), visit, ("timeless.csv", TIMELESS))
    (asked,) = question(client, visit)
    client.logout()
    signed(client, ada)  # another session, even of the same person
    settle = reverse("recording-settle", args=[visit.key, asked.word])
    assert client.post(settle, {"rate_hz": "1000"}).status_code == 404


def test_what_waited_a_day_is_gone(client, visit, ada, monkeypatch):
    send(signed(client, ada), visit, ("timeless.csv", TIMELESS))
    (asked,) = question(client, visit)
    later = timezone.now() + uploads.WAITS + timedelta(minutes=1)
    monkeypatch.setattr(uploads.timezone, "now", lambda: later)
    uploads.sweep()
    monkeypatch.undo()
    settle = reverse("recording-settle", args=[visit.key, asked.word])
    answer = client.post(settle, {"rate_hz": "1000"}, follow=True)
    assert "choose it again" in " ".join(told(answer))


# The trace


def test_the_page_works_without_a_script(client, cmj, ada):
    page = signed(client, ada).get(url_of(cmj))
    text, trial = page.content.decode(), marked_trials(cmj)[0].trial
    assert "Countermovement jump, trial 1 of 3" in text
    assert f"<b>{100 * trial.height_impulse_m:.1f} cm</b>" in text
    assert text.count("<svg viewBox") == 2
    assert '<title id="wide-trace-title">' in text
    for phase in trial.phases:
        assert f'<th scope="row">{phase.name}</th><td>{phase.start_s:.3f}</td>' in text
    assert trial.quality[0].text in text
    assert "style=" not in text.split("<main")[1]


def test_lengths_and_masses_follow_the_setting(client, cmj, ada):
    ada.units = "imperial"
    ada.save()
    text = signed(client, ada).get(url_of(cmj)).content.decode()
    trial = marked_trials(cmj)[0].trial
    # 1 in = 25.4 mm, 1 lb = 0.45359237 kg: exact by definition.
    assert f"<b>{trial.height_impulse_m / 0.0254:.1f} in</b>" in text
    assert f"{trial.mass_kg / 0.45359237:.1f} lb" in text


def test_the_signal_is_float32_plate_by_plate_for_this_browser_alone(client, cmj, ada):
    answer = signed(client, ada).get(url_of(cmj, name="trace-data"))
    assert "private" in answer["Cache-Control"]
    assert answer["Content-Type"] == "application/octet-stream"
    trace, trial = trace_of(cmj), marked_trials(cmj)[0].trial
    plates = np.frombuffer(answer.content, dtype="<f4").reshape(2, -1)
    last = round((trial.landing_s + 5) * trace.rate_hz)
    assert plates.shape[1] == last  # take-off lies less than 12 s from the first sample
    half_a_newton = 0.5  # float32 and the empty plate's own noise in flight
    at_zero = trace.total_n[:last] - trace.total_n[7000:7400].mean()
    assert np.abs(plates.sum(axis=0) - at_zero).max() < half_a_newton


def test_a_trial_that_does_not_exist_is_404_and_takes_no_mark(client, cmj, ada):
    signed(client, ada)
    assert client.get(url_of(cmj, 9)).status_code == 404
    assert client.get(url_of(cmj, 9, "trace-data")).status_code == 404
    assert marked(client, cmj, 9, act="keep").status_code == 404
    assert not TrialMark.objects.exists()


def test_a_recording_whose_file_is_gone_is_said_on_the_visit(client, cmj, visit, ada):
    default_storage.delete(cmj.file.name)
    answer = signed(client, ada).get(url_of(cmj), follow=True)
    assert answer.redirect_chain[0][0] == reverse("visit-recordings", args=[visit.key])
    assert f"{cmj.name}: " in answer.content.decode()
    assert client.get(url_of(cmj, name="trace-data")).status_code == 404


# Marks


def heights(row):
    return [one.trial.height_impulse_m for one in marked_trials(row)]


def found_height(athlete, kind="cmj"):
    found = examine_athlete(athlete, load_catalogue())
    return next(jump.height_m for jump in found.jumps if jump.kind == kind)


def test_a_rejected_trial_is_struck_through_left_out_and_can_come_back(client, cmj, visit, ada):
    before, each = found_height(visit.athlete), heights(cmj)
    answer = marked(signed(client, ada), cmj, act="reject", reason="looked down")
    text = answer.content.decode()
    assert f"<del>{100 * each[0]:.1f} cm</del>" in text
    assert "left out: looked down" in text
    assert "mean of 2 trials" in text
    assert found_height(visit.athlete) == pytest.approx(fmean(each[1:]), abs=1e-12)
    output = Result.objects.latest("pk").output
    jump = next(jump for jump in output["jumps"] if jump["kind"] == "cmj")
    assert [note["code"] for note in jump["trials"][0]["quality"]] == ["rejected"]
    row = TrialMark.objects.get()
    assert (row.made_by, row.reason, row.value) == (ada, "looked down", "rejected")
    marked(client, cmj, act="undo", mark=row.pk)
    assert found_height(visit.athlete) == before
    assert [one.undone for one in TrialMark.objects.order_by("pk")] == [False, True]


def test_every_mark_examines_again(client, cmj, visit, ada):
    examine_athlete(visit.athlete, load_catalogue())
    marked(signed(client, ada), cmj, act="reject", reason="stepped")
    results = Result.objects.filter(athlete=visit.athlete)
    assert results.count() == 2
    assert results.latest("pk").supersedes is not None


def test_without_a_reason_nothing_is_left_out(client, cmj, ada):
    answer = marked(signed(client, ada), cmj, act="reject", reason=" ")
    assert answer.context["reject"].errors
    assert not TrialMark.objects.exists()


def test_the_same_mark_twice_stands_once_and_undo_twice_undoes_once(client, cmj, ada):
    signed(client, ada)
    for _ in range(2):
        marked(client, cmj, act="keep")
    kept = TrialMark.objects.get()
    marked(client, cmj, act="reject", reason="looked down")
    rejected = TrialMark.objects.latest("pk")
    for _ in range(2):
        marked(client, cmj, act="undo", mark=rejected.pk)
    (one, *_) = marked_trials(cmj)
    assert one.marks.is_kept
    assert one.marks.verdict == kept
    assert TrialMark.objects.count() == 3


def test_a_moved_weighing_is_used_and_undone(client, cmj, visit, ada):
    before, window = heights(cmj), (4.0, 5.5)
    marked(signed(client, ada), cmj, act="move", start_s="4.0", end_s="5.5", reason="swayed")
    by_hand = analyse_jumps(trace_of(cmj), kind=JumpKind.CMJ, weighing_s=window)
    after = heights(cmj)
    assert after[0] == by_hand[0].height_impulse_m != before[0]
    assert after[1:] == before[1:]
    assert found_height(visit.athlete) == pytest.approx(fmean(after), abs=1e-12)
    row = TrialMark.objects.get()
    assert (row.what, row.value, row.reason) == ("weighing", [4.0, 5.5], "swayed")
    marked(client, cmj, act="undo", mark=row.pk)
    assert heights(cmj) == before


def test_a_second_move_undone_brings_the_first_back(client, cmj, ada):
    signed(client, ada)
    marked(client, cmj, act="move", start_s="4.0", end_s="5.5", reason="swayed")
    first = heights(cmj)[0]
    marked(client, cmj, act="move", start_s="5.0", end_s="6.0", reason="later")
    marked(client, cmj, act="undo", mark=TrialMark.objects.latest("pk").pk)
    assert heights(cmj)[0] == first


@pytest.mark.parametrize(
    ("window", "words"),
    [
        (("6.0", "5.0"), "does not fit"),
        (("-3", "1"), "does not fit"),
        (("0.1", "0.8"), "stands on"),
    ],
    ids=["backwards", "before-the-recording", "empty-plate"],
)
def test_a_window_in_which_nobody_can_be_weighed_is_said_and_not_kept(
    client, cmj, ada, window, words
):
    start, end = window
    answer = marked(signed(client, ada), cmj, act="move", start_s=start, end_s=end, reason="why")
    assert words in str(answer.context["move"].errors)
    assert f'value="{start}"' in answer.content.decode()
    assert not TrialMark.objects.exists()


def test_all_trials_rejected_leave_no_height(client, cmj, visit, ada):
    signed(client, ada)
    for number in (1, 2, 3):
        marked(client, cmj, number, act="reject", reason="arms swung")
    assert found_height(visit.athlete) is None
    assert Recording.objects.filter(pk=cmj.pk).exists()


def test_marks_show_who_when_and_why(client, cmj, ada):
    answer = marked(signed(client, ada), cmj, act="reject", reason="looked <down>")
    text = answer.content.decode()
    assert "Ada: left out: looked &lt;down&gt;" in text
    assert "<down>" not in text


@pytest.mark.parametrize("arms", [False, True])
@pytest.mark.parametrize("narrow", [False, True])
def test_the_small_figures_fit_their_strip_heads_and_all(arms, narrow):
    highest = min(moment.top for moment in small_figures(arms, narrow=narrow))
    assert -STRIP_PX[narrow] < highest + FIGURE_FLOOR_PX


# Events by hand


def move(client, row, number=1, *, reason="edge rings", **times):
    return marked(client, row, number, act="move", reason=reason, **times)


def test_a_moved_event_is_used_recorded_told_and_undone(client, cmj, visit, ada):
    found = marked_trials(cmj)
    takeoff = round(found[0].trial.takeoff_s - 0.004, 3)
    answer = move(signed(client, ada), cmj, takeoff_s=takeoff)
    (one, *others) = marked_trials(cmj)
    by_hand = analyse_jumps(
        trace_of(cmj), kind=JumpKind.CMJ, events={1: HandEvents(takeoff_s=takeoff)}
    )
    assert one.trial == by_hand[0]
    assert one.found == found[0].trial
    assert [other.trial for other in others] == [before.trial for before in found[1:]]
    text = answer.content.decode()
    apart = 1000 * (takeoff - one.found.takeoff_s)
    assert f"<td>{one.found.takeoff_s:.3f}</td><td>{takeoff:.3f}</td>" in text
    assert f"<td>\u2212{-apart:.1f} ms</td>" in text
    assert f"Ada: take-off at {takeoff:.3f} s: edge rings" in text
    assert "take-off by hand" in text
    assert "Take-off set by hand." in text.split('class="verdict"')[1].split("</p>")[0]
    heights_now = [trial.trial.height_impulse_m for trial in (one, *others)]
    assert found_height(visit.athlete) == pytest.approx(fmean(heights_now), abs=1e-12)
    marked(client, cmj, act="undo", mark=TrialMark.objects.get().pk)
    assert [trial.trial for trial in marked_trials(cmj)] == [before.trial for before in found]


def test_the_signal_that_a_browser_keeps_is_not_shifted_by_a_mark(client, cmj, ada):
    """The page lays the signal from a start of its own, and a browser may hold it for an hour."""
    found = marked_trials(cmj)[0].trial
    signed(client, ada)
    before = client.get(url_of(cmj, name="trace-data")).content
    start = json.loads(client.get(url_of(cmj)).context["shown"].marks)["start"]
    move(client, cmj, takeoff_s=found.takeoff_s + 0.2, landing_s=found.landing_s + 0.03)
    shown = client.get(url_of(cmj)).context["shown"]
    assert client.get(url_of(cmj, name="trace-data")).content == before
    assert json.loads(shown.marks)["start"] == start
    # Of the landing set late, 30 ms lie in contact: the empty plate is still that of the flight.
    trace, points = trace_of(cmj), json.loads(shown.marks)["points"]
    first, last = (round(edge * 1000) for edge in (found.takeoff_s + 0.06, found.landing_s - 0.04))
    force = trace.total_n - trace.total_n[first:last].mean()
    bottom = next(point for point in points if point[0] == "bottom")
    half_a_newton = 0.5  # two stretches of the same flight, by the plate's noise
    assert bottom[3] == pytest.approx(force[round(bottom[2] * 1000)], abs=half_a_newton)


def test_several_events_are_one_press_and_reset_puts_all_back(client, cmj, ada):
    found = marked_trials(cmj)[0].trial
    signed(client, ada)
    move(client, cmj, onset_s=found.onset_s - 0.01, landing_s=found.landing_s + 0.01)
    assert {row.what for row in marked_trials(cmj)[0].marks.moved} == {"onset", "landing"}
    marked(client, cmj, act="reset")
    one = marked_trials(cmj)[0]
    assert one.trial == found
    assert one.marks.moved == ()
    (undo, *_) = one.marks.undoable
    marked(client, cmj, act="undo", mark=undo.pk)  # the reset of the onset
    again = marked_trials(cmj)[0]
    assert [row.what for row in again.marks.moved] == ["onset"]
    rows = TrialMark.objects.order_by("pk").values_list("what", "value", "undone")
    assert [row[1:] for row in rows][2:] == [("found", False), ("found", False), ("found", True)]


def test_a_time_typed_back_to_the_found_one_takes_the_hand_away(client, cmj, ada):
    found = marked_trials(cmj)[0].trial
    signed(client, ada)
    move(client, cmj, landing_s=found.landing_s + 0.01)
    move(client, cmj, landing_s=f"{found.landing_s:.3f}", reason="was right")
    assert marked_trials(cmj)[0].trial == found
    assert TrialMark.objects.latest("pk").value == "found"


@pytest.mark.parametrize(
    ("times", "words"),
    [
        ({"takeoff_s": "1.0"}, "Take-off at 1.000 s cannot be"),
        ({"landing_s": "2.0"}, "Landing at 2.000 s cannot be"),
        ({"onset_s": "-9"}, "Onset at -9.000 s cannot be"),
        ({"start_s": "4.0"}, "Give both ends"),
        ({}, "Nothing was moved"),
        ({"takeoff_s": "soon"}, "Enter a number"),
        ({"takeoff_s": "nan"}, "Enter a number"),
    ],
)
def test_an_event_that_cannot_be_is_said_and_not_kept(client, cmj, ada, times, words):
    answer = move(signed(client, ada), cmj, **times)
    assert words in str(answer.context["move"].errors)
    assert not TrialMark.objects.exists()


def test_an_undo_that_another_event_rests_on_is_refused(client, cmj, ada):
    found = marked_trials(cmj)[0].trial
    signed(client, ada)
    move(client, cmj, landing_s=found.landing_s + 0.3)
    landing = TrialMark.objects.get()
    move(client, cmj, takeoff_s=found.landing_s + 0.1)
    assert TrialMark.objects.count() == 2
    answer = marked(client, cmj, act="undo", mark=landing.pk)
    assert "Not done." in told(answer)[0]
    assert TrialMark.objects.count() == 2
    assert marked_trials(cmj)[0].trial.landing_s == pytest.approx(found.landing_s + 0.3, abs=5e-4)


def test_rows_that_contradict_each_other_break_no_page(client, cmj, ada):
    """No page writes them; a restored or merged practice might hold them."""
    for what, value in (("onset", 6.5), ("takeoff", 6.0)):
        TrialMark.objects.create(recording=cmj, number=1, what=what, value=value, made_by=ada)
    page = signed(client, ada).get(url_of(cmj), follow=True)
    assert page.redirect_chain[0][0] == reverse("visit-recordings", args=[cmj.visit.key])
    assert "does not come after onset" in page.content.decode()
    assert client.get(url_of(cmj, name="trace-data")).status_code == 404
    assert client.get(reverse("athlete", args=[cmj.visit.athlete.key])).status_code == 200


def test_a_reader_sees_what_was_moved_and_moves_nothing(client, cmj, ada, ben, cleo):
    found = marked_trials(cmj)[0].trial
    move(signed(client, ada), cmj, landing_s=found.landing_s + 0.004)
    signed(client, ben)
    text = client.get(url_of(cmj)).content.decode()
    assert "moved by hand" in text
    assert "+4" in text.split("landing</th>")[1][:80]
    assert 'class="wasfound"' in text
    assert 'method="post"' not in text.split("<main")[1]
    for user in (ben, cleo):
        signed(client, user)
        for act in ("move", "reset", "withdraw", "withdraw-recording"):
            sent = {"act": act, "reason": "why", "landing_s": "7.5"}
            assert marked(client, cmj, **sent).status_code == 404
    assert TrialMark.objects.count() == 1


# Withdrawn


def test_the_numbers_of_a_kept_trial_are_withdrawn_with_a_reason(client, cmj, visit, ada):
    each = heights(cmj)
    signed(client, ada)
    assert "Withdraw its numbers" not in marked(client, cmj, act="nothing").content.decode()
    marked(client, cmj, act="keep")
    answer = marked(client, cmj, act="withdraw", reason=" ")
    assert answer.context["withdraw"].errors
    answer = marked(client, cmj, act="withdraw", reason="wore a belt")
    assert "Withdrawn: wore a belt" in answer.content.decode()
    assert "Ada: withdrawn: wore a belt" in answer.content.decode()
    assert found_height(visit.athlete) == pytest.approx(fmean(each[1:]), abs=1e-12)
    rows = TrialMark.objects.order_by("pk").values_list("value", flat=True)
    assert list(rows) == ["kept", "withdrawn"]
    marked(client, cmj, act="undo", mark=TrialMark.objects.latest("pk").pk)
    (one, *_) = marked_trials(cmj)
    assert one.marks.is_kept


def test_only_what_was_kept_is_withdrawn(client, cmj, ada):
    marked(signed(client, ada), cmj, act="withdraw", reason="why")
    assert not TrialMark.objects.exists()


def test_a_whole_recording_is_withdrawn_once_and_can_be_sent_again(client, cmj, visit, ada):
    with cmj.file.open("rb") as file:
        data = file.read()
    signed(client, ada)
    assert (
        marked(client, cmj, act="withdraw-recording", reason="")
        .context["withdraw_recording"]
        .errors
    )
    answer = marked(client, cmj, act="withdraw-recording", reason="another athlete")
    text = answer.content.decode()
    assert answer.redirect_chain[-1][0] == reverse("visit-recordings", args=[visit.key])
    assert f"Ada: {cmj.name}: another athlete" in text
    assert found_jump(visit.athlete) is None
    marked(client, cmj, act="withdraw-recording", reason="again")
    row = Recording.objects.get(withdrawn=True)
    assert (row.corrects, row.reason, row.made_by) == (cmj, "another athlete", ada)
    assert marked(client, cmj, act="keep").status_code == 200
    assert not TrialMark.objects.exists()
    send(client, visit, ("right.csv", data))
    assert found_height(visit.athlete) is not None


def found_jump(athlete, kind="cmj"):
    found = examine_athlete(athlete, load_catalogue())
    return next((jump for jump in found.jumps if jump.kind == kind), None)


# What the page says beside


def test_fewer_trials_than_the_test_asks_for_is_said(client, visit, cmj, ada):
    page = reverse("visit-recordings", args=[visit.key])
    text = signed(client, ada).get(page).content.decode()
    asked = load_catalogue().tests["sj"].trials
    assert asked.value == 3
    assert "2 usable trials; the test asks for 3 (common practice)" in text
    assert text.count("the test asks for") == 1  # three countermovement jumps are there
    marked(client, cmj, act="reject", reason="looked down")
    assert client.get(page).content.decode().count("the test asks for") == 2


def test_two_visits_on_one_day_open_and_the_later_is_judged(client, visit, ada):
    again = visit.athlete.visits.create(date=visit.date, tester=ada)
    found = examine_athlete(visit.athlete, load_catalogue())
    assert found.jumps == ()
    assert found.notes[0].startswith("2 visits are on record")
    signed(client, ada)
    for page in (
        reverse("athlete", args=[visit.athlete.key]),
        reverse("visit", args=[again.key]),
        reverse("visit", args=[visit.key]),
        reverse("visit-recordings", args=[visit.key]),
    ):
        assert client.get(page).status_code == 200

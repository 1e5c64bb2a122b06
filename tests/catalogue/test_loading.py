"""What the loader refuses and with which words; version, a practice's own entries."""

from dataclasses import FrozenInstanceError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.catalogue import build_catalogue, current, load_catalogue
from countermove.errors import BadCatalogue
from countermove.record import Sex, Status
from tests.catalogue.faults import REFUSED
from tests.catalogue.minimal import MINIMAL, TARGETS, changed


def test_the_smallest_catalogue_loads():
    catalogue = build_catalogue(MINIMAL)
    assert catalogue.tests["lunge"].errors[0].mdc95.si == pytest.approx(0.019)


@pytest.mark.parametrize(("file", "old", "new", "words"), REFUSED.values(), ids=REFUSED)
def test_a_faulty_entry_is_refused_with_its_path(file, old, new, words):
    with pytest.raises(BadCatalogue) as caught:
        build_catalogue(changed(file, old, new))
    assert words in str(caught.value)
    assert str(caught.value).startswith(file)


def test_a_second_error_for_the_same_circumstances_is_refused():
    error = MINIMAL["tests"][MINIMAL["tests"].index("[[lunge.errors]]") :].split("[felt]")[0]
    with pytest.raises(BadCatalogue, match="a second error for tape, same, between days, value"):
        build_catalogue({**MINIMAL, "tests": MINIMAL["tests"].replace(error, error + error)})


def test_a_file_that_is_none_of_ours_is_refused():
    with pytest.raises(BadCatalogue, match="not a catalogue file; use one of sources, samples"):
        build_catalogue({**MINIMAL, "recipes": ""})


def test_a_number_takes_the_citation_that_stands_nearest():
    plain = 'value = 10, unit = "cm"'
    nearer = f'{plain}, source = "our-default", where = "here", status = "our-default"'
    catalogue = build_catalogue(changed("targets", plain, nearer))
    assert catalogue.targets["lunge"].source == "common-practice"
    assert catalogue.targets["lunge"].value.status is Status.OUR_DEFAULT


def test_a_table_by_sex_may_have_a_status_of_its_own():
    old = "length = { female = 370, male = 420 }"
    new = 'length = { status = "from-memory", female = 370, male = 420 }'
    thigh = build_catalogue(changed("segments", old, new)).segments["thigh"]
    assert {thigh.length[sex].status for sex in Sex} == {Status.FROM_MEMORY}
    assert {thigh.mass_fraction[sex].status for sex in Sex} == {Status.READ}


@given(place=st.sampled_from(sorted(MINIMAL)), comment=st.text("abc [=]\"'#1", max_size=20))
def test_a_comment_does_not_change_the_version(place, comment):
    commented = {**MINIMAL, place: f"# {comment}\n{MINIMAL[place]}\n\n# {comment}\n"}
    assert build_catalogue(commented).version == build_catalogue(MINIMAL).version


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("targets", "value = 10", "value = 10.5"),
        ("targets", "The knee passes", "The knee should pass"),
        ("tests", "value = 1.9", "value = 1.8"),
        ("sources", "A paper", "Another paper"),
        ("segments", "0.15", "0.1501"),
        ("cautions", "same-day doctor", "emergency"),
        ("drills", "sets = 3", "sets = 2"),
        ("norms", "value = 12", "value = 13"),
    ],
)
def test_any_content_changes_the_version(file, old, new):
    assert build_catalogue(changed(file, old, new)).version != build_catalogue(MINIMAL).version


def test_the_order_of_files_does_not_change_the_version():
    backwards = dict(reversed(MINIMAL.items()))
    assert build_catalogue(backwards).version == build_catalogue(MINIMAL).version


def test_the_catalogue_cannot_be_changed():
    catalogue = load_catalogue()
    with pytest.raises(TypeError):
        catalogue.tests["cmj"] = None
    with pytest.raises(FrozenInstanceError):
        catalogue.tests = {}
    with pytest.raises(FrozenInstanceError):
        catalogue.tests["cmj"].unit = "m"
    with pytest.raises(FrozenInstanceError):
        catalogue.tests["cmj"].trials.value = 5


OWN_TARGET = TARGETS.replace("[lunge]", "[our_lunge]").replace("value = 10", "value = 9")


def test_a_practice_adds_an_entry_and_the_built_in_stays():
    ours = build_catalogue(MINIMAL)
    theirs = ours.with_practice({"targets": OWN_TARGET})
    assert set(theirs.targets) == {"lunge", "our_lunge"}
    assert set(ours.targets) == {"lunge"}
    assert theirs.version != ours.version


def test_a_practice_may_bring_its_own_source():
    source = '[house]\ncitation = "Our house rules, 2031"\nstatus = "read"\n'
    target = OWN_TARGET.replace("common-practice", "house", 1).replace("common-practice", "read")
    theirs = build_catalogue(MINIMAL).with_practice({"sources": source, "targets": target})
    assert theirs.targets["our_lunge"].value.source == "house"


def test_a_taken_key_is_refused_with_the_way_on():
    with pytest.raises(BadCatalogue, match=r'the key is taken; .*supersedes = "lunge"'):
        build_catalogue(MINIMAL).with_practice({"targets": TARGETS})


def test_a_practice_replaces_an_entry_by_superseding_it():
    own = OWN_TARGET.replace("sense", 'supersedes = "lunge"\nsense')
    theirs = build_catalogue(MINIMAL).with_practice({"targets": own})
    assert [target.value.value for target in theirs.targets_of("lunge")] == [9]
    assert list(current(theirs.targets)) == ["our_lunge"]


@pytest.mark.parametrize(
    "name", ["unknown source", "target of an unknown test", "number without unit"]
)
def test_a_practices_entry_passes_the_same_loader(name):
    file, old, new, words = REFUSED[name]
    text = {"targets": TARGETS, "tests": MINIMAL["tests"]}[file]
    own = text.replace(old, new, 1).replace("[lunge", "[our_lunge").replace("[felt]", "[our_felt]")
    words = words.replace("lunge.", "our_lunge.")
    with pytest.raises(BadCatalogue) as caught:
        build_catalogue(MINIMAL).with_practice({file: own})
    assert words in str(caught.value)


def test_norms_of_a_test_are_told_apart_from_its_targets():
    catalogue = build_catalogue(MINIMAL)
    assert [norm.mean.value for norm in catalogue.norms_of("lunge")] == [12]
    assert catalogue.norms_of("felt") == catalogue.targets_of("felt") == ()

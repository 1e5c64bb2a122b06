"""Any text comes through as text: signs of markup, other scripts, very long, or not printable."""

from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from countermove.documents import hand_out
from countermove.documents.pdf import LOST_LETTERS, missing_letters, print_pdf, printable, without
from countermove.errors import NotPrinted
from tests.documents.printed import runs, squeezed, text_of

HOSTILE = [
    "# Heading $x^2$ *bold* _it_ @ref <label> \\ `raw` ~ // /* */ = - + [x] {y} #{z}",
    '#eval("1+1") #panic() #read("/etc/passwd") #import "@preview/x:1.0.0"',
    "\\u{1F600} \" ' ‘single’ “double” --- ... 1/2 % & ; ( )",
    '"}, {"name": "other", "x": ["',
    "<svg><script>alert(1)</script></svg> &amp; &#x41;",
    "Ωμέγα Юрий Łódź Đặng Ðóra ß ŉ ﬁ",
    "Wolfeschlegelsteinhausenbergerdorff-" * 12,
]
LATIN_AND_BEYOND = st.text(
    alphabet=st.characters(max_codepoint=0x24F, exclude_categories=("Cc", "Cf", "Zs")), min_size=1
)


def with_text(juno, said):
    task = replace(juno.tasks[0], name=said, cue=said, stop=said, dose=said)
    return replace(juno, name=said, tasks=(task,))


@pytest.mark.parametrize("said", HOSTILE)
def test_signs_of_markup_are_printed_as_they_are(said, juno, printed):
    pdf = printed(with_text(juno, said), practice=said, phone=said, emergency=said)
    assert text_of(pdf).count(squeezed(said)) >= 5
    assert str(pdf.docinfo.Title).startswith(f"Hand-out for {said}")


def test_a_long_name_does_not_run_off_the_foot(juno, printed):
    pdf = printed(
        replace(juno, name="Wolfeschlegelsteinhausenbergerdorff " * 9), practice="x" * 900
    )
    assert min(run.y for run in runs(pdf)) > 20


def test_text_of_the_catalogue_is_text_too(juno, catalogue, printed):
    key = juno.tasks[0].drill
    drill = replace(catalogue.drills[key], steps=tuple(HOSTILE))
    other = replace(catalogue, drills=dict(catalogue.drills) | {key: drill})
    text = text_of(printed(juno, of=other))
    assert all(squeezed(said) in text for said in HOSTILE)


@pytest.mark.parametrize("name", ["שלום", "محمد", "देव", "ქართული"])
def test_scripts_of_the_fonts_on_board_need_no_font_of_the_machine(name, juno, printed):
    pdf = printed(replace(juno, name=name))
    assert name in str(pdf.docinfo.Title)
    assert squeezed(LOST_LETTERS) not in text_of(pdf)


def test_a_letter_without_a_font_costs_the_letter_and_not_the_sheet(juno, printed):
    # A machine may have fonts for these: then they are printed, else their loss is said.
    pdf = printed(replace(juno, name="Juno 王芳 ไทย 😀"))
    text = text_of(pdf)
    assert squeezed("王芳ไทย") in text or squeezed(LOST_LETTERS) in text
    assert "Juno" in text
    assert "王芳 ไทย 😀" in str(pdf.docinfo.Title)


@pytest.fixture(scope="module")
def text_with(juno, catalogue):
    """Print a hand-out in which a text stands everywhere, and read it back."""

    def print_and_read(said):
        printed = hand_out(with_text(juno, said), catalogue, practice=said)
        return text_of(pikepdf.open(BytesIO(printed)))

    return print_and_read


@settings(max_examples=25)
@given(said=LATIN_AND_BEYOND)
def test_letters_near_latin_come_through(said, text_with):
    text = text_with(said)
    assert squeezed(LOST_LETTERS) in text or squeezed(said) in text


@settings(max_examples=40)
@given(said=st.text(max_size=40))
def test_no_text_stops_the_printer(said, text_with):
    assert "Beforeyoustart" in text_with(said)


def test_marks_that_turn_a_line_round_fall_away():
    assert printable("Juno \u202etfel pots\u2066") == "Juno tfel pots"
    assert printable({"a": ("\ttab\nline", 3, None)}) == {"a": [" tab line", 3, None]}
    assert printable("\x00\ue000\ud800") == "□□□"


def test_lost_letters_are_read_from_the_message_and_squared():
    message = 'error: the text `"王"` could not be displayed with font `"A"`\n'
    message += 'error: the text `"\\u{e01}芳"` could not be displayed with font `"A"`'
    lost = missing_letters(message)
    assert lost == {"王", "芳", "\u0e01"}
    assert without({"a": ["王b", 1]}, lost) == {"a": ["□b", 1]}
    assert not missing_letters("error: unknown variable")


def test_a_failed_layout_is_an_error_of_ours():
    with pytest.raises(NotPrinted, match="could not be laid out"):
        print_pdf("hand_out", {"no": "fields"}, paper="a4", language="en", region="")

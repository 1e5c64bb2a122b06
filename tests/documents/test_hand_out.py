"""The hand-out as a document: whole, accessible, on its paper, and the same every time."""

import os
import subprocess
import sys
from dataclasses import replace
from datetime import date
from itertools import pairwise

import pikepdf
import pytest

from countermove.club import athlete_keys
from countermove.documents import hand_out
from countermove.errors import BadInput
from tests.documents.printed import elements, page_with, pages_of, runs, squeezed, text_of

# Points of 1/72 inch. A4 is 210 x 297 mm (ISO 216), letter 8.5 x 11 in (ANSI/ASME Y14.1).
PAPERS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "us-letter": (8.5 * 72, 11 * 72)}
A_HUNDREDTH_OF_A_POINT = 0.01  # Typst rounds its lengths
EVERYBODY = pytest.mark.parametrize("key", athlete_keys())
BOTH_PAPERS = pytest.mark.parametrize("paper", PAPERS)
PDFUAID = "{http://www.aiim.org/pdfua/ns/id/}"
PDFAID = "{http://www.aiim.org/pdfa/ns/id/}"
GAP_TO_THE_EDGE = 20  # pt; printers leave about 5 mm = 14 pt of every edge white


@EVERYBODY
@BOTH_PAPERS
def test_every_page_has_the_size_of_its_paper(key, paper, examined, printed):
    pdf = printed(examined[key], paper=paper)
    assert not pdf.check_pdf_syntax()
    for page in pdf.pages:
        size = [float(x) for x in page.MediaBox]
        assert size == pytest.approx([0, 0, *PAPERS[paper]], abs=A_HUNDREDTH_OF_A_POINT)


@EVERYBODY
def test_the_document_says_what_it_is_and_in_which_language(key, examined, printed):
    pdf = printed(examined[key], language="en-GB", practice="Harbour Lane")
    on = examined[key].on
    title = str(pdf.docinfo.Title)
    assert examined[key].name in title
    assert str(on.year) in title
    assert pdf.Root.ViewerPreferences.DisplayDocTitle
    assert pdf.Root.Lang == "en-GB"
    assert pdf.docinfo.Author == "Harbour Lane"
    assert pdf.docinfo.CreationDate == f"D:{on:%Y%m%d}000000Z"


@EVERYBODY
def test_it_claims_and_keeps_the_marks_of_an_accessible_archive(key, examined, printed):
    # ISO 14289-1 (PDF/UA-1) 7.1 and ISO 19005-2 (PDF/A-2a) 6.7: tagged, said so, and declared.
    pdf = printed(examined[key])
    assert pdf.Root.MarkInfo.Marked
    assert "/StructTreeRoot" in pdf.Root
    with pdf.open_metadata() as declared:
        assert declared[f"{PDFUAID}part"] == "1"
        assert (declared[f"{PDFAID}part"], declared[f"{PDFAID}conformance"]) == ("2", "A")
    assert all("/StructParents" in page for page in pdf.pages)


@EVERYBODY
def test_headings_start_at_one_and_never_skip(key, examined, printed):
    kinds = [kind for kind, _ in elements(printed(examined[key]))]
    levels = [int(kind[2:]) for kind in kinds if kind.startswith("/H")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@EVERYBODY
def test_every_picture_has_words(key, examined, printed):
    figures = [words for kind, words in elements(printed(examined[key])) if kind == "/Figure"]
    assert len(figures) >= len(examined[key].tasks)
    assert all(len(words) > 10 for words in figures)


@EVERYBODY
@BOTH_PAPERS
def test_the_same_input_gives_the_same_bytes(key, paper, examined, catalogue):
    first = hand_out(examined[key], catalogue, paper=paper)
    assert hand_out(examined[key], catalogue, paper=paper) == first


def test_another_day_and_zone_gives_the_same_bytes(tmp_path, juno, catalogue):
    script = """
import sys
from importlib import resources
from countermove.catalogue import load_catalogue
from countermove.cli.files import examine_file
from countermove.club import athlete_file
from countermove.documents import hand_out
catalogue = load_catalogue()
with resources.as_file(athlete_file("juno-breakwater")) as file:
    sys.stdout.buffer.write(hand_out(examine_file(file, catalogue), catalogue))
"""
    elsewhere = os.environ | {"TZ": "Pacific/Auckland", "SOURCE_DATE_EPOCH": "86400"}
    done = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, cwd=tmp_path, env=elsewhere
    )
    assert done.stdout == hand_out(juno, catalogue)


def test_a_drill_stands_whole_on_one_page_on_either_paper(juno, catalogue, printed, tasks_of):
    everything = replace(juno, tasks=tasks_of(catalogue.drills))
    for paper in PAPERS:
        pages = pages_of(printed(everything, paper=paper))
        for number, task in enumerate(everything.tasks, start=1):
            page = page_with(pages, f"{number}. {task.name}, ")
            for part in (task.dose[:12], task.cue, catalogue.drills[task.drill].steps[-1]):
                assert squeezed(part) in pages[page]


@BOTH_PAPERS
def test_nothing_is_cut_at_an_edge(paper, juno, catalogue, printed, tasks_of):
    pdf = printed(replace(juno, tasks=tasks_of(list(catalogue.drills)[:8])), paper=paper)
    width, height = PAPERS[paper]
    for run in runs(pdf):
        assert GAP_TO_THE_EDGE < run.x < width - GAP_TO_THE_EDGE
        assert GAP_TO_THE_EDGE < run.y < height - GAP_TO_THE_EDGE


def test_a_drill_longer_than_a_page_goes_on_on_the_next(juno, catalogue, printed, tasks_of):
    endless = " ".join(f"word{n}" for n in range(1500))
    pdf = printed(replace(juno, tasks=tasks_of(["ankle_rocking"], stop=endless)))
    assert all(run.y > GAP_TO_THE_EDGE for run in runs(pdf))
    assert "word1499" in text_of(pdf)


@BOTH_PAPERS
@pytest.mark.parametrize("drills", [1, 2, 3, 8])
def test_no_heading_stands_alone_at_the_foot_of_a_page(
    paper, drills, juno, catalogue, printed, tasks_of
):
    tasks = tasks_of(list(catalogue.drills)[:drills])
    pages = pages_of(printed(replace(juno, tasks=tasks), paper=paper))
    first_day = "Wed 25 Nov"  # the day after Juno's visit
    assert juno.on == date(2026, 11, 24)
    for heading, below in [
        ("Your work", tasks[0].name),
        ("Two weeks on paper", first_day),
        ("Whom to ask", "Questions?"),
        ("What stands out", "Right ankle:"),
    ]:
        assert page_with(pages, heading) == page_with(pages, below)


def test_what_is_to_be_read_is_set_large_enough(juno, catalogue, printed):
    everything = runs(printed(juno))
    rule = next(run for run in everything if "stop the drill at any pain" in run.text)
    assert rule.size >= 11
    assert min(run.size for run in everything) >= 8


def test_every_page_is_numbered_and_says_what_made_it(juno, catalogue, printed):
    pages = pages_of(printed(juno, practice="Harbour Lane"))
    for number, text in enumerate(pages, start=1):
        assert f"page{number}of{len(pages)}" in text
        assert f"countermove{juno.version},catalogue{juno.catalogue}" in text
        assert "HarbourLane" in text


def test_steps_from_another_catalogue_are_named(juno, printed):
    text = text_of(printed(replace(juno, catalogue="0123456789abcdef")))
    assert "catalogue0123456789abcdef,stepsof" in text


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"paper": "a5"}, "use one of a4, us-letter"),
        ({"language": "xx"}, "use one of en"),
        ({"emergency": "  "}, "pass the local one"),
    ],
)
def test_what_cannot_be_printed_is_refused_with_a_way_on(wrong, said, juno, catalogue):
    with pytest.raises(BadInput, match=said):
        hand_out(juno, catalogue, **wrong)


def test_a_drill_that_the_catalogue_lacks_is_refused(juno, catalogue):
    other = replace(juno, tasks=(replace(juno.tasks[0], drill="no_such_drill"),))
    with pytest.raises(BadInput, match=r"no_such_drill.*or examine again"):
        hand_out(other, catalogue)


def test_the_file_is_a_pdf_for_any_reader(juno, catalogue, tmp_path):
    file = tmp_path / "sheet.pdf"
    file.write_bytes(hand_out(juno, catalogue))
    with pikepdf.open(file) as pdf:
        assert len(pdf.pages) >= 1
        assert not pdf.is_encrypted

"""Sentences mended at the desk: for one, for all who were given it, and undone; all papers agree."""

from __future__ import annotations

import csv
import io
import re

import openpyxl
import pypdf

from marking.decided.decisions import SentenceMended
from marking.desk.pages import spoken_at
from marking.record.chain import breaks
from reports.student import explanation_lines
from tests.desk.sitting import Sitting

WORDS = "Say first which formula you use."


def words_page(sitting: Sitting, at: int) -> str:
    """Return the page of one student's sentences."""
    return sitting.get(f"/set/{sitting.held().sid}/student/{at}/words")


def form_with(page: str, deed: str) -> str:
    """Return the page from its first form that has a button for *deed* on."""
    return page[page.rindex("<form", 0, page.index(f'value="{deed}"')) :]


def shared(sitting: Sitting) -> tuple[int, str]:
    """Return the first sheet with a sentence that others were given too, and its page."""
    for at in range(len(sitting.held().marked.scripts)):
        page = words_page(sitting, at)
        if 'value="all"' in page:
            return at, page
    raise AssertionError


def sheet_words(sitting: Sitting, at: int) -> str:
    """Return the words of a sheet as it prints."""
    data = sitting.client.get(f"/set/{sitting.held().sid}/sheet/{at}").content
    return " ".join("".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages).split())


def given_words(sitting: Sitting) -> list[str]:
    """Return the codes of the students whose sheet says WORDS."""
    held = sitting.held()
    return [
        script.write_up.student.code
        for at, script in enumerate(held.marked.scripts)
        if any(one.text == WORDS for one in spoken_at(held, at))
    ]


def test_a_sentence_is_mended_for_one_and_shown_everywhere(sample: Sitting) -> None:
    """The printed sheet, the workbook, the CSV and the explanation; no other sheet; the program's words come back."""
    at, page = shared(sample)
    code = sample.held().marked.scripts[at].write_up.student.code
    before = sheet_words(sample, at)
    status, _, page = sample.press(form_with(page, "one"), "one", text=WORDS)
    assert status == 200
    assert given_words(sample) == [code]
    assert WORDS in sheet_words(sample, at)
    held = sample.held()
    said = next(one for one in spoken_at(held, at) if one.text == WORDS)
    criterion = said.findings[0].criterion
    told = explanation_lines(held.marked.scripts[at], held.rubric, criterion)
    assert any(WORDS in line for line in told)
    rows = list(csv.DictReader(io.StringIO(sample.client.get(f"/set/{held.sid}/paper/findings.csv").text)))
    assert {row["student"] for row in rows if row["message"] == WORDS} == {code}
    book = openpyxl.load_workbook(io.BytesIO(sample.client.get(f"/set/{held.sid}/paper/marks.xlsx").content))
    assert any(WORDS in row for sheet in book for row in sheet.iter_rows(values_only=True))
    _, _, page = sample.press(form_with(page, "back"), "back")
    assert given_words(sample) == []
    assert sheet_words(sample, at) == before
    assert breaks(sample.desk.shelf.record.whole()) == ()


def test_a_sentence_is_mended_for_all_who_were_given_it(sample: Sitting) -> None:
    """One press for all, one press back; marks stay as they were."""
    at, page = shared(sample)
    marks = [script.awarded for script in sample.held().marked.scripts]
    count = re.search(r"Keep for all (\d+)", page)
    assert count is not None
    _, _, page = sample.press(form_with(page, "all"), "all", text=WORDS)
    assert len(given_words(sample)) == int(count[1]) > 1
    assert [script.awarded for script in sample.held().marked.scripts] == marks
    sample.press(form_with(page, "back-all"), "back-all")
    assert given_words(sample) == []
    assert at >= 0


def test_words_with_figures_go_to_nobody_with_other_figures(sample: Sitting) -> None:
    """What is true of one student's figures may be false of another's."""
    _, page = shared(sample)
    sample.press(form_with(page, "all"), "all", text="These 7 values follow.")
    held = sample.held()
    mended = [one for one in held.decisions if isinstance(one, SentenceMended)]
    assert len({one.was for one in mended}) == 1


def test_two_windows_on_one_sentence(sample: Sitting) -> None:
    """The later is told, and shown both; pressed twice, it is one decision; empty words are asked for."""
    at, page = shared(sample)
    first, second = form_with(page, "one"), form_with(words_page(sample, at), "one")
    sample.press(first, "one", text=WORDS)
    status, _, _ = sample.press(first, "one", text=WORDS)
    assert status == 200
    assert sum(isinstance(one, SentenceMended) for one in sample.held().decisions) >= 1
    status, _, shown = sample.press(second, "one", text="Mine.")
    assert status == 409
    assert WORDS in shown
    assert "Mine." in shown
    count = sum(isinstance(one, SentenceMended) for one in sample.held().decisions)
    status, _, _ = sample.press(form_with(words_page(sample, at), "one"), "one", text="  ")
    assert status == 422
    assert sum(isinstance(one, SentenceMended) for one in sample.held().decisions) == count


def test_what_a_teacher_types_is_text(sample: Sitting) -> None:
    """Markup is shown as typed, on the page and in print; a formula stays text."""
    at, page = shared(sample)
    evil = '=1+1 <b>bold</b> {0} & "x"'
    sample.press(form_with(page, "one"), "one", text=evil)
    assert "<b>bold" not in words_page(sample, at)
    assert "<b>bold</b> {0} &" in sheet_words(sample, at)
    text = sample.client.get(f"/set/{sample.held().sid}/paper/findings.csv").text
    assert all(row["message"] != evil for row in csv.DictReader(io.StringIO(text)))

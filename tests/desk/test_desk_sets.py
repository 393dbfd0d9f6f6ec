"""Sets at the desk: dropped in, mended, printed, taken away; found again when the desk opens anew."""

from __future__ import annotations

import csv
import io
import re
import statistics
import time
from pathlib import Path

import pypdf
import pytest

from marking.desk.frame import SAMPLE
from marking.desk.pages.over_time_page import over_time_page
from marking.record.opening import open_record
from marking.record.store import Record
from tests.checking.rows import CUBOID, HEADINGS, split
from tests.desk.sitting import RUBRICS, Sitting, sit

CSV = "text/csv"


def class_csv(entries: dict[str, str]) -> bytes:
    """Return a tidy CSV: student to lines of tests/checking/rows."""
    rows = [",".join(HEADINGS)]
    for student, lines in entries.items():
        rows += [f'{student},,density-cuboid,{item},{row},"{entry}",{unit}' for item, row, entry, unit in split(lines)]
    return ("\n".join(rows) + "\n").encode()


def drop(sitting: Sitting, *files: tuple[str, bytes]) -> str:
    """Drop files in and return the page that comes."""
    sent = [("files", (name, data, CSV)) for name, data in files]
    answer = sitting.client.post("/", data={"token": sitting.desk.secret.token}, files=sent)
    assert answer.status_code == 200
    end = time.monotonic() + 30
    while sitting.desk.shelf.reading and time.monotonic() < end:
        time.sleep(0.02)
    return sitting.get("/")


def test_a_file_is_dropped_in_with_its_roster(empty: Sitting) -> None:
    """The set is named after the file; the roster says who is missing; the next thing to do stands beside it."""
    roster = b"student,name,bench\nA03,Ada Ames,1\nA05,Bo Byrne,2\n"
    page = drop(empty, ("11C.csv", class_csv({"A03": CUBOID})), ("roster.csv", roster))
    held = empty.held()
    assert str(held.name) == "11C, density-cuboid"
    assert ">1 / 2<" in page
    assert "Decide marks" in page


def test_what_cannot_be_read_is_told_and_costs_nothing_else(empty: Sitting) -> None:
    """The message of the command line, on the page."""
    page = drop(empty, ("holiday.csv", b"x;y\n1;2\n"))
    assert 'role="alert"' in page
    assert "holiday.csv" in page
    page = drop(empty, ("11C.csv", class_csv({"A03": CUBOID})))
    assert "Decide marks" in page


def test_a_cell_is_mended_where_it_is_asked_about(empty: Sitting) -> None:
    """Beside its neighbours; the mark follows, the file stays."""
    bad = class_csv({"A03": CUBOID.replace("V,,24.2,cm³", "V,,2a.2,cm³"), "A05": CUBOID})
    drop(empty, ("11C.csv", bad))
    held = empty.held()
    page = empty.get(f"/set/{held.sid}/cells")
    assert "2a.2" in page
    assert "length: 4.05 cm" in page
    assert [mark.marks for mark in held.marked.scripts[0].criteria if mark.criterion.code == "P1"] == [None]
    status, _, page = empty.press(page, "", entry="24.2")
    assert status == 200
    assert "Every cell could be read" in page
    held = empty.held()
    assert [mark.marks for mark in held.marked.scripts[0].criteria if mark.criterion.code == "P1"] == [1]
    assert (held.folder / "11C.csv").read_bytes() == bad


def test_a_desk_opened_anew_finds_everything(sample: Sitting, tmp_path: Path) -> None:
    """Sets, decisions and state, in another process's record."""
    page = sample.get(f"/set/{sample.held().sid}/decide")
    sample.press(page, "give:1")
    marked = sample.held().marked
    other = sit(open_record(str(tmp_path / "desk.record"), may_begin=False), sample.desk.shelf.folder, prefix="n")
    while other.desk.shelf.reading:
        time.sleep(0.02)
    assert other.held().marked.scripts == marked.scripts
    assert other.held().sid == sample.held().sid


def test_hostile_text_is_text(empty: Sitting) -> None:
    """What a student writes is shown and never run, on every page."""
    evil = "<script>alert(1)</script><img src=x onerror=alert(1)>{{7*7}}\"'"
    lines = CUBOID.replace("V,,24.2,cm³", f"V,,{evil.replace(chr(34), '')},cm³")
    roster = f'student,name,bench\nA03,"{evil.replace(chr(34), "")}",1\n'.encode()
    drop(empty, ("<b>11C.csv", class_csv({"A03": lines})), ("roster.csv", roster))
    sid = empty.held().sid
    spot = next(one.criterion.code for one in empty.held().marked.scripts[0].criteria if one.marks is None)
    pages = ["/", *(f"/set/{sid}/{name}" for name in ("cells", "class", "feedback", "close", "student/0"))]
    for path in [*pages, f"/set/{sid}/decide/{spot}/0"]:
        page = empty.get(path)
        assert "<script>alert" not in page, path
        assert "<img" not in page, path
        assert "49" not in re.sub(r"<[^>]+>|[0-9a-f]{12,}", "", page) or "{{7*7}}" in page, path


def test_a_comment_is_printed_on_the_sheet(sample: Sitting) -> None:
    """The teacher's own words, and only on that sheet."""
    held = sample.held()
    page = sample.get(f"/set/{held.sid}/student/1")
    sample.press(page, "", text="Well kept table, Ω and all.")
    sheets = [sample.client.get(f"/set/{held.sid}/sheet/{at}") for at in (1, 2)]
    texts = [
        "".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(sheet.content)).pages) for sheet in sheets
    ]
    assert "Well kept table, Ω and all." in " ".join(texts[0].split())
    assert "Well kept" not in texts[1]


@pytest.mark.parametrize("marks", ["shown", "small", "hidden"])
def test_sheets_and_marks_are_taken_away(sample: Sitting, marks: str) -> None:
    """All in one file, one alone, workbook and CSV; the CSV adds up."""
    held = sample.held()
    answer = sample.client.get(f"/set/{held.sid}/paper/sheets.pdf", params={"marks": marks})
    assert answer.headers["content-type"] == "application/pdf"
    assert len(pypdf.PdfReader(io.BytesIO(answer.content)).pages) >= len(held.marked.scripts)
    for name, start in (("marks.xlsx", b"PK"), ("class-summary.pdf", b"%PDF"), ("task-answers.pdf", b"%PDF")):
        assert sample.client.get(f"/set/{held.sid}/paper/{name}").content.startswith(start)
    rows = list(csv.DictReader(io.StringIO(sample.client.get(f"/set/{held.sid}/paper/mark-book.csv").text)))
    assert [row["student"] for row in rows] == [one.write_up.student.code for one in held.marked.scripts]
    codes = [criterion.code for criterion in held.rubric.criteria]
    for row, script in zip(rows, held.marked.scripts, strict=True):
        if script.criteria:
            assert int(row["marks so far"]) == sum(int(row[code] or 0) for code in codes) == script.awarded


def test_a_slip_that_came_back_is_told(empty: Sitting) -> None:
    """One class in two practicals: marks side by side, slips mended and slips that came back."""
    swapped = {"A03": CUBOID.replace("24.2,cm³", "24.2,"), "A05": CUBOID.replace("24.2,cm³", "24.2,"), "A07": CUBOID}
    drop(empty, ("11C.csv", class_csv(swapped)))
    first = empty.held()
    displacement = "m,,65.4,g\nV,,{volume},cm³\nrho,,2.70,{unit}"
    rows = [",".join(HEADINGS)]
    for student, unit in (("A03", ""), ("A05", "g/cm³"), ("A07", "")):
        text = displacement.format(volume="24.2", unit=unit)
        rows += [f"{student},,density-displacement,{i},{r},{e},{u}" for i, r, e, u in split(text)]
    drop(empty, ("11C.csv", ("\n".join(rows) + "\n").encode()))
    sets = empty.desk.shelf.sets()
    assert [str(one.name) for one in sets] == ["11C, density-cuboid", "11C, density-displacement"]
    titles = {one.id: one.title for one in RUBRICS.values()}
    page = over_time_page(sets[1], empty.desk.shelf.practicals("11C"), titles)
    told = {one.student: (one.mended, one.came_back) for one in page.people}
    assert told == {"A03": ((), ("no unit",)), "A05": (("no unit",), ()), "A07": ((), ())}
    assert [row.counts for row in page.slips if row.name == "no unit"] == [("2 / 3", "2 / 3")]
    assert "no unit" in empty.get(f"/set/{first.sid}/time")


def test_every_page_leads_on(sample: Sitting) -> None:
    """From sets to the printed sheets by links and buttons that are there."""
    sid = sample.held().sid
    page = sample.get("/")
    assert f'href="/set/{sid}/cells"' in page
    for tab in ("cells", "decide", "class", "time", "feedback", "close"):
        assert f'href="/set/{sid}/{tab}"' in sample.get(f"/set/{sid}/class")
    for address in set(re.findall(r'href="(/[^"#]*)"', sample.get(f"/set/{sid}/feedback"))):
        assert sample.client.get(address).status_code == 200, address


@pytest.mark.campaign
def test_pages_of_a_large_record_answer_at_once(record: Record, tmp_path: Path) -> None:
    """300 students in 5 practicals' sets: 100 ms at the middle, whichever page."""
    sitting = sit(record, tmp_path / "sets")
    for number in range(5):
        entries = {f"{number}S{student:03}": CUBOID for student in range(300)}
        drop(sitting, (f"class{number}.csv", class_csv(entries)))
    sets = sitting.desk.shelf.sets()
    assert len(sets) == 5
    seconds = []
    for held in sets:
        page = sitting.get(f"/set/{held.sid}/decide")
        for _ in range(4):
            start = time.perf_counter()
            _, _, page = sitting.press(page, "give:1")
            seconds.append(time.perf_counter() - start)
        for path in (
            "/",
            *(f"/set/{held.sid}/{name}" for name in ("cells", "student/7", "feedback", "close", "decide")),
        ):
            start = time.perf_counter()
            sitting.get(path)
            seconds.append(time.perf_counter() - start)
    assert statistics.median(seconds) < 0.1, sorted(seconds)


def test_the_sample_set_is_the_one_among_the_samples() -> None:
    """It is packed with the program, so a new edition of the sample has to be copied to it."""
    there = Path(__file__).resolve().parents[2] / "samples" / "cooling-insulation"
    assert {file.name: file.read_bytes() for file in SAMPLE.iterdir()} == {
        file.name: file.read_bytes() for file in there.iterdir()
    }

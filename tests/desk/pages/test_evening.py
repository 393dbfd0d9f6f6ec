"""A parents' evening shows one student alone; the department's page names nobody; leads stand apart from the class."""

from __future__ import annotations

import io
import re

import pypdf

from tests.desk.sitting import Sitting


def others(sitting: Sitting, at: int) -> list[str]:
    """Return codes and names of all students but one."""
    people = [one.write_up.student for one in sitting.held().marked.scripts]
    return [said for place, one in enumerate(people) if place != at for said in (one.code, one.name) if said]


def seen(page: str) -> str:
    """Return what a person sees of a page, below the frame."""
    return re.sub(r"<[^>]+>", " ", page[page.index("<main") :])


def test_an_evening_page_shows_nobody_else(sample: Sitting) -> None:
    """Marks, the strongest part, what to practise; no word of another student, for any student."""
    sid = sample.held().sid
    for at, script in enumerate(sample.held().marked.scripts):
        page = seen(sample.get(f"/set/{sid}/student/{at}/evening"))
        assert script.write_up.student.name in page
        assert [said for said in others(sample, at) if re.search(rf"\b{re.escape(said)}\b", page)] == []
        assert ("Practicals so far" in page) == bool(script.criteria)


def pages_of(answer: bytes) -> list[str]:
    """Return the text of each page of a PDF, blanks as one."""
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(answer)).pages]


def test_an_evening_paper_is_of_one_student(sample: Sitting) -> None:
    """One page of one student; for the class a page each, of those who handed something in, and nobody on another's."""
    sid = sample.held().sid
    scripts = sample.held().marked.scripts
    there = [(at, script) for at, script in enumerate(scripts) if script.criteria]
    together = pages_of(sample.client.get(f"/set/{sid}/evening.pdf").content)
    assert len(together) == len(there)
    for (at, script), page in zip(there, together, strict=True):
        assert script.write_up.student.name in page
        assert [said for said in others(sample, at) if re.search(rf"\b{re.escape(said)}\b", page)] == []
    at, script = there[0]
    one = sample.client.get(f"/set/{sid}/student/{at}/evening.pdf")
    assert pages_of(one.content) == together[:1]
    assert f"{script.total} of {script.out_of} marks so far" in together[0]
    assert sample.client.get(f"/set/{sid}/student/99/evening.pdf").status_code == 404


def test_the_department_names_no_student(sample: Sitting) -> None:
    """Classes and kinds of slip."""
    page = seen(sample.get("/department"))
    assert "10D" in page
    assert [said for said in others(sample, -1) if re.search(rf"\b{re.escape(said)}\b", page)] == []


def test_leads_and_benches_stand_apart(sample: Sitting) -> None:
    """The class's page can be shown to the class; the technician's names no student."""
    sid = sample.held().sid
    assert "innocent way" in sample.get(f"/set/{sid}/leads")
    assert "innocent way" not in sample.get(f"/set/{sid}/class")
    page = seen(sample.get(f"/set/{sid}/benches"))
    assert [said for said in others(sample, -1) if re.search(rf"\b{re.escape(said)}\b", page)] == []
    assert sample.client.get(f"/set/{sid}/paper/technician-note.pdf").content.startswith(b"%PDF")
    assert sample.client.get(f"/set/{sid}/student/99/evening").status_code == 404

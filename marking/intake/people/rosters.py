"""The roster: the one place where students' names stand."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace

from marking.intake.files import Container, CsvFile, Kind, Record, open_container, open_csv, records
from marking.intake.grids import PEOPLE_WORDS, Meaning, fold
from marking.intake.people.people import Roster, code_key, code_of, says_absent
from marking.intake.people.typed_codes import codes_told
from marking.intake.remarks import Notebook, quote
from marking.write_up import MarkCode, Place, Source, Student, Weight
from rubrics.faults import InputError

ROSTER_FILE = "roster.csv"
"""A file of this name in a folder of workbooks is its roster."""
_CODE_WORDS = frozenset({"code", "number", "id", "candidate"})
_ROSTER_WORDS = {"material": Meaning.MATERIAL, "accepted value": Meaning.MATERIAL, "graph": Meaning.GRAPH}
"""Headings that mean this in a roster only; on a sheet of readings a material may be an answer."""
_GRAPH_UNMARKED = frozenset({"not marked", "unmarked", "none", "no"})
_GRAPH_MARKED = frozenset({"", "paper", "on paper", "marked", "yes"})
"""What a column 'graph' may say; one setting of the set, so one line of it is enough."""
_GRAPH_MEND = "Write paper or not marked, the same in every line"
PAPER_WORDS = frozenset({"large", "print", "cream", "and"})
"""What a column 'paper' may say: large print, cream, or both."""
_OLD_PAPER = "reader"
"""What that column was called before; in an examination a reader is a person who reads aloud."""
_PAPER_MEND = "Write large print, cream, or both"
_MEND = 'write a CSV file whose first line is "student,name,bench"'


def read_roster(path: Path, name: str | None = None) -> Roster:
    """Return the roster in the CSV file at *path*.

    Its first line names the columns: student, and if wanted name, bench, absent, paper, graph, mark code, and columns
    with other codes of the same students (any heading with 'code', 'number' or 'id' in it).

    Raises:
        InputError: It cannot be read, or has no column of students.
    """
    container = open_container(path, name or path.name)
    if container.kind is not Kind.TEXT:
        raise InputError(container.name, "a roster has to be a CSV file", _MEND)
    file = open_csv(container)
    lines = [(row, fields) for row, fields in records(file) if any(text.strip() for text in fields)]
    columns = _columns(lines, container)
    notebook = Notebook()
    if file.note:
        notebook.tell(Weight.NOTE, file.note, file=file.name)
    if _OLD_PAPER in map(fold, lines[0][1]) and Meaning.PAPER in columns.values():
        said = "the column reader is now called paper, for a reader is a person; read as ever"
        notebook.tell(Weight.NOTE, said, "Head it paper", file=file.name)
    students, other_codes, doubled = _read_lines(file, lines[1:], columns, notebook)
    if not _marks_graph(file, lines[1:], columns, notebook):
        students = {code: replace(one, marks_graph=False) for code, one in students.items()}
    if not students:
        raise InputError(file.name, "there are no students in this roster", _MEND)
    _tell_alike(notebook, file, students)
    return Roster(
        students=tuple(students.values()),
        other_codes=other_codes,
        remarks=notebook.remarks(),
        sources=(Source(name=container.name, sha256=container.sha256),),
        doubled=doubled,
    )


def says_graph_is_marked(words: str) -> bool | None:
    """Return whether *words*, of a roster or a workbook, say that the graph on paper is marked; None if unclear."""
    folded = " ".join(words.casefold().split())
    if folded in _GRAPH_UNMARKED:
        return False
    return True if folded in _GRAPH_MARKED else None


def _marks_graph(file: CsvFile, lines: list[Record], columns: Mapping[int, Meaning | None], notebook: Notebook) -> bool:
    """Return whether the graph on paper is marked; told where the lines differ, or cannot be understood."""
    column = next((at for at, meaning in columns.items() if meaning is Meaning.GRAPH), None)
    if column is None:
        return True
    said = {" ".join(fields[column].casefold().split()) for _, fields in lines if column < len(fields)} - {""}
    meant = {says_graph_is_marked(one) for one in said}
    if meant == {False}:
        return False
    if not meant <= {True}:
        words = f"the column graph says {', '.join(quote(one) for one in sorted(said))}; the graph on paper is marked"
        notebook.tell(Weight.QUERY, words, _GRAPH_MEND, file=file.name)
    return True


def _read_lines(
    file: CsvFile, lines: list[Record], columns: Mapping[int, Meaning | None], notebook: Notebook
) -> tuple[dict[str, Student], dict[str, str], tuple[str, ...]]:
    # The students by code, the codes by what else they are known by, and the cells in which a code stands again.
    students: dict[str, Student] = {}
    doubled: list[str] = []
    others: dict[str, str | None] = {}
    for row, fields in lines:
        student = _student(fields, columns)
        place = Place(file=file.name, sheet="", cell=f"A{row}")
        if not student.code:
            said = "a line without a student's code"
            notebook.tell(Weight.QUERY, said, "Add the code, or take the line out", place=place)
            continue
        if student.code in students:
            doubled.append(f"{student.code} again in {place.cell}")
            _tell_double(notebook, place, student, students[student.code])
            continue
        column = next((at for at, meaning in columns.items() if meaning is Meaning.MARK_CODE), len(fields))
        codes = codes_told(fields[column], student.code, place, notebook) if column < len(fields) else ()
        student = replace(student, codes=codes, absent=student.absent or MarkCode.ABSENT in codes)
        students[student.code] = student
        if student.paper and not PAPER_WORDS.issuperset(re.findall(r"\w+", student.paper.casefold())):
            said = f"the paper {quote(student.paper)} is not known; the usual page is used"
            notebook.tell(Weight.QUERY, said, _PAPER_MEND, place=place, student=student.code)
        for text in _others(fields, columns):
            key = code_key(text)
            # Two students of one name, or one number given twice, mean nobody.
            others[key] = None if others.get(key, student.code) != student.code else student.code
    return students, {key: code for key, code in others.items() if code is not None}, tuple(doubled)


def join_rosters(rosters: list[Roster]) -> Roster:
    """Return one roster of several; a student who stands in two counts where first met."""
    students: dict[str, Student] = {}
    for roster in rosters:
        for student in roster.students:
            students.setdefault(student.code, student)
    return Roster(
        students=tuple(students.values()),
        other_codes={key: code for roster in reversed(rosters) for key, code in roster.other_codes.items()},
        remarks=tuple(remark for roster in rosters for remark in roster.remarks),
        sources=tuple(source for roster in rosters for source in roster.sources),
    )


def _columns(lines: list[Record], container: Container) -> dict[int, Meaning | None]:
    # Column number to meaning, None for a column of other codes.
    if not lines:
        raise InputError(container.name, "the roster is empty", _MEND)
    words = [fold(text) for text in lines[0][1]]
    columns: dict[int, Meaning | None] = {}
    for word, meaning in (
        *PEOPLE_WORDS.items(),
        *_ROSTER_WORDS.items(),
    ):  # the plainest word first: 'student' before 'candidate number'
        if word in words and meaning not in columns.values():
            columns[words.index(word)] = meaning
    for column, word in enumerate(words):
        if column not in columns and _CODE_WORDS & set(word.split()):
            columns[column] = None
    if Meaning.STUDENT not in columns.values():
        raise InputError(container.name, 'the roster has no column headed "student"', _MEND)
    return columns


def _student(fields: list[str], columns: Mapping[int, Meaning | None]) -> Student:
    said = {meaning: fields[column] for column, meaning in columns.items() if meaning and column < len(fields)}
    return Student(
        code=code_of(said.get(Meaning.STUDENT, "")),
        name=said.get(Meaning.NAME, "").strip() or _both_names(said),
        bench=said.get(Meaning.BENCH, "").strip(),
        absent=says_absent(said.get(Meaning.ABSENT, "")),
        paper=" ".join(said.get(Meaning.PAPER, "").split()),
        material=" ".join(said.get(Meaning.MATERIAL, "").split()),
    )


def _both_names(said: Mapping[Meaning, str]) -> str:
    return " ".join(filter(None, (said.get(part, "").strip() for part in (Meaning.FIRST_NAME, Meaning.SURNAME))))


def _others(fields: list[str], columns: Mapping[int, Meaning | None]) -> list[str]:
    wanted = [column for column, meaning in columns.items() if meaning in (None, Meaning.NAME)]
    return [fields[column].strip() for column in wanted if column < len(fields) and fields[column].strip()]


def _tell_double(notebook: Notebook, place: Place, student: Student, first: Student) -> None:
    if student == first:
        notebook.tell(Weight.NOTE, "stands twice in the roster, the same each time", place=place, student=student.code)
        return
    said = f"stands twice in the roster, and not the same each time; the first is used ({quote(first.name)})"
    notebook.tell(Weight.QUERY, said, "Take the wrong line out", place=place, student=student.code)


def _tell_alike(notebook: Notebook, file: CsvFile, students: Mapping[str, Student]) -> None:
    seen: dict[str, str] = {}
    for code in students:
        other = seen.setdefault(code_key(code), code)
        if other != code:
            said = f"the codes {quote(other)} and {quote(code)} differ in form only; they are kept apart"
            notebook.tell(Weight.QUERY, said, "Give one of them another code", file=file.name, student=code)

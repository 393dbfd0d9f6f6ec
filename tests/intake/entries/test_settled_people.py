"""Whose work is whose, and all that is told of it: in a whole class, and in a part of a set too large to hold."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from marking.intake.entries.piles import Pile
from marking.intake.entries.settling import settle, settle_part
from marking.intake.entries.typed_ticks import with_ticks
from marking.intake.grids.item_names import Vocabulary
from marking.intake.people.people import Roster, RosterIndex
from marking.intake.remarks.notebook import Notebook
from marking.write_up import Entry, Place, Remark, State, Student, WriteUp
from rubrics.load import load_catalogue

BLOCK = Vocabulary(load_catalogue()["specific-heat-block"])
WIRE = Vocabulary(load_catalogue()["wire-resistance"])

Line = tuple[str, str, int, str]
"""(code, item, row, entry); the entry is a number, or a blank where it is '-'."""


def place(cell: str, sheet: str = "", file: str = "class.csv") -> Place:
    """Return a cell of the class's file."""
    return Place(file=file, sheet=sheet, cell=cell)


def number(text: str, where: Place) -> Entry:
    """Return the entry of a number without a unit of its own, or of a dash."""
    state = State.BLANK if text == "-" else State.NUMBER
    value = None if text == "-" else float(text)
    return Entry(raw=text, unit_raw="", state=state, place=where, value=value, last_place=(0, 0))


def pile(*lines: Line) -> Pile:
    """Return a pile of lines, the code of line n in An and its entry in Fn."""
    found = Pile()
    for line, (code, item, row, text) in enumerate(lines, 1):
        found.sheaf(code, place(f"A{line}")).add(item, row, number(text, place(f"F{line}")))
    return found


def index(*students: Student) -> RosterIndex:
    """Return a roster."""
    return RosterIndex(Roster(students=students))


def in_short(works: Sequence[WriteUp]) -> list[str]:
    """Return 'code name bench: item=entry ...' of each write-up."""
    return [
        f"{one.student.code} {one.student.name} {one.student.bench}: "
        + " ".join(f"{item}={entry.raw}" for item, entry in one.singles.items())
        for one in works
    ]


def told(book: Notebook) -> list[tuple[str, str, str, Place | None]]:
    """Return (weight, message, student, place) of every remark."""
    return [(one.weight.value, one.message, one.student, one.place) for one in book.remarks()]


SAM = Student(code="S001", name="Sam", bench="3")


def test_a_code_in_small_letters_among_capitals() -> None:
    """One of four is written small: read as the others are, and told with the cell and a way to avoid it."""
    book = Notebook()
    lines = [(code, "m", 0, "0.9") for code in ("S001", "S003", "S004", "s002")]
    works = settle(pile(*lines), BLOCK, None, book)
    assert [one.student.code for one in works] == ["S001", "S003", "S004", "S002"]
    assert told(book) == [
        (
            "note",
            'class.csv, A4, S002: "s002" read as S002, for the other codes are in capitals. To avoid this, type S002.',
            "S002",
            place("A4"),
        )
    ]


def test_a_code_that_differs_in_form_only() -> None:
    """The second form is read as the first, and told."""
    book = Notebook()
    works = settle(pile(("Ann", "m", 0, "0.9"), ("ann", "E", 0, "20400")), BLOCK, None, book)
    assert in_short(works) == ["Ann  : m=0.9 E=20400"]
    assert told(book) == [
        (
            "note",
            'class.csv, A2, Ann: "ann" read as "Ann", from which it differs in form only. To avoid this, type Ann.',
            "Ann",
            place("A2"),
        )
    ]


def test_two_forms_with_the_same_item_are_kept_apart() -> None:
    """The teacher is asked, and told what to type in either case."""
    book = Notebook()
    works = settle(pile(("Ann", "m", 0, "0.9"), ("ann", "m", 0, "0.8")), BLOCK, None, book)
    assert in_short(works) == ["Ann  : m=0.9", "ann  : m=0.8"]
    query, *names = told(book)
    assert query == (
        "query",
        'class.csv, A2, ann: "ann" and "Ann" (A1) differ in form only; they are kept apart. '
        "If they are one student, give both rows one code; if not, give one of them another.",
        "ann",
        place("A2"),
    )
    # Both would be one file on some systems.
    assert [(weight, student, where) for weight, _, student, where in names] == [
        ("note", "Ann", place("A1")),
        ("note", "ann", place("A2")),
    ]


def test_codes_that_name_no_file_are_told_with_their_cell_or_their_roster() -> None:
    """Who handed nothing in stands in the roster alone; one plain code between two others hides neither."""
    book = Notebook()
    settle(pile(("A/1", "m", 0, "0.9")), BLOCK, index(*(Student(code=code) for code in ("A/1", "B2", "C/3"))), book)
    found = [(message.split(": the code")[0], student, where) for _, message, student, where in told(book)]
    assert found == [("class.csv, A1, A/1", "A/1", place("A1")), ("roster, C/3", "C/3", None)]
    assert [one.file for one in book.remarks()] == ["class.csv", "roster"]


def test_many_codes_that_name_no_file_are_told_in_one() -> None:
    """More than eight of a kind are one remark."""
    book = Notebook()
    settle(pile(*((f"A/{n}", "m", 0, "0.9") for n in range(1, 10))), BLOCK, None, book)
    ((weight, message, *_),) = told(book)
    assert weight == "note"
    assert "The same 8 more times: A2, A3, A4, A5, A6, A7, A8, A9." in message


def test_who_is_in_the_roster_and_who_is_not() -> None:
    """The roster's order and particulars, strangers with their own last; both are told in full."""
    book = Notebook()
    handed = pile(("x9", "m", 0, "0.9"), ("s001", "m", 0, "0.8"))
    handed.sheaf("x9", place("A1")).add_person(name="Xi", bench="7")
    works = settle(handed, BLOCK, index(SAM, Student(code="S002")), book)
    assert in_short(works) == ["S001 Sam 3: m=0.8", "S002  : ", "x9 Xi 7: m=0.9"]
    assert [(one.practical, one.columns) for one in works] == [("specific-heat-block", {})] * 3
    assert told(book) == [
        ("note", 'class.csv, A2, S001: "s001" read as S001 of the roster.', "S001", place("A2")),
        (
            "query",
            'class.csv, A1, x9: "x9" is not in the roster; marked all the same. '
            "Correct the code, or add it to the roster.",
            "x9",
            place("A1"),
        ),
    ]


def test_many_codes_of_the_roster_are_told_in_one() -> None:
    """A class that types small letters hears of it once."""
    book = Notebook()
    students = [Student(code=f"S{n:03}") for n in range(1, 10)]
    settle(pile(*((f"s{n:03}", "m", 0, "0.9") for n in range(1, 10))), BLOCK, index(*students), book)
    (only,) = told(book)
    assert "The same 8 more times: A2, A3, A4, A5, A6, A7, A8, A9." in only[1]


def test_strangers_by_the_dozen_are_another_class() -> None:
    """One query about the file, with eight of them and what to look at."""
    book = Notebook()
    settle(pile(*((f"X{n}", "m", 0, "0.9") for n in range(1, 10))), BLOCK, index(SAM), book)
    listed = ", ".join(f'"X{n}"' for n in range(1, 9))
    assert told(book) == [
        (
            "query",
            f"class.csv: 9 students are not in the roster ({listed} and more); marked all the same. "
            "Check that this is the right roster.",
            "",
            None,
        )
    ]
    assert book.remarks()[0].file == "class.csv"


def test_benches_and_names_of_the_rows() -> None:
    """The first bench counts; each other one is told once, and a name is taken where the roster has none."""
    handed = pile(("S001", "m", 0, "0.9"))
    sheaf = handed.sheaf("S001", place("A1"))
    for bench in ("4", "5"):
        sheaf.add_person(name="Jo", bench=bench)
    book = Notebook()
    (work,) = settle(handed, BLOCK, index(Student(code="S001")), book)
    assert (work.student.name, work.student.bench) == ("Jo", "4")
    assert told(book) == [
        ("note", 'class.csv, A1, S001: bench "5" here, "4" elsewhere; "4" is used.', "S001", place("A1"))
    ]


def test_many_other_benches_are_told_in_one() -> None:
    """A class that moved is one remark."""
    handed = pile(*((f"S{n:03}", "m", 0, "0.9") for n in range(1, 10)))
    for sheaf in handed.sheaves.values():
        sheaf.add_person(bench="4")
        sheaf.add_person(bench="5")
    book = Notebook()
    settle(handed, BLOCK, None, book)
    (only,) = told(book)
    assert "The same 8 more times" in only[1]


def test_without_a_bench_nothing_is_said_of_benches() -> None:
    """A row that names no bench contradicts none."""
    book = Notebook()
    (work,) = settle(pile(("S001", "m", 0, "0.9")), BLOCK, index(SAM), book)
    assert (work.student.bench, told(book)) == ("3", [])


def twice(first: Place, second: Place, *texts: str) -> tuple[Notebook, WriteUp]:
    """Return what is told of a mass that stands in two places, and the write-up."""
    handed = Pile()
    sheaf = handed.sheaf("S001", first)
    for where, text in zip((first, second), texts, strict=True):
        sheaf.add("m", 0, number(text, where))
    book = Notebook()
    (work,) = settle(handed, BLOCK, None, book)
    return book, work


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        (place("F2"), place("F3"), "F3"),
        (place("F2", "One"), place("F2", "Two"), "Two!F2"),
        (place("F2", "One"), place("F3", "One"), "F3"),
        (place("F2", file="a.csv"), place("F2", file="b.csv"), "b.csv, F2"),
        (place("F2", "One", "a.xlsx"), place("F2", "One", "b.xlsx"), "b.xlsx, One!F2"),
    ],
    ids=["same-sheet", "other-sheet", "a-sheet-with-a-name", "other-file", "other-workbook"],
)
def test_where_it_stands_again_is_said_as_shortly_as_it_can_be(first: Place, second: Place, said: str) -> None:
    """The cell alone in one sheet, with its sheet in another, with its file where that differs."""
    book, work = twice(first, second, "0.9", "0.9")
    assert told(book) == [("note", f"{first}, S001: the same again in {said}; used once.", "S001", first)]
    assert work.singles["m"].value == 0.9
    book, work = twice(first, second, "0.9", "0.8")
    assert told(book)[0][1] == (
        f'{first}, S001: stands again in {said}, and not the same: m "0.9" ({first.cell}) and "0.8" ({said}); '
        "none of these is used. Keep the right one and take the other out."
    )
    assert work.singles["m"].state is State.UNREADABLE


def test_three_times_the_same_names_both_places() -> None:
    """Places are parted by commas, each named once."""
    handed = pile(("S001", "m", 0, "0.9"), ("S001", "m", 0, "0.9"), ("S001", "m", 0, "0.9"))
    book = Notebook()
    settle(handed, BLOCK, None, book)
    assert told(book)[0][1] == "class.csv, F1, S001: the same again in F2, F3; used once."


def test_many_who_are_repeated_are_told_in_one() -> None:
    """A file that was pasted twice is one remark."""
    lines = [(f"S{n:03}", "m", 0, "0.9") for n in range(1, 10)]
    book = Notebook()
    settle(pile(*lines, *lines), BLOCK, None, book)
    (only,) = told(book)
    assert "The same 8 more times" in only[1]


def test_rows_of_a_sheet_are_named_by_the_code() -> None:
    """With two rows of a student the code's own cells are named; with one, the cells of the entries."""
    for rows, first, again in ((2, "A1", "A5"), (1, "F1", "F5")):
        handed = Pile()
        sheaf = handed.sheaf("S001", place("A1"))
        sheaf.row_places += [place("A1"), place("A5")][:rows]
        for line in (1, 5):
            sheaf.add("m", 0, number("0.9", place(f"F{line}")))
        book = Notebook()
        settle(handed, BLOCK, None, book)
        assert told(book)[0][1] == f"class.csv, {first}, S001: the same again in {again}; used once."


def blank_m(code: str = "S001") -> Pile:
    """Return a student with a dash for the mass and an energy."""
    return pile((code, "m", 0, "-"), (code, "E", 0, "20400"))


def test_blanks_entries_and_ticks_are_told_of_the_student() -> None:
    """What is said of a dash, of an entry and of a tick bears the student's code."""
    book = Notebook()
    works = settle(blank_m(), BLOCK, None, book)
    assert told(book) == [("query", 'class.csv, F1, S001: taken as not given: m (F1, "-").', "S001", place("F1"))]
    assert works[0].practical == "specific-heat-block"

    handed = pile(("S001", "m", 0, "0.9"))
    sheaf = handed.sheaf("S001", place("A1"))
    noted = Entry(raw="O.9", unit_raw="", state=State.UNREADABLE, place=place("G1"), notes=("a letter in it",))
    sheaf.add("E", 0, noted)
    for code, text in (("R1", "perhaps"), ("R2", "x")):
        cell = place("H1" if code == "R1" else "I1")
        sheaf.add(f"tick {code}", 0, Entry(raw=text, unit_raw="", state=State.WORDS, place=cell))
    vocabulary = with_ticks_of_block()
    book = Notebook()
    (work,) = settle(handed, vocabulary, None, book)
    assert [(student, where) for _, _, student, where in told(book)] == [
        ("S001", place("G1")),
        ("S001", place("H1")),
    ]
    assert (list(work.singles), {code: tick.marks for code, tick in work.ticks.items()}) == (["m", "E"], {"R2": 0})


def with_ticks_of_block() -> Vocabulary:
    """Return the practical with boxes for the teacher's ticks."""
    return Vocabulary(with_ticks(load_catalogue()["specific-heat-block"]))


def remarks_of_part(handed: Pile, roster: RosterIndex | None) -> tuple[list[str], tuple[Remark, ...]]:
    """Return the write-ups of a part in short, and what is told."""
    book = Notebook()
    return in_short(settle_part(handed, BLOCK, roster, book)), book.remarks()


def test_a_part_of_a_set_holds_those_who_stand_in_it() -> None:
    """Nobody of the roster is missing from a part; who stands in it comes with the roster's particulars."""
    handed = pile(("S002", "m", 0, "0.8"), ("s001", "m", 0, "0.9"))
    works, remarks = remarks_of_part(handed, index(SAM, Student(code="S002", name="Jo"), Student(code="S003")))
    assert works == ["S002 Jo : m=0.8", "S001 Sam 3: m=0.9"]
    assert [(one.message, one.student) for one in remarks] == [
        ('class.csv, A2, S001: "s001" read as S001 of the roster.', "S001")
    ]


def test_a_stranger_in_a_part_is_told_at_once_and_keeps_name_and_bench() -> None:
    """Each alone, for another part knows nothing of this one; nobody of the roster is told."""
    handed = pile(*((f"X{n}", "m", 0, "0.9") for n in range(9)), ("S001", "m", 0, "0.8"))
    handed.sheaf("X0", place("A1")).add_person(name="Xi", bench="7")
    works, remarks = remarks_of_part(handed, index(SAM))
    assert works[0] == "X0 Xi 7: m=0.9"
    assert works[-1] == "S001 Sam 3: m=0.8"
    assert [one.student for one in remarks] == [f"X{n}" for n in range(9)]
    assert all("is not in the roster" in one.message for one in remarks)


def test_in_a_part_codes_stand_as_typed() -> None:
    """Only the whole class could show that a code in small letters is odd; a second form in the part is one student."""
    lines = [(code, "m", 0, "0.9") for code in ("S001", "S003", "S004", "s002")]
    works, remarks = remarks_of_part(pile(*lines), None)
    assert works == ["S001  : m=0.9", "S003  : m=0.9", "S004  : m=0.9", "s002  : m=0.9"]
    assert remarks == ()


def test_a_part_tells_nothing_of_file_names_and_everything_of_entries() -> None:
    """Files are named over the whole set; what one student wrote is told in the part."""
    works, remarks = remarks_of_part(blank_m("A/1"), None)
    assert works == ["A/1  : m=- E=20400"]
    assert [one.message for one in remarks] == ['class.csv, F1, A/1: taken as not given: m (F1, "-").']


def test_rows_of_a_table_stand_in_columns() -> None:
    """A column is a row number to an entry, in order; a single item stands alone."""
    (work,) = settle(pile(("S1", "L", 2, "0.3"), ("S1", "L", 1, "0.2")), WIRE, None, Notebook())
    assert {row: entry.raw for row, entry in work.columns["L"].items()} == {1: "0.2", 2: "0.3"}
    assert list(work.columns["L"]) == [1, 2]
    assert work.singles == {}

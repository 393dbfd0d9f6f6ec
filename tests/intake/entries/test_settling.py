"""From piles to write-ups: whose is what, and what becomes of entries that stand twice."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.write_up import Entry, MarkCode, State
from tests.intake.class_files import (
    BLOCK,
    TIDY,
    WIRE,
    codes,
    csv_text,
    entry_of,
    read_files,
    read_tidy,
    read_wide,
    remarks_on,
    told,
    unit_of,
    work_of,
)

UNDECIDED = ("written more than once, and not the same",)


def twice(first: tuple[str, str], second: tuple[str, str]) -> Entry:
    """Return what becomes of two masses (entry, unit) of one student."""
    return entry_of(read_tidy([("A01", "m", "", *first), ("A01", "m", "", *second)]), "A01", "m")


@pytest.mark.parametrize(
    ("first", "second", "raw"),
    [
        (("0.998", "kg"), ("0.998", "g"), "0.998 kg or 0.998 g"),
        (("0.998", "kg"), ("0.998", ""), "0.998 kg or 0.998"),
        (("0.998", "kg"), ("998", "g"), "0.998 kg or 998 g"),
        (("998", "g"), ("998.0", "g"), "998 g or 998.0 g"),
        (("998", "g"), ("97O", "g"), "998 g or 97O g"),
    ],
    ids=["unit-alone", "unit-missing", "same-mass", "one-more-figure", "one-unreadable"],
)
def test_two_entries_that_differ_are_neither_used(first: tuple[str, str], second: tuple[str, str], raw: str) -> None:
    """Number or unit, whichever differs: none of the two is used, both stand in the entry for the teacher."""
    entry = twice(first, second)
    assert (entry.state, entry.value, entry.raw, entry.unit_raw) == (State.UNREADABLE, None, raw, "")
    assert (entry.notes, entry.place.cell) == (UNDECIDED, "F2")


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (("998", "g"), ("998", "g")),
        (("998", "g"), (" 998 ", " g")),
        (("998", "g"), ("", "kg")),
        (("-", ""), ("998", "g")),
    ],
    ids=["the-same", "but-for-spaces", "nothing-the-second-time", "nothing-the-first-time"],
)
def test_what_says_the_same_is_used_once(first: tuple[str, str], second: tuple[str, str]) -> None:
    """Spaces decide nothing, and a blank never counts against what was written."""
    entry = twice(first, second)
    assert (entry.state, entry.value, unit_of(entry)) == (State.NUMBER, 998, "g")


_CELLS = st.tuples(st.sampled_from(["998", "998.0", "0.998", "97O"]), st.sampled_from(["g", "kg", ""]))


@settings(deadline=None, max_examples=30)
@given(st.lists(_CELLS, min_size=2, max_size=4))
def test_an_entry_is_used_only_where_all_that_stands_there_is_one(cells: list[tuple[str, str]]) -> None:
    """However often a mass is written, a number comes of it only where every time says the same."""
    entry = entry_of(read_tidy([("A01", "m", "", *cell) for cell in cells]), "A01", "m")
    assert (entry.notes == UNDECIDED) is (len(set(cells)) > 1)
    if len(set(cells)) > 1:
        assert entry.state is State.UNREADABLE
        assert entry.raw == " or ".join(dict.fromkeys(f"{text} {unit}".strip() for text, unit in cells))


def test_units_that_differ_are_shown_with_their_numbers() -> None:
    """Where the numbers are alike the remark shows the units; where they are not, the numbers say enough."""
    found = read_tidy([("A01", "m", "", "0.998", "kg"), ("A01", "m", "", "0.998", "g")])
    assert told(found) == [
        (
            "query",
            'class.csv, F2, A01: stands again in F3, and not the same: m "0.998 kg" (F2) and "0.998 g" (F3); '
            "none of these is used. Keep the right one and take the other out.",
        )
    ]


def test_a_row_of_a_table_is_named_with_its_row() -> None:
    """Of a column only the row that differs is left out, and the remark says which."""
    lines = [("A01", "L", "1", "0.20", "m"), ("A01", "L", "2", "0.30", "m"), ("A01", "L", "2", "0.35", "m")]
    found = read_tidy(lines, WIRE)
    assert entry_of(found, "A01", "L", 1).value == 0.20
    assert entry_of(found, "A01", "L", 2).state is State.UNREADABLE
    assert [message for weight, message in told(found) if weight == "query"] == [
        'class.csv, F3, A01: stands again in F4, and not the same: L in row 2 "0.30" (F3) and "0.35" (F4); '
        "none of these is used. Keep the right one and take the other out."
    ]


def test_the_same_again_is_told_once() -> None:
    """A second copy of a line is used once, and the note says where it stands."""
    found = read_tidy([("A01", "m", "", "998", "g"), ("A01", "m", "", "998", "g")])
    assert told(found) == [("note", "class.csv, F2, A01: the same again in F3; used once.")]


def test_a_student_with_two_rows_of_a_sheet() -> None:
    """Two rows of one student are told by the code's own cells, with up to six items and how many more."""
    wide = [
        ("student", "m / g", "E / J", "T_start / °C"),
        ("A01", "998", "20400", "20.5"),
        ("A01", "989", "20400", "20.6"),
    ]
    assert told(read_wide(wide))[1:] == [
        (
            "query",
            'class.csv, A2, A01: stands again in A3, and not the same: m "998" (B2) and "989" (B3); '
            'T_start "20.5" (D2) and "20.6" (D3); none of these is used. Keep the right one and take the other out.',
        )
    ]


@pytest.mark.parametrize(("rows", "more"), [(6, ""), (7, " and 1 more"), (9, " and 3 more")])
def test_many_that_differ_are_counted(rows: int, more: str) -> None:
    """Six are listed, the others counted."""
    lines = [("A01", "L", str(row), text, "m") for row in range(1, rows + 1) for text in ("0.20", "0.30")]
    (remark,) = [one for one in remarks_on(read_tidy(lines, WIRE), "A01") if "stands again" in one.message]
    assert remark.message.count("L in row") == min(rows, 6)
    assert f'"0.30" (F{2 * min(rows, 6) + 1}){more}; none of these is used' in remark.message


def test_the_same_student_in_two_files() -> None:
    """What stands in another file is named with its file."""
    one, two = (csv_text([TIDY, ("A01", "", BLOCK, "m", "", text, "g")]) for text in ("998", "989"))
    (found,) = read_files({"a.csv": one, "b.csv": two})
    assert entry_of(found, "A01", "m").raw == "998 g or 989 g"
    (remark,) = [one for one in found.remarks if "stands again" in one.message]
    assert remark.message.startswith(
        'a.csv, F2, A01: stands again in b.csv, F2, and not the same: m "998" (F2) and "989"'
    )


@pytest.mark.parametrize(
    ("first", "second", "wanted"),
    [
        ("A01", "a01", ["A01"]),
        ("A01", "A 01", ["A01"]),
        ("A01", "A02", ["A01", "A02"]),
        ("Ann", "ann", ["Ann"]),
    ],
)
def test_codes_that_differ_in_form_are_one_student(first: str, second: str, wanted: list[str]) -> None:
    """Capitals and spaces make no other student where the two have written different things."""
    found = read_tidy([(first, "m", "", "998", "g"), (second, "E", "", "20400", "J")])
    assert codes(found) == wanted
    assert set(work_of(found, wanted[0]).singles) == ({"m", "E"} if len(wanted) == 1 else {"m"})
    assert len(told(found)) == 2 - len(wanted)


def test_codes_that_differ_in_form_are_kept_apart_where_both_wrote_the_same_item() -> None:
    """Ann and ann both with a mass may be two students: neither loses a reading, and the teacher is asked."""
    found = read_tidy([("Ann", "m", "", "998", "g"), ("ann", "m", "", "989", "g")])
    assert [(code, entry_of(found, code, "m").value) for code in codes(found)] == [("Ann", 998), ("ann", 989)]
    (weight, message), *names = told(found)
    assert weight == "query"
    assert '"ann" and "Ann" (A2) differ in form only; they are kept apart' in message
    # Some systems take Ann.pdf and ann.pdf for one file.
    assert [weight for weight, said in names if "files are called" in said] == [
        "note",
        "note",
    ]


ROSTER = "student,name,bench\nB01,Sam,3\nB02,Jo,\nB03,Kit,\n"


def with_roster(*lines: tuple[str, str, str, str]) -> dict[str, str]:
    """Return a class (student, bench, item, entry) and its roster as files."""
    full = [(student, bench, BLOCK, item, "", entry, "") for student, bench, item, entry in lines]
    return {"class.csv": csv_text([TIDY, *full]), "list.csv": ROSTER}


def test_the_roster_gives_the_order_and_its_codes() -> None:
    """Students come in the order of the roster, those without work too, strangers last; codes as listed there."""
    files = with_roster(("X9", "", "m", "0.9"), ("B03", "", "m", "0.8"), ("b 01", "", "m", "0.7"))
    (found,) = read_files(files, ["class.csv"], roster="list.csv")
    assert codes(found) == ["B01", "B02", "B03", "X9"]
    assert entry_of(found, "B01", "m").value == 0.7
    assert work_of(found, "B02").singles == {}
    assert work_of(found, "B01").student.name == "Sam"
    messages = [message for _, message in told(found)]
    assert any('"b 01" read as B01 of the roster' in message for message in messages)
    assert any(message.startswith('class.csv, A2, X9: "X9" is not in the roster') for message in messages)
    assert not any("B03" in message for message in messages)


def test_a_stranger_is_told_beside_the_nearest_code() -> None:
    """B04 is nobody of the list; the nearest code is named, and the work is marked."""
    (found,) = read_files(with_roster(("B01x", "", "m", "0.9")), ["class.csv"], roster="list.csv")
    assert '"B01x" is not in the roster (nearest: B01); marked all the same' in told(found)[0][1]
    assert entry_of(found, "B01x", "m").value == 0.9


@pytest.mark.parametrize(("strangers", "remarks"), [(8, 8), (9, 1)])
def test_many_strangers_are_told_at_once(strangers: int, remarks: int) -> None:
    """More than eight speak for a roster of another class: one query that lists eight."""
    files = with_roster(*[(f"X{number}", "", "m", "0.9") for number in range(strangers)])
    (found,) = read_files(files, ["class.csv"], roster="list.csv")
    messages = [message for weight, message in told(found) if weight == "query"]
    assert len(messages) == remarks
    assert all("marked all the same" in message for message in messages)
    if remarks == 1:
        assert '9 students are not in the roster ("X0", "X1"' in messages[0]
        assert '"X7" and more)' in messages[0]
        assert '"X8"' not in messages[0]


def test_the_bench_of_the_roster_counts_and_another_is_told() -> None:
    """Bench 4 in the file, 3 in the roster: 3 is used; where the roster has none, the file's is."""
    files = with_roster(("B01", "4", "m", "0.9"), ("B02", "5", "m", "0.8"))
    (found,) = read_files(files, ["class.csv"], roster="list.csv")
    assert [work_of(found, code).student.bench for code in ("B01", "B02", "B03")] == ["3", "5", ""]
    benches = [(weight, message) for weight, message in told(found) if "bench" in message]
    assert benches == [("note", 'class.csv, A2, B01: bench "4" here, "3" elsewhere; "3" is used.')]


@pytest.mark.parametrize(
    ("entries", "absent", "kept"),
    [
        (["absent", "AB"], True, False),
        (["absent", "998"], False, True),
        (["absent", ""], True, False),
        (["", ""], False, True),
    ],
)
def test_only_who_wrote_nothing_else_is_absent(entries: list[str], absent: bool, kept: bool) -> None:
    """'absent' in every cell that is filled says so; beside a reading it is an entry that cannot be read."""
    lines = [("A01", item, "", entry, "") for item, entry in zip(("m", "E"), entries, strict=True)]
    work = work_of(read_tidy(lines), "A01")
    assert work.student.absent is absent
    assert bool(work.singles) is kept


def test_said_to_be_absent_and_there() -> None:
    """A tick for absent beside entries: they are marked, and the teacher is told; blanks are no entries."""
    wide = [("student", "absent", "m / g"), ("A01", "yes", "998"), ("A02", "yes", "-"), ("A03", "no", "998")]
    found = read_wide(wide)
    assert [work_of(found, code).student.absent for code in codes(found)] == [False, True, False]
    assert [one for one in told(found) if "absent, but" in one[1]] == [
        (
            "note",
            "class.csv, A2, A01: said to be absent, but there are entries; they are marked. "
            "Correct whichever is wrong.",
        )
    ]


def test_mark_codes_of_rows_reach_the_student() -> None:
    """A code in the column for it is the student's own, and nobody else's."""
    found = read_wide([("student", "mark code", "m / g"), ("A01", "EXC LATE", "998"), ("A02", "", "998")])
    assert [work_of(found, code).student.codes for code in codes(found)] == [(MarkCode.LATE, MarkCode.EXCUSED), ()]


def test_a_code_that_names_no_file_is_told() -> None:
    """A/1 cannot be the name of a file; the student keeps the code, and is told under another name."""
    found = read_tidy([("A/1", "m", "", "998", "g")])
    assert codes(found) == ["A/1"]
    ((weight, message),) = told(found)
    assert weight == "note"
    assert 'A/1: the code "A/1" cannot name a file' in message


def test_rows_of_a_column_come_in_their_order() -> None:
    """However the lines stand, row 1 comes before row 2."""
    found = read_tidy(
        [("A01", "L", "3", "0.4", "m"), ("A01", "L", "1", "0.2", "m"), ("A01", "L", "2", "0.3", "m")], WIRE
    )
    assert list(work_of(found, "A01").columns["L"]) == [1, 2, 3]


def test_what_stands_again_a_thousand_times_is_told_in_a_line() -> None:
    """The first cells and texts, and how many more there are."""
    read_in = read_tidy([("A01", "m", "", f"abc{number}", "g") for number in range(1000)])
    (said,) = [remark.message for remark in read_in.remarks if "stands again" in remark.message]
    assert "987 more" in said
    assert len(said) < 1000
    assert entry_of(read_in, "A01", "m").raw.endswith("or 988 more")

"""Readings that make no sense are told in the lesson, by bench, with the likeliest slip; sound ones are left alone."""

from __future__ import annotations

from random import Random

import pytest
from msgspec.structs import replace

from marking.checking.marking_set import mark_set
from marking.class_notes import ClassNote, NoteKind
from marking.cohort.assembly import notes_for
from marking.cohort.lesson.telling import awaits_answers, lesson_notes
from marking.write_up import ClassSet, Entry, Place, State, WriteUp
from rubrics.load import load_catalogue
from rubrics.model.practical import Item, Role, Rubric
from tests.benchmarks.lesson import SHARING, clean, score
from tests.benchmarks.lesson_classes import ALIKE, MIXED, alike, mixed
from tests.checking.rows import read_class
from tests.cohort.simulated import Cell, rewritten, simulate, students, write_up

NOWHERE = Place(file="class.csv", sheet="", cell="A1")
WHO = 4
"""The student in whose write-up a slip is made; bench 5."""


def notes_on(practical: str, **cells: Cell | dict[int, Cell]) -> list[ClassNote]:
    """Return the notes on a sound class but for other cells of one student: m=("998", "kg"), V={3: ("7.6", "V")}."""
    sound = list(alike(practical, 1))
    sound[WHO] = with_cells(sound[WHO], **cells)
    return list(lesson_notes(load_catalogue()[practical], sound))


def with_cells(one: WriteUp, **cells: Cell | dict[int, Cell]) -> WriteUp:
    """Return a write-up with other cells."""
    for item, cell in cells.items():
        if isinstance(cell, dict):
            column = {**one.columns[item], **{row: entry(cell[row]) for row in cell}}
            one = replace(one, columns={**one.columns, item: column})
        else:
            one = replace(one, singles={**one.singles, item: entry(cell)})
    return one


def entry(cell: Cell) -> Entry:
    """Return the entry of a cell; a blank one for no text."""
    if not cell[0]:
        return Entry(raw="", unit_raw="", state=State.BLANK, place=NOWHERE)
    made = write_up(students(1, 1)[0], "specific-heat-block", {"m": cell})
    return made.singles["m"]


@pytest.mark.parametrize(
    ("practical", "cells", "items", "factor", "message"),
    [
        (
            "specific-heat-block",
            {"m": ("1003", "kg")},
            ("m",),
            1000,
            "Mass of the block: 1003 kg cannot be right here. The number looks like 1003 g: check the unit.",
        ),
        (
            "specific-heat-block",
            {"E": ("20.4", "J")},
            ("E",),
            0.001,
            "Energy supplied: 20.4 J cannot be right here. The number looks like 20.4 kJ: check the unit.",
        ),
        (
            "specific-heat-block",
            {"T_start": ("2.00", "°C")},
            ("T_start",),
            0.1,
            "Start temperature: 2.00 °C does not fit the other readings. It looks like 20 °C: check the decimal point.",
        ),
        (
            "specific-heat-block-vit",
            {"t": ("10", "s")},
            ("t",),
            1 / 60,
            "Heating time: 10 s cannot be right here. The number looks like 10 min: check the unit.",
        ),
        (
            "resistor-combinations",
            {"V_1": ("0.42", "V"), "I_1": ("4.20", "A")},
            ("V_1", "I_1"),
            None,
            "P.d. across the first resistor and current through the first resistor: 0.42 V and 4.20 A look exchanged. "
            "Check which number belongs where.",
        ),
        (
            "resistor-combinations",
            {"I_series": ("170", "A")},
            ("I_series",),
            1000,
            "Current through the pair in series: 170 A cannot be right here. The number looks like 170 mA: check the "
            "unit.",
        ),
    ],
    ids=["grams-called-kilograms", "kJ-called-J", "decimal-point", "minutes-for-seconds", "V-and-I", "mA-called-A"],
)
def test_likeliest_slip(
    practical: str, cells: dict[str, Cell], items: tuple[str, ...], factor: float | None, message: str
) -> None:
    """A slip is told with its bench, its reading, its factor and the sentence for the teacher, and nothing else is."""
    (note,) = notes_on(practical, **cells)
    assert note.kind is NoteKind.LESSON
    assert (note.practical, note.bench, note.students, note.items) == (practical, "5", ("S05",), items)
    assert note.message == message
    assert note.factor == (None if factor is None else pytest.approx(factor))
    assert note.direction == ("" if factor is None else "high" if factor > 1 else "low")
    assert note.chance is not None
    assert 0 < note.chance < 0.2


def test_columns_exchanged() -> None:
    """Two columns under each other's heading are one note, not one for each row."""
    one = alike("wire-resistance", 1)[WHO]
    volts = {row: (e.raw, "V") for row, e in one.columns["I"].items()}
    amps = {row: (e.raw, "A") for row, e in one.columns["V"].items()}
    (note,) = notes_on("wire-resistance", V=volts, I=amps)
    assert note.items == ("V", "I")
    assert "all rows" in note.message


def test_one_row_of_a_column() -> None:
    """One cell with its point moved is told with its row, by the other rows of the same table."""
    one = alike("wire-resistance", 1)[WHO]
    wrong = f"{10 * float(one.columns['V'][3].raw):.1f}"
    (note,) = notes_on("wire-resistance", V={3: (wrong, "V")})
    assert note.message.startswith(f"P.d. across the wire, row 3: {wrong} V does not fit the other readings.")


def test_rows_of_a_lone_student() -> None:
    """A cell that slipped stands out of its own table, even if nobody else has handed in yet."""
    one = alike("pendulum-g", 1)[WHO]
    wrong = with_cells(one, t10={3: (f"{float(one.columns['t10'][3].raw) / 10:.2f}", "s")})
    rubric = load_catalogue()["pendulum-g"]
    assert lesson_notes(rubric, (one,)) == ()
    assert [note.items for note in lesson_notes(rubric, (wrong,))] == [("t10",)]


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ({"V": {2: ("", "")}}, "P.d. across the wire, row 2: nothing is written. Take it while the apparatus is out."),
        (
            {"L": {3: ("", "")}, "V": {3: ("", "")}, "I": {3: ("", "")}},
            "Row 3: nothing is written, though rows follow it. Take it, or close the gap.",
        ),
    ],
    ids=["cell", "row"],
)
def test_gap_in_a_table(cells: dict[str, dict[int, Cell]], message: str) -> None:
    """A missing cell is told with its row; a missing row is told once."""
    assert [note.message for note in notes_on("wire-resistance", **cells)] == [message]


def with_repeats(one: WriteUp, *numbers: int) -> WriteUp:
    """Return the write-up of a pendulum with its times as so many repeats, in place of their mean."""
    columns = {f"t10_{number}": one.columns["t10"] for number in numbers}
    return replace(one, columns={"L": one.columns["L"], **columns})


def test_repeats_are_asked_for_only_where_they_are_taken() -> None:
    """Means alone, or two repeats of the three there is room for, have no gap; one repeat left out has."""
    rubric = load_catalogue()["pendulum-g"]
    means = alike("pendulum-g", 1)
    assert lesson_notes(rubric, means) == ()
    for numbers in ((1, 2), (1, 2, 3)):
        assert lesson_notes(rubric, [with_repeats(one, *numbers) for one in means]) == ()
    lone = with_repeats(means[WHO], 1, 2)
    assert lesson_notes(rubric, (lone,)) == ()
    (note,) = lesson_notes(rubric, (with_cells(lone, t10_2={3: ("", "")}),))
    assert (
        note.message == "Time for 10 swings, reading 2, row 3: nothing is written. Take it while the apparatus is out."
    )
    (note,) = lesson_notes(rubric, (with_cells(lone, t10_1={3: ("", "")}, t10_2={3: ("", "")}),))
    assert note.items == ("t10",)
    once = with_repeats(means[WHO], 1, 2, 3)
    once = replace(once, columns={**once.columns, "t10_3": {2: once.columns["t10_3"][2]}})
    assert lesson_notes(rubric, (once,)) == ()


def test_a_mean_is_no_answer_yet() -> None:
    """A class that handed in means of its readings is still in the lesson."""
    rubric = load_catalogue()["pendulum-g"]
    assert awaits_answers(rubric, alike("pendulum-g", 1))


def test_missing_single_reading() -> None:
    """A reading that the class has is missed where it is blank; one that nobody has is not."""
    assert [note.items for note in notes_on("specific-heat-block", E=("", ""))] == [("E",)]
    without = [
        replace(one, singles={name: e for name, e in one.singles.items() if name != "E"})
        for one in alike("specific-heat-block", 1)
    ]
    assert lesson_notes(load_catalogue()["specific-heat-block"], without) == ()


def test_too_few_rows_for_the_mark_scheme() -> None:
    """Six lengths are enough, as the scheme says; five are told to be one too few."""
    rubric = load_catalogue()["wire-resistance"]
    sound = alike("wire-resistance", 1)[0]

    def cut(rows: int) -> WriteUp:
        columns = {name: {r: e for r, e in column.items() if r <= rows} for name, column in sound.columns.items()}
        return replace(sound, columns=columns)

    assert lesson_notes(rubric, (cut(6),)) == ()
    (note,) = lesson_notes(rubric, (cut(5),))
    assert note.message == "Table: 1 row fewer than needed. Take more while the apparatus is out."


def test_partners_have_one_note() -> None:
    """Students of a bench who share their readings share the note."""
    sound = list(simulate("specific-heat-block", 3, together=True))
    mine = [at for at, one in enumerate(sound) if one.student.bench == "5"]
    for at in mine:
        sound[at] = with_cells(sound[at], m=("1003", "kg"))
    (note,) = lesson_notes(load_catalogue()["specific-heat-block"], sound)
    assert note.students == tuple(sound[at].student.code for at in mine)
    assert len(note.students) > 1


def test_notes_stand_in_the_order_of_benches() -> None:
    """Bench 2 stands before bench 10."""
    sound = list(alike("specific-heat-block", 1))
    for at in (9, 1):
        sound[at] = with_cells(sound[at], m=("1003", "kg"))
    found = lesson_notes(load_catalogue()["specific-heat-block"], sound)
    assert [note.bench for note in found] == ["2", "10"]


def test_order_of_students_does_not_matter() -> None:
    """The same class in another order has the same notes."""
    sound = list(alike("wire-resistance", 1))
    sound[WHO] = with_cells(sound[WHO], V={3: ("7.7", "V")})
    rubric = load_catalogue()["wire-resistance"]
    other = sound[7:] + sound[:7]
    assert {n.message for n in lesson_notes(rubric, sound)} == {n.message for n in lesson_notes(rubric, other)}


def test_reading_beyond_the_apparatus_without_a_slip_that_explains_it() -> None:
    """A negative p.d., which no slip explains, is told to lie outside what the apparatus gives."""
    found = notes_on("wire-resistance", V={3: ("-0.83", "V")})
    assert [note.message for note in found] == [
        "P.d. across the wire, row 3: -0.83 V is outside 0.00500 to 20.0 V. Read it again."
    ]
    assert found[0].factor is None


def test_answers_are_waited_for() -> None:
    """A class with readings alone awaits answers; with one answer, or with nothing at all, it does not."""
    rubric = load_catalogue()["specific-heat-block"]
    sound = list(alike("specific-heat-block", 1))
    assert awaits_answers(rubric, sound)
    assert not awaits_answers(rubric, [*sound[1:], with_cells(sound[0], c=("950", "J/(kg °C)"))])
    assert not awaits_answers(rubric, [replace(sound[0], singles={})])
    assert not awaits_answers(rubric, [])


def test_nothing_handed_in() -> None:
    """A class without readings has no notes, and a student without any is left to the list of those missing."""
    rubric = load_catalogue()["specific-heat-block"]
    sound = list(alike("specific-heat-block", 1))
    assert lesson_notes(rubric, ()) == ()
    assert lesson_notes(rubric, [replace(sound[0], singles={})]) == ()
    assert lesson_notes(rubric, [replace(sound[0], singles={}), *sound[1:]]) == ()


def test_unreadable_cell_is_no_gap() -> None:
    """What cannot be read was written; it is for the list of entries, and no number is made up for it."""
    sound = list(alike("wire-resistance", 1))
    smudged = replace(sound[WHO].columns["V"][2], raw="0.5O?", value=None, state=State.UNREADABLE, last_place=None)
    column = {**sound[WHO].columns["V"], 2: smudged}
    sound[WHO] = replace(sound[WHO], columns={**sound[WHO].columns, "V": column})
    assert lesson_notes(load_catalogue()["wire-resistance"], sound) == ()


@pytest.mark.parametrize("practical", sorted(load_catalogue()))
def test_every_practical_of_the_catalogue(practical: str) -> None:
    """Whatever a practical measures, a class with readings in the middle of their limits is looked through."""
    rubric = load_catalogue()[practical]
    luck = Random(practical)
    sound = [_invented(rubric, luck, at) for at in range(6)]
    assert all(note.kind is NoteKind.LESSON and note.message for note in lesson_notes(rubric, sound))


def _invented(rubric: Rubric, luck: Random, at: int) -> WriteUp:
    cells: dict[str, Cell | list[Cell]] = {}
    for item in rubric.items.values():
        if item.role is not Role.READING or item.is_words:
            continue
        shares = [0.2 + 0.08 * row for row in range(8)] if item.table else [0.4]
        column = [(f"{_between(item, share * luck.gauss(1, 0.02)):.4g}", item.unit.symbol) for share in shares]
        cells[item.name] = column if item.table else column[0]
    return rewritten(write_up(students()[at], rubric.id, cells), students()[at])


def _between(item: Item, share: float) -> float:
    low, high = item.limits or (1.0, 10.0)
    return float(low + share * (high - low)) if low <= 0 else float(low * (high / low) ** share)


CLASSES = 3


@pytest.mark.parametrize("practical", list(ALIKE))
@pytest.mark.parametrize("kind", ["unit", "V and I", "temperatures", "columns", "minus", "missing cell", "missing row"])
def test_planted_slips_are_told(kind: str, practical: str) -> None:
    """Unit slips, exchanged meters and gaps in a class with parts of one kind are all told and named."""
    found = score(alike, practical, kind, classes=CLASSES)
    assert found is None or (found.told == found.named == 1 and found.others == 0)


@pytest.mark.parametrize(
    ("kind", "practical"),
    [
        ("temperatures", "specific-heat-block"),
        ("temperatures", "specific-heat-block-vit"),
        ("unit", "specific-heat-block"),
        ("unit", "pendulum-g"),
        ("columns", "wire-resistance"),
        ("minus", "iv-characteristic"),
    ],
)
def test_a_slip_that_many_share_is_still_one(kind: str, practical: str) -> None:
    """Eight of thirty with the same slip do not vouch for each other against what nature allows."""
    found = score(alike, practical, kind, classes=2, sharing=SHARING)
    assert found is not None
    assert (found.told, found.others) == (1.0, 0.0)


def test_materials_that_no_list_names_may_speak() -> None:
    """Ten blocks of wood among metals are no slips: a band of many materials is not all that nature knows."""
    wood = {f"W{n}": _cuboid(0.65 * (1 + n / 100)) for n in range(10)}
    metal = {f"M{n}": _cuboid(2.7 * (1 + n / 100)) for n in range(20)}
    rubric, class_set = read_class("density-cuboid", wood | metal)
    assert lesson_notes(rubric, class_set.write_ups) == ()


def _cuboid(density: float) -> str:
    return f"l,,5.00,cm\nw,,4.00,cm\nh,,2.00,cm\nm,,{40 * density:.1f},g"


@pytest.mark.campaign
def test_most_decimal_slips_are_told() -> None:
    """Of moved points at least 85 % are told, with parts of one kind and with parts of every kind."""
    for make, practicals in ((alike, tuple(ALIKE)), (mixed, MIXED)):
        found = [score(make, practical, "point", classes=CLASSES) for practical in practicals]
        told = [one.told for one in found if one is not None]
        assert sum(told) / len(told) >= 0.85


@pytest.mark.parametrize("practical", list(ALIKE))
def test_sound_classes_are_left_alone(practical: str) -> None:
    """No sound class with parts of one kind is queried."""
    assert clean(alike, practical, classes=CLASSES).write_ups == 0


def _lesson_students(*write_ups: WriteUp) -> list[str]:
    rubric = load_catalogue()["specific-heat-block"]
    class_set = ClassSet(practical=rubric.id, write_ups=write_ups, remarks=(), sources=())
    notes = notes_for([mark_set(rubric, class_set)])
    return sorted({code for note in notes if note.kind is NoteKind.LESSON for code in note.students})


def test_each_student_is_told_until_they_have_answered() -> None:
    """One who has answered silences nobody else, and hears no more of readings that cannot be taken again."""
    sound = list(alike("specific-heat-block", 1))
    slip = {"m": ("1003", "kg")}
    first, second = (with_cells(sound[at], **slip) for at in (WHO, WHO + 1))
    rest = [one for one in sound if one.student.code not in (first.student.code, second.student.code)]
    both = sorted((first.student.code, second.student.code))
    assert _lesson_students(first, second, *rest) == both
    answered = with_cells(rest[0], c=("950", "J/(kg °C)"))
    assert _lesson_students(first, second, answered, *rest[1:]) == both
    assert _lesson_students(first, with_cells(second, c=("950", "J/(kg °C)")), *rest) == [first.student.code]

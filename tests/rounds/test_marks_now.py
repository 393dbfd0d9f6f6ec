"""Totals after moderation are those of today's marks: what was decided since the draw counts; what waits has none."""

from __future__ import annotations

import csv
import datetime
import itertools
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import pytest
from msgspec import structs

from marking.decided import SetName
from marking.findings import CriterionMark, MarkedSet, Outcome, Ruling, Script
from marking.moderation.decisions import AppealOutcome, Ledger, SigningRole, answer, ask, standing
from marking.moderation.decisions import Ruling as RoundRuling
from marking.moderation.decisions.standings import department_decisions
from marking.moderation.joint import Adjustment
from marking.moderation.packs import Key, Returned
from marking.moderation.sampling import ClassMarks
from marking.record import Maker, Record, open_record
from marking.rounds import Figures, figures, marks_now, write_final_marks
from marking.write_up import Student, WriteUp
from rubrics.load import load_catalogue
from tests.moderation.scripts import SCHEME, round_of

NUMBERS = itertools.count(1)
RUBRIC = load_catalogue()["density-displacement"]
PEOPLE = ("Ann", "Ben", "Cy", "Di")


def maker(who: str) -> Maker:
    """Return somebody who decides."""
    return Maker(who=who, now=lambda: "2026-03-02T09:00:00+00:00", fresh=lambda: f"id {next(NUMBERS)}", program="1")


@pytest.fixture
def record() -> Iterator[Record]:
    """A record in memory."""
    held = open_record(":memory:", may_begin=True)
    yield held
    held.close()


@pytest.fixture(scope="module")
def drawn() -> tuple[Key, tuple[Returned, ...]]:
    """A round of four markers, one of them off, all packs back."""
    return round_of({"Ann": 0, "Ben": -1, "Cy": 0, "Di": 0})


def script_of(student: str, marks: Mapping[str, int | None]) -> Script:
    """Return one script; K1 and V1 were given by a person, F1 was worked out."""
    own = []
    for line in SCHEME:
        given = marks[line.code]
        by_hand = line.code != "F1" and given is not None
        ruling = Ruling(marks=given or 0, proposed=None, who="t", when="", why="", source="") if by_hand else None
        criterion = structs.replace(RUBRIC.criteria[0], code=line.code, marks=line.marks, point=line.point)
        own.append(CriterionMark(criterion=criterion, outcome=Outcome.AWARDED, marks=given, ruling=ruling))
    write_up = WriteUp(student=Student(code=student), practical="p", singles={}, columns={})
    return Script(write_up=write_up, findings=(), criteria=tuple(own))


def classes_of(key: Key, **changed: Mapping[str, int | None]) -> list[ClassMarks]:
    """Return the classes of a round as they were when it was drawn, but for the marks of the students *changed*."""
    first = {line.student: {**line.first} for line in key.lines}
    found = []
    for marker in key.markers:
        scripts = tuple(
            script_of(one.student, {**first[one.student], **changed.get(one.student, {})})
            for one in key.cohort
            if one.marker == marker
        )
        marked = MarkedSet(rubric=RUBRIC, scripts=scripts, remarks=(), sources=())
        found.append(ClassMarks(marker=marker, class_name=f"class of {marker}", marked=marked))
    return found


def read(key: Key, back: Sequence[Returned], classes: Sequence[ClassMarks], record: Record) -> Figures:
    """Return the round as the marks stand now."""
    return figures([key], back, marks_now(key, classes, record))


def rows_of(path: Path, one: Figures, record: Record) -> dict[str, dict[str, str]]:
    """Return final-marks.csv, by student."""
    state = standing(one.found, department_decisions(record, "p"))
    write_final_marks(path, one, state)
    with path.open(encoding="utf-8", newline="") as file:
        return {row["student"]: row for row in csv.DictReader(file)}


def test_nothing_changed_is_the_same_version(drawn: tuple[Key, tuple[Returned, ...]], record: Record) -> None:
    """By files and at the desk the same is signed."""
    key, back = drawn
    at_desk = read(key, back, classes_of(key), record)
    assert standing(at_desk.found, ()).version == standing(figures([key], back).found, ()).version
    assert {name.class_name for name in at_desk.sets} == {f"class of {one}" for one in PEOPLE}


def test_a_mark_changed_since_the_draw_counts(
    drawn: tuple[Key, tuple[Returned, ...]], record: Record, tmp_path: Path
) -> None:
    """It stands in the total, is adjusted with the others, and asks for new signatures."""
    key, back = drawn
    fitted = Adjustment(marker="Ben", slope=1.0, constant=1.0, out_of=8, pairs=20)
    before = read(key, back, classes_of(key), record)
    Ledger(record, before.found, maker("Dr Hale")).rule(RoundRuling.ADJUST, marker="Ben", adjustment=fitted, why="w")
    Ledger(record, before.found, maker("Ann")).sign(SigningRole.FIRST_MARKER)
    old = rows_of(tmp_path / "old.csv", before, record)
    after = read(key, back, classes_of(key, SBen0={"K1": 3}, SAnn0={"V1": 4}), record)
    new = rows_of(tmp_path / "new.csv", after, record)
    assert int(new["SBen0"]["first_total"]) == int(old["SBen0"]["first_total"]) + 2
    assert int(new["SBen0"]["moderated_total"]) == int(new["SBen0"]["first_total"]) + 1
    assert new["SBen0"]["ruling"] == "1: Dr Hale, 2026-03-02"
    assert new["SAnn0"]["moderated_total"] == new["SAnn0"]["first_total"]
    assert new["SCy0"] == old["SCy0"]
    state = Ledger(record, after.found, maker("Ann")).standing()
    assert state.signatures == ()
    assert [one.who for one in state.outdated] == ["Ann"]


def test_what_waits_has_no_total_and_its_class_stays_open(
    drawn: tuple[Key, tuple[Returned, ...]], record: Record, tmp_path: Path
) -> None:
    """A mark that was taken back leaves an empty total; no nought is made of it."""
    key, back = drawn
    one = read(key, back, classes_of(key, SCy3={"K1": None}), record)
    row = rows_of(tmp_path / "final.csv", one, record)["SCy3"]
    assert (row["first_total"], row["moderated_total"]) == ("", "")
    assert {name.class_name for name in one.sets} == {"class of Ann", "class of Ben", "class of Di"}


def test_classes_of_other_years_and_classes_out_of_reach(
    drawn: tuple[Key, tuple[Returned, ...]], record: Record
) -> None:
    """Another class of the practical is no part of the round; one that is not at hand counts as it was drawn."""
    key, back = drawn
    own = classes_of(key, SAnn0={"V1": 4})
    own[1] = structs.replace(own[1], marker="Eve")  # who has the class now did not mark it first
    other = structs.replace(own[0], class_name="9A of last year")
    one = read(key, back, [other, *own[1:]], record)
    assert one.found.key.cohort == tuple(sorted(key.cohort, key=lambda each: (each.class_name, each.student)))


def test_an_answered_question_leaves_the_signatures(
    drawn: tuple[Key, tuple[Returned, ...]], record: Record, tmp_path: Path
) -> None:
    """The total is the new one; what was signed stays signed, for the answer has a name and a reason of its own."""
    key, back = drawn
    before = read(key, back, classes_of(key), record)
    Ledger(record, before.found, maker("Ann")).sign(SigningRole.FIRST_MARKER)
    name = SetName(class_name="class of Ann", practical="p")
    was = next(line.first["V1"] for line in key.lines if line.student == "SAnn0")
    about = {"student": "SAnn0", "criterion": "V1"}

    ask(record, name, maker("Ann"), **about, why="I said why", released=datetime.date(2026, 3, 2))
    answer(
        record,
        name,
        maker("Cy"),
        **about,
        outcome=AppealOutcome.RAISED,
        marks=was + 1,
        why="it is there",
        first_marker="Ann",
        was=was,
        out_of=4,
    )
    after = read(key, back, classes_of(key, SAnn0={"V1": was + 1}), record)
    state = Ledger(record, after.found, maker("Ann")).standing()
    assert [one.who for one in state.signatures] == ["Ann"]
    row = rows_of(tmp_path / "final.csv", after, record)["SAnn0"]
    assert int(row["moderated_total"]) == sum(next(x.first for x in key.lines if x.student == "SAnn0").values()) + 1
    later = read(key, back, classes_of(key, SAnn0={"V1": was + 1, "K1": 0}), record)
    assert Ledger(record, later.found, maker("Ann")).standing().signatures == ()

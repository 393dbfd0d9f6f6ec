"""One clean class, spoilt in one way at a time: what is used, what is said, who is lost."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet, Entry, State, Weight
from rubrics.faults.errors import InputError
from rubrics.load import load_catalogue
from rubrics.units.unit_record import Verdict
from tests.intake.awkward import ALL_CASES, Case
from tests.intake.awkward.case import PRACTICAL

LONGEST_SECONDS = 2.0
"""No file, however it was made, may keep a teacher waiting; most take a hundredth of this."""


def read(case: Case, folder: Path) -> ClassSet:
    """Return the one set of a case's file."""
    file = folder / case.name
    file.write_bytes(case.data)
    (found,) = read_inputs([file], load_catalogue(), practical=PRACTICAL)
    return found


def entries(found: ClassSet) -> dict[str, Entry]:
    """Return 'student item' to entry."""
    return {f"{work.student.code} {item}": entry for work in found.write_ups for item, entry in work.singles.items()}


def outcome(found: ClassSet) -> str:
    """Return what a set came to, in the words of Case."""
    held = entries(found).values()
    unclear = any(e.unit is not None and e.unit.verdict is Verdict.AMBIGUOUS for e in held)
    weights = {remark.weight for remark in found.remarks}
    if Weight.QUERY in weights or unclear or any(e.state is State.UNREADABLE for e in held):
        return "query"
    return "notes" if weights else "clean"


READABLE = [case for case in ALL_CASES if case.outcome != "refuse"]
REFUSED = [case for case in ALL_CASES if case.outcome == "refuse"]


@pytest.mark.parametrize("case", READABLE, ids=lambda case: case.name)
def test_an_awkward_file_loses_nobody_and_guesses_nothing(case: Case, tmp_path: Path) -> None:
    """Every student is there, every value is as typed or left to the teacher, and the cells in question are named."""
    started = time.perf_counter()
    found = read(case, tmp_path)
    assert time.perf_counter() - started < LONGEST_SECONDS
    assert tuple(work.student.code for work in found.write_ups) == case.students
    said = "\n".join(remark.message for remark in found.remarks)
    assert outcome(found) == case.outcome, said
    assert [words for words in case.named if words not in said] == [], said
    held = entries(found)
    for key, wanted in case.holds.items():
        assert shown_like(held[key], wanted) == wanted, (key, held[key])


def shown_like(entry: Entry, wanted: object) -> object:
    """Return of an entry what a case states: its state, or value and unit, with the last place where stated."""
    if isinstance(wanted, State):
        return entry.state
    symbol = entry.unit.unit.symbol if entry.unit is not None and entry.unit.unit is not None else ""
    value = None if entry.value is None else pytest.approx(entry.value, rel=1e-12)
    is_long = isinstance(wanted, tuple) and len(wanted) == 3
    return (value, symbol, entry.last_place) if is_long else (value, symbol)


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: case.name)
def test_a_file_that_cannot_be_used_is_refused_in_one_sentence(case: Case, tmp_path: Path) -> None:
    """The refusal names the file, says what is wrong with it, and how to mend it."""
    started = time.perf_counter()
    with pytest.raises(InputError) as refusal:
        read(case, tmp_path)
    assert time.perf_counter() - started < LONGEST_SECONDS
    message = str(refusal.value)
    assert message.startswith(f"{case.name}: ")
    assert "\n" not in message
    assert [words for words in case.named if words not in message] == [], message
    assert refusal.value.mend


def test_one_bad_file_costs_one_file(tmp_path: Path) -> None:
    """Of a folder with every file that is refused and one that is clean, the clean one is read."""
    for case in (*REFUSED, next(case for case in READABLE if case.name == "clean.xlsx")):
        (tmp_path / case.name).write_bytes(case.data)
    (found,) = read_inputs([tmp_path], load_catalogue(), practical=PRACTICAL)
    assert len(found.write_ups) == 4
    refused = [remark.file for remark in found.remarks if remark.weight is Weight.REFUSED]
    # Two of them hold the same bytes as another would; each is told by its own name all the same.
    assert sorted(refused) == sorted(case.name for case in REFUSED)
    assert [source.name for source in found.sources] == ["clean.xlsx"]


def test_every_case_has_a_name_of_its_own() -> None:
    """No case writes over another, so that none of them vanishes."""
    names = [case.name for case in ALL_CASES]
    assert len(names) == len(set(names))
    assert len(names) > 84

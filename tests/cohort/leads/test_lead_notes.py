from __future__ import annotations

from random import Random

import pytest
from msgspec.structs import replace

from marking.checking.marking_set import mark_set
from marking.class_notes import ClassNote, NoteKind
from marking.cohort.evidence.partners import partners_of
from marking.cohort.leads.lead_notes import lead_notes
from marking.write_up import ClassSet, WriteUp
from tests.benchmarks.other_labs.lab import Lab, class_of
from tests.benchmarks.other_labs.mechanics import spring
from tests.cohort.answered import answered
from tests.cohort.dishonest import copied, ruled_wire, worked_back_combinations
from tests.cohort.simulated import PRACTICALS, as_marked, mixed_resistors, rubric_of, simulate, students


def leads(practical: str, write_ups: list[WriteUp] | tuple[WriteUp, ...]) -> tuple[ClassNote, ...]:
    """Return the leads of a class, marked as usual."""
    rubric = rubric_of(practical)
    return lead_notes(
        mark_set(rubric, ClassSet(practical=practical, write_ups=tuple(write_ups), remarks=(), sources=()))
    )


@pytest.mark.parametrize("practical", PRACTICALS)
def test_honest_classes_carry_no_lead(practical: str) -> None:
    """Thirty honest write-ups of each practical, at benches alike and at benches unlike."""
    for seed in range(4):
        assert leads(practical, simulate(practical, seed)) == ()
    assert leads("resistor-combinations", simulate("resistor-combinations", 9, set_up=mixed_resistors)) == ()


@pytest.mark.parametrize(
    "practical", ["wire-resistance", "resistor-combinations", "density-cuboid", "iv-characteristic"]
)
def test_copies_between_benches_are_found(practical: str) -> None:
    """A copy handed in at another bench is a lead that names both, with a small chance of luck."""
    write_ups = list(simulate(practical, 11))
    write_ups[7] = copied(write_ups[2], write_ups[7].student, Random(1))
    (note,) = leads(practical, write_ups)
    assert note.kind is NoteKind.LEAD
    assert note.students == ("S03", "S08")
    assert note.bench == "3;8"
    assert note.chance is not None
    assert note.chance <= 0.001
    assert note.message.endswith("This is a reason to look and to ask, not a finding; no mark depends on it.")


def test_copies_with_changed_digits_are_found() -> None:
    """With a fifth of the digits changed a copied table is still found, in most of five tries."""
    found = 0
    for seed in range(5):
        write_ups = list(simulate("wire-resistance", seed))
        write_ups[7] = copied(write_ups[2], write_ups[7].student, Random(seed), changed=0.2)
        found += any(note.students == ("S03", "S08") for note in leads("wire-resistance", write_ups))
    assert found >= 4


@pytest.mark.parametrize("practical", PRACTICALS)
def test_partners_share_their_readings_by_right(practical: str) -> None:
    """A class whose benches each hand in one set of readings carries no lead."""
    assert leads(practical, simulate(practical, 13, together=True)) == ()


def test_without_benches_nobody_is_compared() -> None:
    """Who was whose partner is not known, so that the same readings may be partners'."""
    who = tuple(replace(one, bench="") for one in students())
    write_ups = list(simulate("wire-resistance", 3, who=who))
    write_ups[7] = copied(write_ups[2], write_ups[7].student, Random(1))
    assert leads("wire-resistance", write_ups) == ()


def test_partners_are_told_as_one() -> None:
    """Where a pair's readings turn up at another bench, all three are named, and the pair as partners."""
    write_ups = list(simulate("wire-resistance", 3))
    write_ups[14] = copied(write_ups[2], write_ups[14].student, Random(1))  # also bench 3
    write_ups[7] = copied(write_ups[2], write_ups[7].student, Random(1))
    (note,) = leads("wire-resistance", write_ups)
    assert note.students == ("S03", "S15", "S08")
    assert "S03 and S15 (bench 3, who share their readings as partners do)" in note.message
    assert sum(one.share_readings for one in partners_of(as_marked("wire-resistance", write_ups))) == 1


def test_readings_worked_back_from_labels_are_found() -> None:
    """P.d.s that are the label's resistance times the current, four times over."""
    write_ups = list(simulate("resistor-combinations", 5))
    write_ups[7] = worked_back_combinations(write_ups[7].student, Random(2))
    (note,) = leads("resistor-combinations", write_ups)
    assert note.students == ("S08",)
    assert note.message.startswith("S08 (bench 8): 4 of 4 values of R₁, R₂, R series and R parallel are book values")


def with_pairs(one: WriteUp, pairs: dict[str, tuple[str, str]]) -> WriteUp:
    """Return a page of combinations with those p.d.s and currents."""
    cells = dict(one.singles)
    for name, (volts, amps) in pairs.items():
        cells[f"V_{name}"] = replace(cells[f"V_{name}"], raw=volts, value=float(volts))
        cells[f"I_{name}"] = replace(cells[f"I_{name}"], raw=amps, value=float(amps))
    return replace(one, singles=cells)


ROUND = {"1": ("4.60", "0.46"), "2": ("4.50", "0.30"), "series": ("4.75", "0.19"), "parallel": ("6.00", "1.00")}
"""Labels times currents, of which two are half volts by luck."""


def test_half_volts_by_luck_do_not_hide_what_was_worked_back() -> None:
    """Two round p.d.s where everybody else reads off what comes: hardly set by hand."""
    write_ups = list(simulate("resistor-combinations", 5))
    write_ups[7] = with_pairs(write_ups[7], ROUND)
    (note,) = leads("resistor-combinations", write_ups)
    assert note.students == ("S08",)
    assert "are book values" in note.message


def test_half_volts_may_have_been_set_where_others_set_them() -> None:
    """The same page beside six that set two p.d.s to half volts, and the same page alone."""
    write_ups = list(simulate("resistor-combinations", 5))
    for place in range(10, 16):
        amps = (write_ups[place].singles[f"I_{name}"].raw for name in ("1", "series"))
        set_by_hand = zip(("1", "series"), (("3.50", next(amps)), ("3.00", next(amps))), strict=True)
        write_ups[place] = with_pairs(write_ups[place], dict(set_by_hand))
    write_ups[7] = with_pairs(write_ups[7], ROUND)
    assert not [note for note in leads("resistor-combinations", write_ups) if "S08" in note.students]
    assert leads("resistor-combinations", write_ups[7:8]) == ()


def test_points_more_even_than_the_last_digit_are_found() -> None:
    """A straight line drawn first and read off to four decimals, beside a class that read its meters."""
    write_ups = list(simulate("wire-resistance", 5))
    write_ups[7] = ruled_wire(write_ups[7].student)
    notes = leads("wire-resistance", write_ups)
    assert any("lie on a straight line more closely than the last digits" in note.message for note in notes)
    assert {code for note in notes for code in note.students} == {"S08"}


def test_the_same_wrong_answers_from_other_readings_are_found() -> None:
    """Own readings with another bench's answers: the resistances of a whole table and the gradient."""
    write_ups = [answered(one) for one in simulate("wire-resistance", 6)]
    source, student = write_ups[2], write_ups[9]
    write_ups[9] = replace(
        student,
        columns={**student.columns, "R": dict(list(source.columns["R"].items())[: len(student.columns["V"])])},
        singles={**student.singles, "gradient": source.singles["gradient"]},
    )
    notes = leads("wire-resistance", write_ups)
    assert [note.students for note in notes] == [("S03", "S10")]
    assert "have different readings and the same answers" in notes[0].message


def test_copies_far_down_a_long_list_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of more groups than are all compared, pages that share enough cells are, wherever they stand."""
    monkeypatch.setattr("marking.cohort.copies.copied.MOST_AT_ONCE", 30)
    who = students(75)
    write_ups = list(simulate("wire-resistance", 4, who=who))
    assert leads("wire-resistance", write_ups) == ()
    write_ups[74] = copied(write_ups[1], who[74], Random(3))
    assert who[74].bench != who[1].bench
    (note,) = leads("wire-resistance", write_ups)
    assert note.students == (who[1].code, who[74].code)


def test_a_fine_step_of_one_page_is_no_meter_of_the_class() -> None:
    """Where everybody reads to 0.01 V, p.d.s all on 0.05 V are what labels make of currents, not a meter's step."""
    write_ups = list(simulate("resistor-combinations", 2))
    pairs = {"1": ("4.90", "0.49"), "2": ("5.25", "0.35"), "series": ("4.00", "0.16"), "parallel": ("5.70", "0.95")}
    write_ups[4] = with_pairs(write_ups[4], pairs)
    (note,) = leads("resistor-combinations", write_ups)
    assert note.students == ("S05",)


def test_a_rule_read_to_half_its_divisions_brings_nobody_up() -> None:
    """Springs of one delivery on rules read to 0.5 mm: the last digit is 0 or 5, and agrees every other time."""
    lab = Lab(is_fine=True, keeps_settings=True, share="alone", is_careless=False)
    write_ups = class_of("spring-extension", spring, lab, 201)
    assert lead_notes(as_marked("spring-extension", write_ups)) == ()

"""From packs that came back to who is off, what is proposed, and what it would change."""

from __future__ import annotations

import pytest
from msgspec import structs

from marking.moderation.comparing import compare, together
from marking.moderation.decisions import Ruling, effect_of, final_totals, proposals
from marking.moderation.joint import Adjustment
from marking.moderation.packs import Person
from marking.moderation.sampling import Reason
from tests.moderation.scripts import key_line, key_of, returned, round_of

SHIFTS = {"Ann": 0, "Ben": -1, "Cy": 0, "Di": 0}


def test_nobody_is_named_before_the_second_stage() -> None:
    """After the first stage there is doubt and a wish for more scripts, however clear the shift is."""
    key, back = round_of(SHIFTS)
    found = compare([key], back)
    assert found.named == ()
    assert found.doubts[0].marker == "Ben"
    rulings = {one.marker: one.ruling for one in proposals(found)}
    assert rulings["Ben"] is Ruling.MORE


def test_after_the_second_stage_the_marker_is_named_and_the_criterion_found() -> None:
    """All of it in one criterion: that one is marked again, rather than everybody's totals moved."""
    first, back = round_of(SHIFTS)
    second, more = round_of(SHIFTS, each=20, stage=2, start=12, only=["Ben"])
    found = compare([first, second], [*back, *more])
    assert [one.marker for one in found.named] == ["Ben"]
    assert found.doubts == ()
    (own,) = [one for one in proposals(found) if one.marker == "Ben"]
    assert (own.ruling, own.criterion) == (Ruling.REMARK_CRITERION, "K1")
    assert {one.ruling for one in proposals(found) if one.marker not in ("Ben", "")} == {Ruling.ACCEPT}


@pytest.mark.parametrize(("each", "named"), [(26, []), (27, ["Ben"])])
def test_many_scripts_at_once_need_no_second_stage(each: int, named: list[str]) -> None:
    """As many as both stages of a marker in doubt come to."""
    key, back = round_of(SHIFTS, each=each)
    assert [one.marker for one in compare([key], back).named] == named


def test_a_sound_department_is_told_to_accept() -> None:
    """Nobody in doubt, all first marks stand."""
    key, back = round_of(dict.fromkeys(SHIFTS, 0))
    found = compare([key], back)
    assert (found.doubts, found.named) == ((), ())
    assert {one.ruling for one in proposals(found)} == {Ruling.ACCEPT}


def test_a_criterion_that_nobody_reads_alike_is_agreed_again() -> None:
    """Half of all pairs differ on a criterion of one mark, whoever marks: everybody settles it."""
    key, back = round_of(dict.fromkeys(SHIFTS, 0), each=20)
    scheme = tuple(structs.replace(line, marks=1) if line.code == "K1" else line for line in key.scheme)
    lines = tuple(structs.replace(line, first={**line.first, "K1": n % 2, "V1": 1}) for n, line in enumerate(key.lines))
    turns = {line.code: n // 2 % 2 for n, line in enumerate(key.lines)}
    mixed = returned(
        {pack.second_marker: {s.code: {"K1": turns[s.code], "V1": 1} for s in pack.scripts} for pack in back}
    )
    found = compare([structs.replace(key, scheme=scheme, lines=lines)], mixed)
    (loose,) = [one for one in proposals(found) if not one.marker]
    assert (loose.ruling, loose.criterion) == (Ruling.REMARK_CRITERION, "K1")


def test_a_pack_that_is_not_back_is_told() -> None:
    """The rest is compared all the same."""
    key, back = round_of(SHIFTS)
    found = compare([key], [one for one in back if one.second_marker != "Cy"])
    assert found.outstanding == ("Cy",)
    assert len(found.looks) == len(key.lines) - len([line for line in key.lines if line.second_marker == "Cy"])


def test_boundary_scripts_count_for_closeness_and_not_for_severity() -> None:
    """Ten scripts drawn by lot that agree, and one near a boundary that is three marks apart."""
    lines = [key_line(f"A{n}", "Ann", "Ben", {"K1": n % 4, "V1": n % 3}) for n in range(10)]
    lines.append(key_line("A10", "Ann", "Ben", {"K1": 4, "V1": 4}, [Reason.BOUNDARY]))
    lines.append(key_line("A11", "Ann", "Ben", {"K1": 4, "V1": 4}, [Reason.ASIDE]))
    same = {line.code: {code: line.first[code] for code in line.eye} for line in lines}
    found = compare([key_of(lines)], returned({"Ben": {**same, "A10": {"K1": 2, "V1": 3}, "A11": {"K1": 0, "V1": 0}}}))
    (ann,) = found.markers
    assert ann.drawn.severity is not None
    assert (ann.drawn.pairs, ann.drawn.severity.mean) == (10, 0.0)
    assert (ann.looked_at.pairs, ann.looked_at.within) == (11, 10)
    assert [one.scripts for one in proposals(found) if one.marker == "Ann"] == [("A10",)]


def test_computed_marks_are_reported_apart() -> None:
    """What the program works out agrees with itself and tells nothing of people."""
    lines = [key_line(f"A{n}", "Ann", "Ben", {"K1": 2, "V1": 2}) for n in range(3)]
    found = compare([key_of(lines)], returned({"Ben": {line.code: {"F1": 1, "K1": 1, "V1": 2} for line in lines}}))
    assert (found.computed.pairs, found.computed.exact) == (3, 3)
    assert [group.name for group in found.criteria] == ["K1", "V1"]
    assert (found.everybody.looked_at.exact, found.everybody.looked_at.adjacent) == (0, 3)


def test_two_markers_who_differ_change_neither() -> None:
    """Nobody can say which of two is off: the scheme is settled first."""
    key, back = round_of({"Ann": 0, "Ben": -2})
    rulings = {one.ruling for one in proposals(compare([key], back)) if one.marker}
    assert rulings == {Ruling.CLARIFY}


def person(student: str, eye: int, computed: int = 4, marker: str = "Ben") -> Person:
    """Return a student with so many marks where people mark."""
    return Person(
        student=student, class_name="9A", marker=marker, eye_total=eye, eye_out_of=8, total=eye + computed, out_of=12
    )


@pytest.mark.parametrize(
    ("eye", "after", "crosses"), [(0, 5, None), (1, 6, 6), (2, 7, None), (7, 12, None), (8, 12, None)]
)
def test_an_effect_is_capped_and_crossings_are_told(eye: int, after: int, crosses: int | None) -> None:
    """One mark up, within what people can give; a boundary at 6 is crossed by who had 5."""
    adjustment = Adjustment(marker="Ben", slope=1.0, constant=1.0, out_of=8, pairs=20)
    effect = effect_of(adjustment, [person("S", eye), person("T", 3, marker="Ann")], [6])
    assert effect.students == 1
    assert effect.keeps_order
    assert effect.capped == (eye == 8)
    changed = [(one.after, one.crosses) for one in effect.changes]
    assert changed == ([] if eye == 8 else [(after, crosses)])
    totals = dict(final_totals([person("S", eye)], {"Ben": adjustment}))
    assert list(totals.values()) == [after]


def test_scripts_marked_together() -> None:
    """The criterion on which most differ comes first; where all give the same there is nothing to settle."""
    lines = [structs.replace(key_line(code, "Ann", "", {"K1": 1, "V1": 1}), second_marker="") for code in ("X1", "X2")]
    back = returned(
        {
            "Ann": {"X1": {"K1": 2, "V1": 1}, "X2": {"K1": 3, "V1": 4}},
            "Ben": {"X1": {"K1": 2, "V1": 3}, "X2": {"K1": 3, "V1": 2}},
        }
    )
    found = together(key_of(lines, stage=0), back)
    assert [(one.code, one.differing) for one in found.criteria] == [("V1", 2), ("K1", 0)]
    assert found.totals["X1"] == {"Ann": 3, "Ben": 5}
    assert found.criteria[1].kappa == pytest.approx(1.0)

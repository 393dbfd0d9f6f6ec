"""Findings + decisions -> marks: pure, every order told apart, findings kept as they were found."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking import mark_set
from marking.decided.decisions import CommentWritten, Decision, PutOff, TakenBack
from marking.decided.state import seen, with_decisions
from marking.findings import MarkedSet, Outcome, Script
from tests.checking.rows import CUBOID, mark_class
from tests.record.making import a_mark, a_step


def found(lines: str = CUBOID) -> MarkedSet:
    """Return one student's set as it was found."""
    return mark_class("density-cuboid", {"A03": lines})


def decided(set_found: MarkedSet, *decisions: Decision) -> Script:
    """Return the script with *decisions*."""
    (script,) = with_decisions(set_found, decisions).scripts
    return script


def marks(script: Script) -> dict[str, int | None]:
    """Return the marks by criterion."""
    return {one.criterion.code: one.marks for one in script.criteria}


def on(criterion: str, given_marks: int, **more: object) -> Decision:
    """Return a mark given for A03's *criterion*."""
    return a_mark(marks=given_marks, criterion=criterion, **more)


BACK = a_step(TakenBack, 2, student="A03", criterion="V1")
LATER = a_step(PutOff, 2, student="A03", criterion="V1")


def test_without_decisions_nothing_changes() -> None:
    """The set is the one that was found; so it is with decisions about other things."""
    plain = found()
    assert with_decisions(plain, ()) == plain
    others = (on("V1", 1, student="A99"), on("V9", 1), a_step(CommentWritten, 1, student="A99", text="Good."))
    assert with_decisions(plain, others) == plain


def test_the_last_decision_that_stands_counts() -> None:
    """Given, given otherwise, taken back once and twice."""
    plain = found()
    assert marks(plain.scripts[0])["V1"] is None
    one, other = on("V1", 1), on("V1", 0)
    for decisions, expected in (
        ((one,), 1),
        ((one, other), 0),
        ((one, other, BACK), 1),
        ((one, other, BACK, BACK), None),
        ((one, BACK, BACK, BACK), None),
        ((LATER,), None),
        ((LATER, one), 1),
        ((one, LATER), 1),
        ((one, LATER, BACK), 1),
        ((LATER, BACK), None),
    ):
        assert marks(decided(plain, *decisions))["V1"] == expected, decisions
    later = {one.criterion.code: one.is_put_off for one in decided(plain, LATER).criteria}
    assert later["V1"]
    assert sum(later.values()) == 1


def test_who_decided_stands_beside_the_mark() -> None:
    """With what the program had made of it, when, and why."""
    mark = next(one for one in decided(found(), on("P1", 0, why="copied")).criteria if one.criterion.code == "P1")
    assert mark.ruling is not None
    assert (mark.marks, mark.outcome, mark.ruling.proposed) == (0, Outcome.WITHHELD, 1)
    assert (mark.ruling.who, mark.ruling.when[:10], mark.ruling.why) == ("Ms Hale", "2026-03-02", "copied")


def test_a_decision_on_other_words_does_not_stand() -> None:
    """What was written has changed since: the mark is as worked out, and the teacher is told."""
    plain, changed = found(), found(CUBOID.replace("24.2", "24.22"))
    saw = seen(plain.scripts[0], "P1")
    assert saw != seen(changed.scripts[0], "P1")
    decision = on("P1", 0, saw=saw)
    assert marks(decided(plain, decision))["P1"] == 0
    assert marks(decided(changed, decision))["P1"] == 1
    (remark,) = with_decisions(changed, (decision,)).remarks
    assert (remark.student, remark.item) == ("A03", "P1")
    assert "Ms Hale" in remark.message


def test_more_marks_than_there_are_do_not_stand() -> None:
    """A decision from an edition with more marks for the criterion is asked again, never cut down in silence."""
    plain = found()
    assert marks(decided(plain, on("V1", 5)))["V1"] is None
    assert len(with_decisions(plain, (on("V1", 5),)).remarks) == len(plain.remarks) + 1


def test_the_last_comment_stands() -> None:
    """An empty one takes it off; marks and findings are as they were."""
    plain = found()
    one, other = (a_step(CommentWritten, number, student="A03", text=said) for number, said in enumerate("ab", 1))
    assert decided(plain, one, other).comment == "b"
    assert decided(plain, one, a_step(CommentWritten, 2, student="A03", text="")).comment == ""
    assert decided(plain, one).findings == plain.scripts[0].findings


def test_nothing_handed_in_has_no_marks() -> None:
    """A decision about a student without a write-up waits for one."""
    plain = found("m,,,")
    script = decided(plain, on("V1", 1))
    assert script.criteria == ()


DECISIONS = st.lists(
    st.builds(on, st.sampled_from(["R1", "P1", "F1", "K1", "V1"]), st.integers(0, 1)) | st.sampled_from([BACK, LATER]),
    max_size=8,
)


@settings(deadline=None, max_examples=60)
@given(DECISIONS)
def test_marks_add_up_and_findings_are_kept(decisions: list[Decision]) -> None:
    """Whatever was decided: lines carry the marks of their criteria, and what was found is still there, unchanged."""
    plain = found()
    script = decided(plain, *decisions)
    assert script.as_found == plain.scripts[0].findings
    assert sum(one.marks or 0 for one in script.findings) == script.awarded
    assert sum(one.out_of for one in script.findings) == script.out_of == plain.scripts[0].out_of
    for mark in script.criteria:
        lines = [one for one in script.findings if one.criterion == mark.criterion.code]
        assert lines
        if mark.marks == mark.criterion.marks:
            assert all(one.outcome is not Outcome.WITHHELD for one in lines)
        if mark.marks is not None and mark.ruling is not None:
            assert all(one.outcome is not Outcome.FOR_TEACHER for one in lines) or mark.marks == mark.ruling.proposed
    assert with_decisions(plain, decisions) == with_decisions(plain, decisions)


def test_checking_knows_no_tick() -> None:
    """What is found does not depend on what a teacher ticked."""
    from msgspec import structs

    lines = mark_class("density-cuboid", {"A03": f"{CUBOID}\ntick V1,,✓,"})
    work = lines.scripts[0].write_up
    assert work.ticks
    from marking.write_up import ClassSet

    def mark_alone(ticks: object) -> object:
        one = structs.replace(work, ticks=ticks)
        return (
            mark_set(lines.rubric, ClassSet(practical=lines.rubric.id, write_ups=(one,), remarks=(), sources=()))
            .scripts[0]
            .findings
        )

    assert mark_alone({}) == mark_alone(work.ticks)

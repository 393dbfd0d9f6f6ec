"""From lines to marks: each mark is counted once, and stays open only while a teacher could still change it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from marking.checking.case.student_case import Line
from marking.checking.marks import as_findings, count_marks, marks_of_one_line
from marking.findings import Basis, Cause, CriterionMark, Explanation, Finding, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, Place, State, Student, WriteUp
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Criterion
from tests.checking.rows import CUBOID, HEAT, WIRE, changed, in_table, mark, mark_class, marks

OUTCOMES = {"a": Outcome.AWARDED, "w": Outcome.WITHHELD, "t": Outcome.FOR_TEACHER}


def counted(lines: str, worth: int = 1, award: tuple[tuple[int, int], ...] = ()) -> tuple[str, int | None]:
    """Return outcome and marks of a criterion with lines such as 'aawt'."""
    found = count_marks(
        criterion_of(worth, award),
        [Line(item="x", row=None, outcome=OUTCOMES[one], reason=Reason.RIGHT) for one in lines],
    )
    return found.outcome.value, found.marks


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        ("a", ("awarded", 1)),
        ("w", ("withheld", 0)),
        ("t", ("for-teacher", None)),
        ("aaa", ("awarded", 1)),
        ("aaw", ("withheld", 0)),
        ("aat", ("for-teacher", None)),
        ("wt", ("withheld", 0)),
        ("ttw", ("withheld", 0)),
        ("tt", ("for-teacher", None)),
        ("", ("for-teacher", None)),
    ],
)
def test_all_lines_for_the_mark(lines: str, wanted: tuple[str, int | None]) -> None:
    """All lines must stand; it stays open only while the teacher's lines could still bring the mark."""
    assert counted(lines) == wanted


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        ("aaaa", ("awarded", 2)),
        ("aaaw", ("withheld", 1)),
        ("aaww", ("withheld", 0)),
        ("aaat", ("for-teacher", None)),
        ("aawt", ("for-teacher", None)),
        ("awwt", ("withheld", 0)),
        ("aawwt", ("for-teacher", None)),
        ("tttt", ("for-teacher", None)),
        ("tt", ("for-teacher", None)),
        ("t", ("for-teacher", None)),
        ("a", ("withheld", 0)),
        ("at", ("withheld", 0)),
        ("ttw", ("withheld", 0)),
        ("tww", ("withheld", 0)),
        ("aaa", ("withheld", 1)),
        ("aaaaa", ("awarded", 2)),
    ],
)
def test_some_lines_for_some_marks(lines: str, wanted: tuple[str, int | None]) -> None:
    """Four right earn two marks and three earn one, whatever waits that cannot change it."""
    assert counted(lines, worth=2, award=((4, 2), (3, 1))) == wanted


def criterion_of(worth: int = 1, award: tuple[tuple[int, int], ...] = ()) -> Criterion:
    """Return a criterion of so many marks."""
    return Criterion(
        code="X",
        point="x",
        marks=worth,
        check=CheckKind.VALUE,
        items=("x",),
        award=award,
        rows=None,
        span=None,
        each_way=None,
        near=None,
        when=(),
    )


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        ("xa xa ya ya", ("awarded", 2)),
        ("xa xa ya yw", ("withheld", 1)),
        ("xw xw ya ya", ("withheld", 1)),
        ("xw xa yw ya", ("withheld", 0)),
        ("xa xt ya ya", ("for-teacher", None)),
        ("xa xa yw yt", ("withheld", 1)),
    ],
)
def test_of_several_items_each_column_counts_once(lines: str, wanted: tuple[str, int | None]) -> None:
    """A column stands when all its rows do: rows of one do not make up for another."""
    found = [Line(item=one[0], row=None, outcome=OUTCOMES[one[1]], reason=Reason.RIGHT) for one in lines.split()]
    criterion = replace(criterion_of(2, ((2, 2), (1, 1))), items=("x", "y"))
    assert (lambda mark: (mark.outcome.value, mark.marks))(count_marks(criterion, found)) == wanted


@pytest.mark.parametrize("outcome", OUTCOMES.values())
def test_what_a_single_line_comes_to_is_what_is_counted(outcome: Outcome) -> None:
    """Made once for a batch, and the same; where lines are counted by an award it is left to counting."""
    line = Line(item="x", row=None, outcome=outcome, reason=Reason.RIGHT)
    assert marks_of_one_line(criterion_of(2))[outcome] == count_marks(criterion_of(2), [line])
    assert not marks_of_one_line(criterion_of(2, ((2, 2), (1, 1))))
    assert not marks_of_one_line(criterion_of(0))


def test_a_mark_knows_its_criterion() -> None:
    """Whatever the lines come to, none at all among them, the mark says which criterion it is of."""
    criterion = criterion_of()
    for lines in ("", "a", "w", "t"):
        found = [Line(item="x", row=None, outcome=OUTCOMES[one], reason=Reason.RIGHT) for one in lines]
        assert count_marks(criterion, found).criterion is criterion


ENTRY = Entry(raw="97O", unit_raw="J", state=State.UNREADABLE, place=Place(file="class.csv", sheet="", cell="F2"))
TOLD = (Explanation(cause=Cause.SIGN, detail="m", probability=0.5),)
FULL = Line(
    item="x",
    row=3,
    outcome=Outcome.WITHHELD,
    reason=Reason.WRONG_VALUE,
    entry=ENTRY,
    expected=973.0,
    basis=Basis.CARRIED_FORWARD,
    explanations=TOLD,
    facts={"a": "b"},
)
BARE = Line(item="y", row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.UNREADABLE)
WORK = WriteUp(student=Student(code="S7"), practical="p", singles={}, columns={})


def finding_of(line: Line, marks: int | None, out_of: int) -> Finding:
    """Return the finding that *line* becomes."""
    there = line.entry is not None
    return Finding(
        student="S7",
        practical="p",
        item=line.item,
        row=line.row,
        criterion="X",
        outcome=line.outcome,
        marks=marks,
        out_of=out_of,
        reason=line.reason,
        entry="97O" if there else "",
        unit="J" if there else "",
        expected=line.expected,
        basis=line.basis,
        explanations=line.explanations,
        source=ENTRY.place if there else None,
        facts=line.facts,
    )


@pytest.mark.parametrize(
    ("outcome", "marks_", "lines"),
    [
        (Outcome.WITHHELD, 1, [(BARE, None, 0), (FULL, 1, 2), (FULL, 0, 0)]),
        (Outcome.FOR_TEACHER, None, [(FULL, 0, 0), (BARE, None, 2), (BARE, None, 0)]),
        (Outcome.AWARDED, 2, [(FULL, 2, 2), (FULL, 0, 0), (BARE, None, 0)]),
        (Outcome.WITHHELD, 0, [(BARE, 0, 2)]),
    ],
    ids=["withheld", "for-teacher", "no-line-of-that-outcome", "waits-and-cannot-change-it"],
)
def test_a_line_becomes_a_finding_whole(
    outcome: Outcome, marks_: int | None, lines: list[tuple[Line, int | None, int]]
) -> None:
    """All that a line holds stands in its finding; the first line of the mark's outcome, else the first, carries it."""
    mark_of = CriterionMark(criterion=criterion_of(worth=2), outcome=outcome, marks=marks_)
    found_ = as_findings(WORK, "p", mark_of, [line for line, _, _ in lines])
    assert found_ == [finding_of(*one) for one in lines]


WRITE_UPS = {
    "faultless heat": ("specific-heat-block", HEAT),
    "wrong heat": ("specific-heat-block", changed(HEAT, c="429000|J", dT="62.0")),
    "unreadable heat": ("specific-heat-block", changed(HEAT, c="97O", m="")),
    "faultless cuboid": ("density-cuboid", CUBOID),
    "empty cuboid": ("density-cuboid", changed(CUBOID, V="", rho="", rho_si="")),
    "one side of a cuboid": ("density-cuboid", "l,,4.05,cm"),
    "wire": ("wire-resistance", changed(WIRE, R_3="0.57", R_5="2.6400", V_6="0.8B")),
    "wire without answers": ("wire-resistance", "L,1,0.20,m\nV,1,0.45,V\nI,1,0.50,A"),
    "one reading of a wire": ("wire-resistance", "L,1,0.20,m"),
    "one word": ("iv-characteristic", "shape,,straight line,"),
}


@pytest.mark.parametrize("name", WRITE_UPS)
def test_lines_add_up_to_the_marks(name: str) -> None:
    """The marks of the findings add up to those of the criteria, and each criterion is out of its marks once."""
    script = mark(*WRITE_UPS[name])
    for one in script.criteria:
        lines = [finding for finding in script.findings if finding.criterion == one.criterion.code]
        assert sum(line.out_of for line in lines) == one.criterion.marks
        carrier = next(line for line in lines if line.out_of)
        assert carrier.marks == one.marks
        assert sum(line.marks or 0 for line in lines) == (one.marks or 0)
        assert {line.marks for line in lines if line.outcome is Outcome.FOR_TEACHER and not line.out_of} <= {None}
    assert script.out_of == sum(one.criterion.marks for one in script.criteria)
    assert script.awarded + script.pending <= script.out_of
    assert {line.criterion for line in script.findings} == {one.criterion.code for one in script.criteria}


def test_nothing_handed_in_is_no_nought() -> None:
    """A student without a single entry has no marks at all, and waits for the teacher; the others are marked."""
    marked = mark_class("specific-heat-block", {"S001": HEAT, "S002": "m,,,kg\nc,,-,", "S003": HEAT})
    assert [script.write_up.student.code for script in marked.scripts] == ["S001", "S002", "S003"]
    (finding,) = marked.scripts[1].findings
    assert (finding.outcome, finding.marks, finding.reason) == ("for-teacher", None, "not-handed-in")
    assert finding.out_of == load_catalogue()["specific-heat-block"].total
    assert marked.scripts[0].awarded == marked.scripts[2].awarded > 0


def test_class_mates_do_not_change_a_mark() -> None:
    """The same write-up earns the same marks alone, among others, and in another order."""
    write_ups = {
        "S001": HEAT,
        "S002": changed(HEAT, c="429000"),
        "S003": changed(HEAT, m="998|g", c="0.973"),
        "S004": changed(HEAT, c="97O"),
    }
    alone = {code: marks(mark("specific-heat-block", lines)) for code, lines in write_ups.items()}
    together = mark_class("specific-heat-block", write_ups)
    turned = mark_class("specific-heat-block", dict(reversed(write_ups.items())))
    assert {script.write_up.student.code: marks(script) for script in together.scripts} == alone
    assert {script.write_up.student.code: marks(script) for script in turned.scripts} == alone


def test_words_where_no_number_can_stand_are_no_longer_asked_about() -> None:
    """'very large' beside no current is right, and nobody has to look at its cell; beside a current somebody has."""
    lines = in_table(V="1.0 2.0 3.0 V", I="0 0.10 0.20 A") + "\nR,1,{},Ω\nR,2,20,Ω\nR,3,{},Ω"
    for first, last, asked in (("very large", "15", []), ("-", "very large", ["R"])):
        marked = mark_class("iv-characteristic", {"S1": lines.format(first, last)})
        assert [one.item for one in marked.remarks if "cannot be used" in one.message] == asked

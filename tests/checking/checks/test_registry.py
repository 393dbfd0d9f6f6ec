"""One registry names all that looks at an answer, and nothing else reaches for a check."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from marking.checking.answers import judge, lay_out
from marking.checking.case import Batch, Case, Line
from marking.checking.checks import second_looks
from marking.checking.checks.registry import CHECKS, CODE_EFFECTS, RANGES, RESTS_ON, SECOND_LOOKS, Looker
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import MarkCode
from rubrics.formulas import Call
from rubrics.load import load_catalogue
from rubrics.model import Item
from rubrics.model.practical import CheckKind
from tests.checking.rows import found, read_class

WIRE = "wire-resistance"
ROOT = Path(__file__).resolve().parents[3]
REGISTRY = ROOT / "marking/checking/checks/registry.py"


def test_every_kind_has_its_check() -> None:
    """Whoever adds a kind adds its check."""
    assert set(CHECKS) == set(CheckKind)
    assert set(SECOND_LOOKS) <= set(CheckKind)
    assert set(CODE_EFFECTS) <= set(MarkCode)
    assert RANGES


def named_in_registry() -> set[str]:
    """Return all that the registry imports."""
    tree = ast.parse(REGISTRY.read_text(encoding="utf-8"))
    return {alias.name for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) for alias in node.names}


def test_every_check_is_named() -> None:
    """A function that yields the lines of a criterion is called from the registry."""
    files = sorted(REGISTRY.parent.glob("*.py"))
    defined = [node for path in files for node in ast.parse(path.read_text(encoding="utf-8")).body]
    checks = {one.name for one in defined if isinstance(one, ast.FunctionDef) and one.name.startswith("check_")}
    assert len(checks) == len(CheckKind)
    assert checks <= named_in_registry()


def test_every_second_look_is_named() -> None:
    """All that looks at a line once more is called from the registry, and nothing else asks for it."""
    assert set(second_looks.__all__) <= named_in_registry()
    others = [path for path in (ROOT / "marking").rglob("*.py") if path != REGISTRY]
    users = [path for path in others if path.parent.name != "second_looks" and path.name != "__init__.py"]
    assert [path for path in users if "checks.second_looks" in path.read_text(encoding="utf-8")] == []


def test_there_is_never_no_line() -> None:
    """Where not even a row for an answer was handed in, a teacher looks."""
    codes = [one.code for one in load_catalogue()[WIRE].criteria if one.check is CheckKind.VALUE and "R" in one.items]
    lines = found(WIRE, "gradient,,4.3,Ω/m", *codes)
    assert codes
    assert {(one.item, one.row, one.outcome, one.reason) for one in lines} == {
        ("R", None, Outcome.FOR_TEACHER, Reason.NOT_RECALCULABLE)
    }


@pytest.mark.parametrize("practical", ["wire-resistance", "resistor-combinations", "osmosis"])
def test_who_typed_none_of_it_gets_the_lines_of_the_others_who_did_not(practical: str) -> None:
    """Lines that are made once for a batch are those that each student gets alone, and who typed some gets own ones."""
    rubric = load_catalogue()[practical]
    kinds = [one for one in rubric.criteria if one.check in RESTS_ON]
    boxes = sorted({name for one in kinds for name in RESTS_ON[one.check](one, rubric)})
    single = next(name for name in boxes if rubric.items[name].table is None)
    other = next(name for name in rubric.items if name not in boxes)
    rows = {"A": f"{other},1,0.1,", "B": f"{other},1,0.2,", "C": f"{single},,heat,"}
    _, class_set = read_class(practical, rows)
    board = lay_out(rubric, class_set.write_ups)
    batch = Batch(board, judge(board), {}, {})
    cases = [
        Case(batch=batch, student=at, rubric=rubric, write_up=one, shapes={}, selected=None)
        for at, one in enumerate(class_set.write_ups)
    ]
    assert kinds
    for criterion in kinds:
        known = Looker(criterion, rubric)
        for case in (*cases, *reversed(cases)):
            assert _told(known.lines(case)) == _told(Looker(criterion, rubric).lines(case))
        assert known.lines(cases[0]) is known.lines(cases[1])


def _told(lines: list[Line]) -> list[tuple[object, ...]]:
    return [(one.item, one.outcome, one.reason, one.entry, dict(one.facts)) for one in lines]


def test_a_second_look_that_has_nothing_to_say_is_not_asked() -> None:
    """In every practical: a line that a look changes is of a criterion that asks for it."""
    asked = [
        (look.__name__, criterion.code, rubric.id)
        for rubric in load_catalogue().values()
        for criterion in rubric.criteria
        for asks, look in SECOND_LOOKS.get(criterion.check, ())
        if asks(criterion, rubric)
    ]
    assert {name for name, _, _ in asked} == {"mean_line", "gradient_line", "spared_line"}
    means = {
        (criterion.code, rubric.id)
        for rubric in load_catalogue().values()
        for criterion in rubric.criteria
        if criterion.check is CheckKind.VALUE
        if any(_is_mean(rubric.items[name]) for name in criterion.items)
    }
    assert {(code, name) for look, code, name in asked if look == "mean_line"} == means


def _is_mean(item: Item) -> bool:
    tree = item.formula.tree if item.formula is not None else None
    return isinstance(tree, Call) and tree.function == "mean"

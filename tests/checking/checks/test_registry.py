"""One registry names all that looks at an answer, and nothing else reaches for a check."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from marking.checking.checks.registry import CHECKS, CODE_EFFECTS, RANGES, SECOND_LOOKS
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import MarkCode
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind
from tests.checking.rows import found

WIRE = "wire-resistance"
ROOT = Path(__file__).resolve().parents[3]
REGISTRY = ROOT / "marking/checking/checks/registry.py"


def test_every_kind_has_its_check() -> None:
    """Whoever adds a kind adds its check."""
    assert set(CHECKS) == set(CheckKind)
    assert set(SECOND_LOOKS) <= set(CheckKind)
    assert set(CODE_EFFECTS) <= set(MarkCode)
    assert RANGES


@pytest.mark.parametrize("folder", ["marking/checking/checks", "marking/checking/checks/second_looks"])
def test_the_registry_names_all_that_looks(folder: str) -> None:
    """What yields lines, or looks at them once more, is called from the registry and from nowhere else by hand."""
    named = {
        alias.name
        for node in ast.walk(ast.parse(REGISTRY.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    looking = {
        node.name
        for path in (ROOT / folder).glob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef)
        and not node.name.startswith("_")
        and (node.name.startswith(("check_", "with_")) or node.name.endswith("_line"))
    }
    assert looking - named == {"blank_line"} & looking  # a blank step, of which value and method both ask


def test_there_is_never_no_line() -> None:
    """Where not even a row for an answer was handed in, a teacher looks."""
    codes = [one.code for one in load_catalogue()[WIRE].criteria if one.check is CheckKind.VALUE and "R" in one.items]
    lines = found(WIRE, "gradient,,4.3,Ω/m", *codes)
    assert codes
    assert {(one.item, one.row, one.outcome, one.reason) for one in lines} == {
        ("R", None, Outcome.FOR_TEACHER, Reason.NOT_RECALCULABLE)
    }

"""One registry names all that looks at an answer, and nothing else reaches for a check."""

from __future__ import annotations

import ast
from pathlib import Path

from marking.checking.checks import second_looks
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

"""Every file, folder and command that the page for developers names is there."""

from __future__ import annotations

import importlib.util
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = ("DEVELOPERS.md", "tests/benchmarks/FIGURES.md")
WRITTEN = frozenset({"findings.csv", "run.json", "marks.xlsx", "final-marks.csv"})
"""What the program writes, and no file of the tree."""
_NAME = re.compile(r"`([\w.*<>/-]+)`")
_ENDING = re.compile(r"\.(py|toml|md|json|txt)$")
_COMMAND = re.compile(r"python -m (tests\.[\w.]+|rubrics\.\w+)")


@cache
def tree() -> frozenset[str]:
    """Return every file and folder of the tree that is the project's own, from the root."""
    tops = ("marking", "reports", "rubrics", "samples", "tests", ".ci", *(str(one.name) for one in ROOT.glob("*.*")))
    files = (path for top in tops for path in ((ROOT / top), *(ROOT / top).rglob("*")))
    return frozenset(str(path.relative_to(ROOT)) for path in files if "__pycache__" not in path.parts)


def named(page: str) -> list[str]:
    """Return the names in *page* that look like a file or a folder."""
    found = set(_NAME.findall((ROOT / page).read_text(encoding="utf-8"))) - WRITTEN
    return sorted(name for name in found if "/" in name or _ENDING.search(name))


@pytest.mark.parametrize(("page", "name"), [(page, name) for page in PAGES for name in named(page)])
def test_what_is_named_is_there(page: str, name: str) -> None:
    """A path stands from the root or is the end of one; what stands in angles or for a star is anything."""
    pattern = re.sub(r"<\w+>|\\\*", "[^/]+", re.escape(name.rstrip("/")).replace(r"\<", "<").replace(r"\>", ">"))
    whole = re.compile(rf"(.*/)?{pattern}")
    assert any(whole.fullmatch(path) for path in tree()), f"{page} names {name}, and nothing is called so"


@pytest.mark.parametrize("page", [*PAGES, "README.md"])
def test_every_command_is_there(page: str) -> None:
    """What is run with python -m is a module."""
    commands = _COMMAND.findall((ROOT / page).read_text(encoding="utf-8"))
    assert [one for one in commands if importlib.util.find_spec(one.rstrip(".")) is None] == []

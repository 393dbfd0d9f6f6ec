"""What one run loads: a class of 30 feels every library that it does not need."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import marking.record

ROOT = Path(__file__).resolve().parents[2]
HEAVY = (
    "alembic", "importlib.metadata", "matplotlib", "numpy.ma", "openpyxl", "pandas", "pint", "pydantic",
    "reportlab.platypus", "scipy", "sqlalchemy", "starlette", "tqdm",
)  # fmt: skip


def loaded_by(*arguments: str) -> set[str]:
    """Return the modules that a run of the program leaves loaded."""
    said = (
        "import contextlib, io, sys; from marking.__main__ import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        f"    main({list(arguments)!r})\n"
        "print(*sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", said], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def test_marking_a_class_loads_only_what_it_needs(tmp_path: Path) -> None:
    """Read, checked, marked, sheets on paper and a workbook written: with few libraries."""
    loaded = loaded_by("mark", "samples/specific-heat-block", "--out", str(tmp_path / "out"))
    assert {"numpy", "reportlab", "xlsxwriter"} <= loaded
    assert [name for name in HEAVY if name in loaded] == []


def test_help_loads_nothing_heavy() -> None:
    """Whoever asks for help waits for nothing."""
    loaded = loaded_by("mark", "--help")
    assert [name for name in ("numpy", "reportlab", "xlsxwriter", *HEAVY) if name in loaded] == []


@pytest.mark.parametrize("name", sorted(marking.record.__all__))
def test_every_name_of_the_record_is_found_when_it_is_asked_for(name: str) -> None:
    """The door of the record opens late, and to the same rooms."""
    assert getattr(marking.record, name).__name__ == name


def test_no_other_name_is() -> None:
    """A name that is not there is told as ever."""
    with pytest.raises(AttributeError, match="nothing_of_the_kind"):
        _ = marking.record.nothing_of_the_kind


def test_a_large_set_loads_nothing_for_a_terminal_that_nobody_looks_at(tmp_path: Path) -> None:
    """Nor anything that sets paper."""
    table = tmp_path / "many.csv"
    rows = (f"S{number:04},specific-heat-block,dT,{number % 30},°C" for number in range(500))
    table.write_text("\n".join(("student,practical,item,entry,unit", *rows)), encoding="utf-8")
    loaded = loaded_by("mark", str(table), "--no-paper", "--workers", "1", "--out", str(tmp_path / "out"))
    assert "marking.many.marked_whole" in loaded
    assert [name for name in ("reportlab", *HEAVY) if name in loaded] == []

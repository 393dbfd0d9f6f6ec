"""Marks and findings without paper: the same tables, no sheets, and nothing loaded that only paper needs."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands.running import SAMPLES, files_in, run_here, run_python

BLOCK = str(SAMPLES / "specific-heat-block")


def test_the_tables_are_those_of_a_run_with_paper(tmp_path: Path) -> None:
    """Findings, marks and notes have the same bytes, and nothing else is written."""
    whole, bare = tmp_path / "whole", tmp_path / "bare"
    assert run_here("mark", BLOCK, "--out", str(whole)).status == 0
    done = run_here("mark", BLOCK, "--out", str(bare), "--no-paper")
    assert done.status == 0
    tables, known = files_in(bare), files_in(whole)
    assert set(tables) == {"marks.xlsx", "findings.csv", "class-notes.csv", "run.json"}
    assert all(tables[name] == known[name] for name in tables if name != "run.json")
    assert "class-summary.pdf" not in done.out
    assert "findings.csv" in done.out


@pytest.mark.parametrize("more", [("--print",), ("--preview", "2")])
def test_paper_and_no_paper_at_once_are_refused(more: tuple[str, ...], tmp_path: Path) -> None:
    """Nothing is written where two options contradict each other."""
    done = run_here("mark", BLOCK, "--out", str(tmp_path / "out"), "--no-paper", *more)
    assert done.status == 2
    assert more[0] in done.err
    assert not (tmp_path / "out").exists()


def test_nothing_that_only_paper_needs_is_loaded(tmp_path: Path) -> None:
    """The library that sets PDFs stays where it is."""
    code = (
        "import sys; from marking.__main__ import main; "
        f"main(['mark', {BLOCK!r}, '--out', {str(tmp_path / 'out')!r}, '--no-paper']); "
        "print(sorted({'reportlab', 'uharfbuzz'} & set(sys.modules)))"
    )
    done = run_python("-c", code)
    assert done.out.splitlines()[-1] == "[]", done.err

"""Work is never destroyed: what was typed is read before it is replaced, and a run that is cut off changes nothing."""

from __future__ import annotations

import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.commands.running import ROOT, SAMPLES, Run, files_in, heeds_interrupts, run, run_here
from tests.commands.tidy_class import write_class

BLOCK = "specific-heat-block"


def marked(folder: Path, *more: str, codes: tuple[str, ...] = ("S1", "S2")) -> Run:
    """Mark a small class in *folder* into ``results`` beside it."""
    file = write_class(folder / "10A.csv", codes)
    return run_here("mark", str(file), "--out", str(folder / "results"), *more)


def cells(folder: Path, sheet: str) -> dict[tuple[str, str], dict[str, Any]]:
    """Return the lines of a sheet of ``marks.xlsx`` by student and item, each by its headings."""
    rows = openpyxl.load_workbook(folder / "results" / "marks.xlsx")[sheet].iter_rows(values_only=True)
    head = [str(word) for word in next(rows)]
    lines = [dict(zip(head, row, strict=False)) for row in rows]
    return {(line["student"], line.get("item", "")): line for line in lines if line["student"]}


def type_in(folder: Path, sheet: str, student: str, column: str, text: object, item: str = "") -> None:
    """Type *text* into a cell of ``marks.xlsx``, as a teacher would, and save."""
    path = folder / "results" / "marks.xlsx"
    book = openpyxl.load_workbook(path)
    page = book[sheet]
    head = [cell.value for cell in page[1]]
    for row in page.iter_rows(min_row=2):
        line = {name: cell.value for name, cell in zip(head, row, strict=False)}
        if line["student"] == student and line.get("item", "") == item:
            row[head.index(column)].value = text  # type: ignore[union-attr]
            break
    else:
        raise AssertionError((student, item))
    book.save(path)


def test_a_tick_in_the_marks_is_read_and_stays(tmp_path: Path) -> None:
    """It decides at the next run, names its cell, and stands in each new workbook until it is taken out."""
    assert marked(tmp_path).status == 0
    assert cells(tmp_path, "Ticks")["S1", "tick V1"]["mark"] is None
    type_in(tmp_path, "Ticks", "S1", "entry", "✓", "tick V1")
    for _ in range(2):
        assert marked(tmp_path).status == 0
        line = cells(tmp_path, "Ticks")["S1", "tick V1"]
        assert (line["mark"], line["entry"]) == (1, "✓")
        assert "results/marks.xlsx, Ticks!" in line["decided by"]
        assert cells(tmp_path, "Ticks")["S2", "tick V1"]["mark"] is None
    type_in(tmp_path, "Ticks", "S1", "entry", None, "tick V1")
    marked(tmp_path)
    assert cells(tmp_path, "Ticks")["S1", "tick V1"]["mark"] is None


def test_short_answers_are_ticked_as_a_group_where_they_stand(tmp_path: Path) -> None:
    """Ticks on that sheet are read at the next run; what is decided moves to the sheet of ticks, and stays."""
    file = write_class(tmp_path / "10A.csv", ["S1", "S2", "S3"])
    with file.open("a", encoding="utf-8") as stream:
        stream.writelines(f"{who},1,{BLOCK},why_off,,heat was lost,\n" for who in ("S1", "S2"))
    call = ("mark", str(file), "--out", str(tmp_path / "results"))
    run_here(*call)
    assert [who for who, _ in cells(tmp_path, "Short answers")] == ["S1", "S2"]
    type_in(tmp_path, "Short answers", "S1", "entry", "✓", "tick V1")
    for _ in range(2):
        run_here(*call)
        assert [who for who, _ in cells(tmp_path, "Short answers")] == ["S2"]
        marks = {who: line["mark"] for (who, item), line in cells(tmp_path, "Ticks").items() if item == "tick V1"}
        assert marks == {"S1": 1, "S2": None, "S3": None}


def test_a_mark_typed_among_the_marks_is_the_teachers(tmp_path: Path) -> None:
    """A figure in an empty cell of the sheet Marks counts as a tick, and one typed later takes its place."""
    marked(tmp_path)
    for typed in (1, 0):
        type_in(tmp_path, "Marks", "S1", "V1", typed)
        marked(tmp_path)
        line = cells(tmp_path, "Ticks")["S1", "tick V1"]
        assert (line["mark"], line["entry"]) == (typed, str(typed))
        assert cells(tmp_path, "Marks")["S1", ""]["V1"] == typed


def test_a_teacher_overrules_in_the_workbook(tmp_path: Path) -> None:
    """Against what was worked out the tick counts, with its reason; the workbook and explain say so."""
    marked(tmp_path)
    code = next(item for (who, item), line in cells(tmp_path, "Ticks").items() if who == "S1" and line["mark"] == 1)
    type_in(tmp_path, "Ticks", "S1", "entry", "x", code)
    done = marked(tmp_path)
    assert done.status == 1
    assert "Say why" in done.err
    type_in(tmp_path, "Ticks", "S1", "why", "copied from the board", code)
    assert marked(tmp_path).status == 0
    line = cells(tmp_path, "Ticks")["S1", code]
    assert (line["mark"], line["why"]) == (0, "copied from the board")
    assert "worked out as 1" in line["decided by"]
    asked = ("explain", str(tmp_path / "10A.csv"), "S1", code.removeprefix("tick "))
    said = run_here(*asked, "--results", str(tmp_path / "results")).out
    assert "copied from the board" in said
    assert "The program had worked out 1" in said


def test_two_new_ticks_that_differ_decide_nothing(tmp_path: Path) -> None:
    """Neither is guessed at: the mark waits, and both cells are named."""
    marked(tmp_path)
    type_in(tmp_path, "Ticks", "S1", "entry", "✓", "tick V1")
    type_in(tmp_path, "Marks", "S1", "V1", 0)
    done = marked(tmp_path)
    assert done.status == 1
    assert "Ticks!" in done.err
    assert "Marks!" in done.err
    assert cells(tmp_path, "Ticks")["S1", "tick V1"]["mark"] is None


def test_a_tick_that_is_none_is_told(tmp_path: Path) -> None:
    """What cannot be read as a tick is named with its cell, and decides nothing."""
    marked(tmp_path)
    type_in(tmp_path, "Ticks", "S1", "entry", "perhaps", "tick V1")
    done = marked(tmp_path)
    assert '"perhaps" is no tick for V1' in done.err
    assert cells(tmp_path, "Ticks")["S1", "tick V1"]["mark"] is None


def test_marks_typed_for_others_are_not_lost(tmp_path: Path) -> None:
    """Another class into the same folder is refused while it holds what was typed about students of the first."""
    marked(tmp_path)
    type_in(tmp_path, "Ticks", "S2", "entry", "✓", "tick V1")
    before = files_in(tmp_path / "results")
    done = marked(tmp_path, codes=("S1", "T7"))
    assert done.status == 2
    assert "S2" in done.err
    assert "--replace" in done.err
    assert files_in(tmp_path / "results") == before
    assert marked(tmp_path, "--replace", codes=("S1", "T7")).status == 0


def test_our_own_outputs_are_no_students_work(tmp_path: Path) -> None:
    """Results inside the input folder, and single files of ours copied about, change no mark and are named."""
    room = tmp_path / "10A"
    room.mkdir()
    write_class(room / "10A.csv", ["S1", "S2"])
    first = run_here("mark", str(room), "--out", str(room / "results"))
    before = cells(room, "Marks")
    for name in ("findings.csv", "class-notes.csv", "marks.xlsx"):
        (room / f"copy of {name}").write_bytes((room / "results" / name).read_bytes())
    second = run_here("mark", str(room), "--out", str(room / "results"))
    assert (first.status, second.status) == (0, 0)
    assert cells(room, "Marks") == before
    told = [line["remark"] for line in _remarks(room)]
    assert sum("this program wrote" in line for line in told) == 4


def _remarks(folder: Path) -> list[dict[str, Any]]:
    rows = openpyxl.load_workbook(folder / "results" / "marks.xlsx")["Input remarks"].iter_rows(values_only=True)
    head = [str(word) for word in next(rows)]
    return [dict(zip(head, row, strict=False)) for row in rows]


def test_results_alone_are_no_input(tmp_path: Path) -> None:
    """Whoever names the results is told what to name."""
    marked(tmp_path)
    done = run_here("mark", str(tmp_path / "results"), "--out", str(tmp_path / "again"))
    assert done.status == 2
    assert "this program wrote itself" in done.err


def test_a_preview_leaves_finished_results(tmp_path: Path) -> None:
    """It goes beside them."""
    marked(tmp_path)
    before = files_in(tmp_path / "results")
    done = marked(tmp_path, "--preview", "1")
    assert "results-preview" in done.out
    assert files_in(tmp_path / "results") == before
    assert set(files_in(tmp_path / "results-preview")) == {"feedback/S1.pdf", "run.json"}


ROSTER = str(SAMPLES / "wire-resistance" / "roster.csv")


@pytest.mark.parametrize("option", ["--out", "--each", "--trials"])
def test_prepare_never_writes_over_a_filled_workbook(option: str, tmp_path: Path) -> None:
    """The filled one is named and stays, and nothing else is written; with --replace it is replaced."""
    name = {"--out": "10A.xlsx", "--each": "sheets", "--trials": "trials.csv"}[option]
    call = ("prepare", "wire-resistance", "--roster", ROSTER, option, str(tmp_path / name))
    assert run_here(*call).status == 0
    blank = files_in(tmp_path)
    assert run_here(*call).status == 0  # the same once more: nothing is filled in yet
    filled = next(iter(sorted(blank)))
    (tmp_path / filled).write_bytes(b"filled in")
    done = run_here(*call)
    assert done.status == 2
    assert "--replace" in done.err
    assert Path(filled).name in done.err
    assert files_in(tmp_path) == {**blank, filled: b"filled in"}
    assert run_here(*call, "--replace").status == 0
    assert files_in(tmp_path) == blank


def test_an_older_edition_of_a_rubric_is_not_written_over(tmp_path: Path) -> None:
    """Neither as TOML nor as a workbook."""
    rubric = str(ROOT / "rubrics" / "catalogue" / "titration.toml")
    for option, name in (("--as-toml", "mine.toml"), ("--as-workbook", "mine.xlsx")):
        (tmp_path / name).write_bytes(b"edition 1")
        done = run_here("rubric-check", rubric, option, str(tmp_path / name))
        assert done.status == 2
        assert "--replace" in done.err
        assert (tmp_path / name).read_bytes() == b"edition 1"


# ---- cut off ---------------------------------------------------------------------------------------------------


def start(*arguments: str, before: Callable[[], None] | None = None) -> subprocess.Popen[str]:
    """Start the program; its output is kept."""
    command = [sys.executable, "-m", "marking", *arguments]
    quiet, told = subprocess.DEVNULL, subprocess.PIPE
    return subprocess.Popen(
        command, stdout=quiet, stderr=told, text=True, cwd=ROOT, preexec_fn=before or heeds_interrupts
    )


@pytest.mark.campaign
@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_cut_off_at_any_moment_it_is_the_old_or_the_new(number: signal.Signals, tmp_path: Path) -> None:
    """Never a mixture, never nothing; one line where a line can be said; the next run leaves nothing behind.

    A sample of moments, drawn anew each run; 200 were tried by hand.
    """
    outs, wholes, seconds = tmp_path / "results", [], 0.0
    inputs = [str(SAMPLES / name) for name in ("density-cuboid", "specific-heat-block")]
    for one in inputs:
        begun = time.monotonic()
        run("mark", one, "--out", str(outs))
        seconds = max(seconds, time.monotonic() - begun)
        wholes.append(files_in(outs))
    for turn in range(2):
        process = start("mark", inputs[turn % 2], "--out", str(outs))
        time.sleep(seconds * random.uniform(0.3, 1.0))
        process.send_signal(number)
        _, said = process.communicate(timeout=60)
        assert "Traceback" not in said
        if process.returncode == 2:
            assert len(said.splitlines()) == 1
            assert said.startswith("Stopped.")
        if outs.exists():
            assert files_in(outs) in wholes
    run("mark", inputs[0], "--out", str(outs))
    assert files_in(outs) == wholes[0]
    assert [path.name for path in tmp_path.iterdir()] == ["results"]


@pytest.mark.campaign
def test_of_two_runs_at_once_one_is_refused(tmp_path: Path) -> None:
    """The folder holds one class, whole; the other run says who was first."""
    outs = tmp_path / "results"
    inputs = [str(SAMPLES / name) for name in ("density-cuboid", "specific-heat-block")]
    wholes = []
    for one in inputs:
        run("mark", one, "--out", str(outs))
        wholes.append(files_in(outs))
    both = [start("mark", one, "--out", str(outs)) for one in inputs]
    said = [process.communicate(timeout=120)[1] for process in both]
    assert files_in(outs) in wholes
    refused = [words for process, words in zip(both, said, strict=True) if process.returncode == 2]
    assert all("is writing here" in words and len(words.splitlines()) == 1 for words in refused)
    assert [path.name for path in tmp_path.iterdir()] == ["results"]


@pytest.mark.parametrize("most", [2_000, 20_000, 40_000])
def test_a_full_disk_is_one_line_and_keeps_the_old(most: int, tmp_path: Path) -> None:
    """The first sheet, the summary or the workbook does not fit: nothing is changed, and nothing is left."""
    outs = tmp_path / "results"
    run("mark", str(SAMPLES / "density-cuboid"), "--out", str(outs))
    before = files_in(outs)

    def small() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    process = start("mark", str(SAMPLES / "wire-resistance"), "--out", str(outs), before=small)
    _, said = process.communicate(timeout=120)
    assert process.returncode == 2
    assert len(said.splitlines()) == 1
    assert "the disk is full" in said
    assert files_in(outs) == before
    assert os.listdir(tmp_path) == ["results"]  # noqa: PTH208 - hidden ones too

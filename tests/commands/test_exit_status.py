from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.running import ROOT, SAMPLES, files_in, run_here, run_python
from tests.commands.tidy_class import write_class

BLOCK = "rubrics/catalogue/specific-heat-block.toml"


def _sound(place: Path) -> list[str]:
    return ["mark", str(write_class(place / "10A.csv", ["S1", "S2"])), "--out", str(place / "results")]


def _blank_sheets(place: Path) -> list[str]:
    roster = str(SAMPLES / "wire-resistance" / "roster.csv")
    return ["prepare", "wire-resistance", "--roster", roster, "--each", str(place / "sheets")]


DONE: dict[str, Callable[[Path], list[str]]] = {
    "list the practicals": lambda _: ["catalogue"],
    "list for a script": lambda _: ["catalogue", "--json"],
    "show a practical": lambda _: ["catalogue", "iv-characteristic"],
    "check a sound rubric": lambda _: ["rubric-check", str(ROOT / BLOCK)],
    "prepare a sheet for each student": _blank_sheets,
    "mark a class without a query": _sound,
}


@pytest.mark.parametrize("call", DONE.values(), ids=DONE.keys())
def test_done_is_status_0(call: Callable[[Path], list[str]], tmp_path: Path) -> None:
    """What went as it should ends with status 0, something to read and no complaint."""
    done = run_here(*call(tmp_path))
    assert (done.status, done.err) == (0, "")
    assert done.out


def _with_letter_o(place: Path) -> list[str]:
    path = write_class(place / "10A.csv", ["S1", "S2"])
    path.write_text(path.read_text(encoding="utf-8").replace("40.0", "4S.0", 1), encoding="utf-8")
    return ["mark", str(path), "--out", str(place / "results")]


def _one_of_two_broken(place: Path) -> list[str]:
    write_class(place / "10A.csv", ["S1", "S2"])
    (place / "10B.xlsx").write_bytes(b"")
    return ["mark", str(place), "--out", str(place / "results")]


ATTENTION: dict[str, Callable[[Path], list[str]]] = {
    "a letter for a figure": _with_letter_o,
    "one file of two cannot be read": _one_of_two_broken,
}


@pytest.mark.parametrize("call", ATTENTION.values(), ids=ATTENTION.keys())
def test_something_to_look_at_is_status_1(call: Callable[[Path], list[str]], tmp_path: Path) -> None:
    """The set is marked, status 1 says that something needs attention, and a list says what."""
    done = run_here(*call(tmp_path))
    assert done.status == 1
    assert "Needs attention (1):" in done.err
    assert (tmp_path / "results" / "class-summary.pdf").is_file()


def _someone_elses_folder(place: Path) -> list[str]:
    results = place / "results"
    results.mkdir()
    (results / "holiday.txt").write_text("keep me", encoding="utf-8")
    return _sound(place)


def _out_is_a_file(place: Path) -> list[str]:
    (place / "results").write_text("keep me", encoding="utf-8")
    return _sound(place)


def _faulty_rubric(place: Path) -> list[str]:
    text = (ROOT / BLOCK).read_text(encoding="utf-8").replace("E / (m * dT)", "E / (m * dX)")
    (place / "own.toml").write_text(text, encoding="utf-8")
    return ["rubric-check", str(place / "own.toml")]


def _empty_workbook(place: Path) -> list[str]:
    (place / "10A.xlsx").write_bytes(b"")
    return ["mark", str(place / "10A.xlsx"), "--out", str(place / "results")]


def _no_column_of_students(place: Path) -> list[str]:
    (place / "roster.csv").write_text("who,where\nA,1\n", encoding="utf-8")
    return ["prepare", "wire-resistance", "--roster", str(place / "roster.csv"), "--out", str(place / "10A.xlsx")]


def _prepare_nothing(place: Path) -> list[str]:
    shutil.copy(SAMPLES / "wire-resistance" / "roster.csv", place)
    return ["prepare", "wire-resistance", "--roster", str(place / "roster.csv")]


NOTHING_DONE: dict[str, tuple[Callable[[Path], list[str]], str]] = {
    "no verb": (lambda _: [], "VERB"),
    "unknown verb": (lambda _: ["grade"], "grade"),
    "unknown practical": (lambda _: ["catalogue", "wire-resistence"], "wire-resistance"),
    "no such input": (lambda p: ["mark", "10Z.xlsx", "--out", str(p / "results")], "10Z.xlsx"),
    "empty workbook": (_empty_workbook, "10A.xlsx"),
    "somebody else's folder": (_someone_elses_folder, "--out"),
    "a file where the folder should be": (_out_is_a_file, "--out"),
    "the root of the disk": (lambda p: [*_sound(p)[:-1], "/"], "--out"),
    "the folder above": (lambda p: [*_sound(p)[:-1], str(p / "..")], "--out"),
    "no such rubric": (lambda _: ["rubric-check", "own.toml"], "own.toml"),
    "a faulty rubric": (_faulty_rubric, "dX"),
    "a roster without students": (_no_column_of_students, "student"),
    "nowhere to write the sheets": (_prepare_nothing, "--out"),
}


@pytest.mark.parametrize(("call", "named"), NOTHING_DONE.values(), ids=NOTHING_DONE.keys())
def test_nothing_done_is_status_2(call: Callable[[Path], list[str]], named: str, tmp_path: Path) -> None:
    """What cannot be done ends with status 2 and a message that names the culprit, and leaves every file as it was."""
    arguments = call(tmp_path)
    before = files_in(tmp_path)
    done = run_here(*arguments)
    assert (done.status, done.out) == (2, "")
    assert named in done.err
    assert "Traceback" not in done.err
    assert files_in(tmp_path) == before


def test_a_reader_who_leaves_early_is_no_fault() -> None:
    """A pipe that is closed before all is written, as by ``head``, ends the program quietly."""
    code = (
        "import os, sys; r, w = os.pipe(); os.close(r); os.dup2(w, 1); "
        "from marking.__main__ import main; sys.exit(main(['catalogue', 'wire-resistance']))"
    )
    assert run_python("-c", code).err == ""

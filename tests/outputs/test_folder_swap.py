from __future__ import annotations

from pathlib import Path

import pytest

from marking.outputs import OURS, replaced_folder
from rubrics.faults.errors import InputError
from tests.commands.running import files_in, run_here
from tests.commands.tidy_class import write_class


def _put(folder: Path, words: str) -> None:
    with replaced_folder(folder) as new:
        (new / OURS).write_text("{}", encoding="utf-8")
        (new / "words.txt").write_text(words, encoding="utf-8")


def _start_and_fail(folder: Path, kind: type[BaseException]) -> str:
    """Start to write new results and fail; return what stood in the old ones meanwhile."""
    seen = []
    with pytest.raises(kind), replaced_folder(folder) as new:  # noqa: PT012 - the failure is what is tried
        seen.append(_words(folder))
        (new / "words.txt").write_text("new", encoding="utf-8")
        raise kind
    return seen[0]


def _words(folder: Path) -> str:
    return (folder / "words.txt").read_text(encoding="utf-8")


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_new_folder_takes_the_place_of_the_old(tmp_path: Path) -> None:
    """After a run there is one folder, all of it new."""
    _put(tmp_path / "results", "old")
    (tmp_path / "results" / "stale.txt").write_text("old", encoding="utf-8")
    _put(tmp_path / "results", "new")
    assert _names(tmp_path) == ["results"]
    assert _names(tmp_path / "results") == [OURS, "words.txt"]
    assert _words(tmp_path / "results") == "new"


@pytest.mark.parametrize("kind", [OSError, KeyboardInterrupt, ValueError])
def test_a_failure_leaves_the_old_folder(kind: type[BaseException], tmp_path: Path) -> None:
    """Whatever stops the writing, the old results are whole and nothing half-made lies about."""
    _put(tmp_path / "results", "old")
    _start_and_fail(tmp_path / "results", kind)
    assert _names(tmp_path) == ["results"]
    assert _words(tmp_path / "results") == "old"


def test_a_swap_cut_off_half_way_is_mended(tmp_path: Path) -> None:
    """The power went between taking the old folder away and putting the new one there: the old one comes back."""
    _put(tmp_path / "results", "old")
    (tmp_path / "results").rename(tmp_path / ".results.before")
    (tmp_path / ".results.part").mkdir()
    assert _start_and_fail(tmp_path / "results", ValueError) == "old"
    assert _names(tmp_path) == ["results"]


def test_a_swap_cut_off_at_its_end_is_mended(tmp_path: Path) -> None:
    """The power went after the new folder was in place: what is left of the old one goes."""
    _put(tmp_path / "results", "new")
    (tmp_path / ".results.before").mkdir()
    (tmp_path / ".results.before" / "words.txt").write_text("old", encoding="utf-8")
    assert _start_and_fail(tmp_path / "results", ValueError) == "new"
    assert _names(tmp_path) == ["results"]
    assert _words(tmp_path / "results") == "new"


def test_a_swap_is_mended_even_when_the_next_input_is_refused(tmp_path: Path) -> None:
    """The results come back at the next start of the program, whatever that start is for."""
    results = tmp_path / "results"
    assert run_here("mark", str(write_class(tmp_path / "10A.csv", ["S1"])), "--out", str(results)).status == 0
    before = files_in(results)
    results.rename(tmp_path / ".results.before")
    assert run_here("mark", "10Z.csv", "--out", str(results)).status == 2
    assert files_in(results) == before


@pytest.mark.parametrize("name", ["holiday.txt", "findings.csv", "sub/run.json"])
def test_a_folder_of_somebody_else_is_refused(name: str, tmp_path: Path) -> None:
    """A folder that this program did not make is never replaced, whatever its files are called."""
    path = tmp_path / "results" / name
    path.parent.mkdir(parents=True)
    path.write_text("keep me", encoding="utf-8")
    with pytest.raises(InputError), replaced_folder(tmp_path / "results"):
        pass
    assert path.read_text(encoding="utf-8") == "keep me"
    assert _names(tmp_path) == ["results"]


def test_an_empty_folder_may_be_filled(tmp_path: Path) -> None:
    """A folder that somebody made for the results, with nothing in it, is taken."""
    (tmp_path / "results").mkdir()
    _put(tmp_path / "results", "new")
    assert _words(tmp_path / "results") == "new"


def test_a_student_who_left_leaves_no_sheet(tmp_path: Path) -> None:
    """A student who is no longer in the set has no file in the results."""
    results = tmp_path / "results"
    run_here("mark", str(write_class(tmp_path / "10A.csv", ["S1", "S2", "S3"])), "--out", str(results))
    assert _names(results / "feedback") == ["S1.pdf", "S2.pdf", "S3.pdf"]
    run_here("mark", str(write_class(tmp_path / "10A.csv", ["S1", "S3"])), "--out", str(results))
    assert _names(results / "feedback") == ["S1.pdf", "S3.pdf"]
    assert b"S2" not in (results / "findings.csv").read_bytes()


ODD_CODES = [
    "../up",
    "/etc/x",
    "a/b",
    "a\\b",
    "..",
    ".",
    "CON",
    "nul",
    "S1",
    "s1",
    "Ş1",
    "x" * 300,
    "-rf",
    "a b",
    "a:b",
]


def test_odd_codes_stay_inside_the_folder(tmp_path: Path) -> None:
    """Every code has a sheet of its own in the folder of sheets, whatever the code looks like."""
    results = tmp_path / "out" / "results"
    done = run_here("mark", str(write_class(tmp_path / "10A.csv", ODD_CODES)), "--out", str(results))
    assert done.status in (0, 1), done.err
    assert len(_names(results / "feedback")) == len(ODD_CODES)
    assert _names(tmp_path) == ["10A.csv", "out"]
    assert _names(tmp_path / "out") == ["results"]

"""One writer at a time, leftovers tidied, and single files never written over unasked."""

from __future__ import annotations

import json
import stat
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from marking.outputs.folder_lock import PART, held, new_part
from marking.outputs.folder_swap import KEPT, OURS, changed_by_hand, replaced_folder, written_files
from marking.outputs.put_files import Put, put_all, put_file
from rubrics.faults.errors import InputError
from tests.commands.running import ROOT

HOLD = """
import sys
from pathlib import Path
from marking.outputs import held
with held(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@contextmanager
def another_holds(target: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process holds *target* until the end of the block."""
    asked = [sys.executable, "-c", HOLD, str(target)]
    with subprocess.Popen(asked, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        try:
            yield other
        finally:
            if other.stdin is not None:
                other.stdin.close()
            other.wait(timeout=20)


def names(folder: Path) -> list[str]:
    """Return what stands in *folder*, hidden things too."""
    return sorted(path.name for path in folder.iterdir())


def test_the_second_writer_is_told_who_the_first_is(tmp_path: Path) -> None:
    """By name, machine and time; when the first is done, nothing of the lock is left."""
    target = tmp_path / "results"
    with another_holds(target) as other:
        with pytest.raises(InputError, match="is writing here") as refusal, held(target):
            pass
        assert f"process {other.pid}" in str(refusal.value)
        assert "wait until that is done" in refusal.value.mend
        with held(tmp_path / "others"):
            pass  # another folder beside it is free
    with held(target):
        pass
    assert names(tmp_path) == []


def test_a_killed_writer_holds_nothing(tmp_path: Path) -> None:
    """The lock ends with its process, and what that left half made goes with the next writer, here or beside."""
    target = tmp_path / "results"
    with another_holds(target) as other:
        other.kill()
        other.wait(timeout=20)
        part = new_part(target, is_folder=True)
        (part / "marks.xlsx").write_bytes(b"marks")
        with held(tmp_path / "other"):
            pass
    assert names(tmp_path) == []


def test_what_is_half_made_is_its_owners_alone(tmp_path: Path) -> None:
    """Nobody else on the machine reads marks out of a folder that is being written."""
    with replaced_folder(tmp_path / "results") as part:
        assert stat.S_IMODE(part.stat().st_mode) == 0o700
        assert part.name.endswith(PART)
        (part / OURS).write_text("{}", encoding="utf-8")
    plain = tmp_path / "plain"
    plain.mkdir()
    assert (tmp_path / "results").stat().st_mode == plain.stat().st_mode


def test_half_made_things_of_a_living_writer_are_left_alone(tmp_path: Path) -> None:
    """Another class that is being marked beside this one goes on undisturbed."""
    with another_holds(tmp_path / "10B"):
        part = new_part(tmp_path / "10B", is_folder=True)
        with held(tmp_path / "10A"):
            pass
        assert part.exists()


def written(folder: Path, **files: str) -> None:
    """Write results as a run does: files, and the account of them."""
    with replaced_folder(folder) as part:
        for name, text in files.items():
            (part / f"{name}.csv").write_text(text, encoding="utf-8")
        (part / OURS).write_text(json.dumps({"wrote": written_files(part)}), encoding="utf-8")


def test_what_a_person_changed_or_added_is_kept(tmp_path: Path) -> None:
    """Files that are as we wrote them go; others are found in a folder of their own, run after run."""
    results = tmp_path / "results"
    written(results, findings="old", notes="old")
    (results / "findings.csv").write_text("old, with a remark", encoding="utf-8")
    (results / "seating plan.txt").write_text("mine", encoding="utf-8")
    assert changed_by_hand(results) == ("findings.csv", "seating plan.txt")
    for round_ in ("new", "newer"):
        written(results, findings=round_)
        assert names(results) == ["findings.csv", KEPT, OURS]
        assert (results / "findings.csv").read_text(encoding="utf-8") == round_
        assert names(results / KEPT) == ["findings.csv", "seating plan.txt"]
    (results / "findings.csv").write_text("another remark", encoding="utf-8")
    written(results, findings="newest")
    assert names(results / KEPT) == ["findings-2.csv", "findings.csv", "seating plan.txt"]
    assert (results / KEPT / "findings.csv").read_text(encoding="utf-8") == "old, with a remark"


@pytest.mark.parametrize("mark", ["~$marks.xlsx", ".~lock.marks.xlsx#"])
def test_a_workbook_that_is_open_is_not_taken_away(mark: str, tmp_path: Path) -> None:
    """What is typed and not yet saved would be lost with the next save."""
    results = tmp_path / "results"
    written(results, findings="old")
    (results / mark).write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="open in a spreadsheet program") as refusal, replaced_folder(results):
        pass
    assert mark in refusal.value.mend
    assert (results / "findings.csv").read_text(encoding="utf-8") == "old"


def put(path: Path, text: str, *, replace: bool = False) -> None:
    """Put a text at *path*."""
    put_file(path, text.encode(), replace=replace)


def test_a_file_that_may_be_filled_in_is_refused(tmp_path: Path) -> None:
    """It is named, and stays; with the word for it, it is replaced; the same once more is no matter."""
    path = tmp_path / "10A.xlsx"
    put(path, "blank")
    put(path, "blank")
    path.write_text("filled in", encoding="utf-8")
    with pytest.raises(InputError, match=r"10A\.xlsx: is there already.*--replace"):
        put(path, "blank")
    assert path.read_text(encoding="utf-8") == "filled in"
    put(path, "blank", replace=True)
    assert path.read_text(encoding="utf-8") == "blank"
    assert names(tmp_path) == ["10A.xlsx"]


def test_of_many_files_all_are_written_or_none(tmp_path: Path) -> None:
    """One filled workbook among thirty stops them all, before any is touched."""
    (tmp_path / "A02.xlsx").write_text("filled in", encoding="utf-8")
    files = [
        Put(path=tmp_path / f"A0{n}.xlsx", write=lambda path: path.write_text("blank", encoding="utf-8"))
        for n in (1, 2, 3)
    ]
    with pytest.raises(InputError, match=r"A02\.xlsx"):
        put_all(files, replace=False)
    assert names(tmp_path) == ["A02.xlsx"]
    put_all(files, replace=True)
    assert names(tmp_path) == ["A01.xlsx", "A02.xlsx", "A03.xlsx"]


def test_a_write_that_fails_leaves_the_old_file(tmp_path: Path) -> None:
    """A disk that fills up costs the new file, never the old one."""
    path = tmp_path / "10A.xlsx"
    put(path, "old")

    def fill_up(part: Path) -> None:
        part.write_text("half of the ne", encoding="utf-8")
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        put_all([Put(path=path, write=fill_up)], replace=True)
    assert (names(tmp_path), path.read_text(encoding="utf-8")) == (["10A.xlsx"], "old")


def test_a_pdf_of_somebody_else_is_not_written_over(tmp_path: Path) -> None:
    """A paper of ours may be printed anew; a file that merely ends so may be anything."""
    path = tmp_path / "sheet.pdf"
    path.write_bytes(b"%PDF-1.4 a holiday")
    with pytest.raises(InputError):
        put(path, "%PDF-1.4 /Author (writeups)")
    path.write_bytes(b"%PDF-1.4 1 0 obj << /Author (writeups) >>")
    put(path, "%PDF-1.4 new")

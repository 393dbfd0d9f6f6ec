"""A full disk in any verb that writes: one clear line with the place, and nothing half written."""

from __future__ import annotations

import resource
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands.running import ROOT, SAMPLES

ROOM = 512
"""Bytes that a file may grow to: less than any of these files needs."""
RUBRIC = str(ROOT / "rubrics" / "catalogue" / "wire-resistance.toml")


def _without_room() -> None:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, ROOM))


def _run(folder: Path, *words: str, has_room: bool) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "marking", *words],
        cwd=folder,
        env={"PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", "PATH": ""},
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=None if has_room else _without_room,
    )


@pytest.mark.parametrize(
    ("words", "place"),
    [
        (("prepare", "wire-resistance", "--roster", "ROSTER", "--out", "OUT.xlsx"), "OUT.xlsx"),
        (("prepare", "wire-resistance", "--roster", "ROSTER", "--each", "OUT"), "OUT"),
        (("prepare", "wire-resistance", "--print", "OUT.pdf"), "OUT.pdf"),
        (("prepare", "wire-resistance", "--kit", "OUT.pdf"), "OUT.pdf"),
        (("prepare", "--new", "a pendulum on a string", "--out", "OUT.toml"), "OUT.toml"),
        (("rubric-check", RUBRIC, "--as-workbook", "OUT.xlsx"), "OUT.xlsx"),
        (("rubric-check", RUBRIC, "--as-toml", "OUT.toml"), "OUT.toml"),
    ],
    ids=lambda part: " ".join(part[:1] + part[-2:-1]) if isinstance(part, tuple) else part,
)
def test_a_full_disk_is_one_line_that_names_the_place(words: tuple[str, ...], place: str, tmp_path: Path) -> None:
    """What was to be written is named, and no part of it stays."""
    roster = next(SAMPLES.glob("*/roster.csv"))
    (tmp_path / "roster.csv").write_bytes(roster.read_bytes())
    done = _run(tmp_path, *(word.replace("ROSTER", "roster.csv") for word in words), has_room=False)
    assert done.returncode == 2
    assert f"{place}: the disk is full" in done.stderr
    assert "Traceback" not in done.stderr
    assert not [path for path in tmp_path.rglob("*") if path.is_file() and path.name != "roster.csv"]


@pytest.mark.campaign
@pytest.mark.parametrize(
    ("words", "place"),
    [
        (("sample", "DEPARTMENT", "--seed", "7", "--out", "OUT"), "OUT"),
        (("moderate", "ROUND", "--marked", "RETURNED", "--out", "OUT"), "OUT"),
    ],
    ids=["sample", "moderate"],
)
def test_a_round_that_finds_no_room_leaves_nothing(words: tuple[str, ...], place: str, tmp_path: Path) -> None:
    """A library that tells a full disk as a fault of its own is understood."""
    department = SAMPLES / "department"
    places = {
        "DEPARTMENT": department / "department.csv",
        "ROUND": department / "round",
        "RETURNED": department / "returned",
    }
    done = _run(tmp_path, *(str(places.get(word, word)) for word in words), has_room=False)
    assert done.returncode == 2
    assert done.stderr.startswith(f"{place}: the disk is full")
    assert "Traceback" not in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_record_that_finds_no_room_is_not_begun_by_half(tmp_path: Path) -> None:
    """An empty file in the place of a record would be refused from then on."""
    asked = ("record", "import", str(SAMPLES / "decisions.jsonl"), "--record", "new.record")
    done = _run(tmp_path, *asked, has_room=False)
    assert done.returncode == 2
    assert done.stderr.startswith("new.record: ")
    assert "room on the disk" in done.stderr
    assert not list(tmp_path.iterdir())
    assert _run(tmp_path, *asked, has_room=True).returncode == 0
    before = (tmp_path / "new.record").read_bytes()
    done = _run(tmp_path, "record", "export", "--record", "new.record", "--out", "lines.jsonl", has_room=False)
    assert done.returncode == 2
    assert "room on the disk" in done.stderr or "the disk is full" in done.stderr
    assert (tmp_path / "new.record").read_bytes() == before
    assert not (tmp_path / "lines.jsonl").exists()

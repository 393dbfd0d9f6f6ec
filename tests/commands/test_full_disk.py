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
    typed = [word.replace("ROSTER", "roster.csv") for word in words]
    done = subprocess.run(
        [sys.executable, "-m", "marking", *typed],
        cwd=tmp_path,
        env={"PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", "PATH": ""},
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=_without_room,
    )
    assert done.returncode == 2
    assert f"{place}: the disk is full" in done.stderr
    assert "Traceback" not in done.stderr
    assert not [path for path in tmp_path.rglob("*") if path.is_file() and path.name != "roster.csv"]

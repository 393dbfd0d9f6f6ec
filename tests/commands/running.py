"""Runs the program as a teacher or a script would, in a process of its own."""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from marking.__main__ import main

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "samples"
SAMPLE_FOLDERS = sorted(roster.parent.name for roster in SAMPLES.glob("*/roster.csv"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What became of one call."""

    status: int
    out: str
    err: str


def run(*arguments: str, cwd: Path = ROOT, env: Mapping[str, str] | None = None) -> Run:
    """Run ``writeups`` with *arguments* and *env* added to the environment; return what came of it."""
    return run_python("-m", "marking", *arguments, cwd=cwd, env=env)


def run_here(*arguments: str) -> Run:
    """Run ``writeups`` with *arguments* in this process, which saves loading everything anew."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(arguments)
        except SystemExit as end:  # argparse's way to refuse a command line
            status = int(end.code or 0)
    return Run(status=status, out=out.getvalue(), err=err.getvalue())


def run_python(*arguments: str, cwd: Path = ROOT, env: Mapping[str, str] | None = None) -> Run:
    """Run Python with *arguments*, with the program found in *cwd* or else in this copy."""
    path = os.pathsep.join([str(cwd), str(ROOT)])
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": path, **(env or {})},
        capture_output=True,
        encoding="utf-8",
        errors="replace",
        timeout=120,
        check=False,
    )
    return Run(status=done.returncode, out=done.stdout, err=done.stderr)


def heeds_interrupts() -> None:
    """Let a process that is about to start heed Ctrl-C, which what runs in the background inherits as ignored."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def copy_program(folder: Path) -> Path:
    """Copy the program and its samples to *folder*, as someone has them who has just fetched them."""
    for name in ("marking", "reports", "rubrics", "samples"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    return folder


def files_in(folder: Path) -> dict[str, bytes]:
    """Return every file below *folder*: its path and its bytes."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}

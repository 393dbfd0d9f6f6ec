from __future__ import annotations

import os
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from marking.__main__ import EXAMPLES, MORE
from tests.commands.running import copy_program, heeds_interrupts, run

STAYS = "desk"
"""The verb that stays until it is told to end."""
MADE = {"prepare": "10A.xlsx", "mark": "results/class-summary.pdf"}
"""What an example leaves behind, where it leaves anything."""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh copy of the program."""
    return copy_program(tmp_path_factory.mktemp("copy"))


@pytest.mark.parametrize("verb", [verb for verb in EXAMPLES if verb != STAYS])
def test_example_runs_as_written(verb: str, copy: Path) -> None:
    """The example in the help of a verb works in a fresh copy of the program, typed as it stands."""
    program, *arguments = shlex.split(EXAMPLES[verb])
    assert program == "writeups"
    assert arguments[0] == verb
    done = run(*arguments, cwd=copy)
    assert done.status in (0, 1), done.err
    assert "Traceback" not in done.err
    assert done.out
    if verb in MADE:
        assert (copy / MADE[verb]).stat().st_size > 0


def test_the_example_that_stays_opens_as_written(copy: Path) -> None:
    """The desk says its address, and ends in peace when it is told to."""
    program, *arguments = shlex.split(EXAMPLES[STAYS])
    assert program == "writeups"
    command = [sys.executable, "-m", "marking", *arguments, "--no-browser"]
    env = {**os.environ, "PYTHONPATH": str(copy)}
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=copy, env=env, stdout=pipe, text=True, preexec_fn=heeds_interrupts) as desk:
        assert desk.stdout is not None
        try:
            assert "http://127.0.0.1:" in desk.stdout.readline()
            time.sleep(1.0)  # the server takes Ctrl-C once it answers
            desk.send_signal(signal.SIGINT)
            assert desk.wait(timeout=30) == 0
        finally:
            desk.kill()
    assert (copy / "desk.record").stat().st_size > 0


@pytest.mark.parametrize("example", [example for examples in MORE.values() for example in examples])
def test_further_examples_run_as_written(example: str, copy: Path) -> None:
    """So do the further examples, and each file that one names is there afterwards."""
    program, *arguments = shlex.split(example)
    assert program == "writeups"
    assert arguments[0] in MORE
    done = run(*arguments, cwd=copy)
    assert (done.status, done.err) == (0, "")
    made = [word for word in arguments if word.endswith((".pdf", ".csv", ".toml", ".record"))]
    assert made
    assert all((copy / name).stat().st_size > 0 for name in made)

from __future__ import annotations

import os
import shlex
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from marking.__main__ import EXAMPLES, MORE
from tests.commands.running import copy_program, run

MADE = {"prepare": "10A.xlsx", "mark": "results/class-summary.pdf"}
"""What an example leaves behind, where it leaves anything."""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh copy of the program."""
    return copy_program(tmp_path_factory.mktemp("copy"))


STAYS = {"desk"}
"""Verbs that go on until they are stopped."""


@pytest.mark.parametrize("verb", [verb for verb in EXAMPLES if verb not in STAYS])
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


@pytest.mark.parametrize("verb", sorted(STAYS))
def test_example_that_stays_starts_and_stops(verb: str, copy: Path) -> None:
    """It says where it is open, and Ctrl-C closes it without a complaint."""
    command = [sys.executable, "-m", "marking", *shlex.split(EXAMPLES[verb])[1:]]
    env = {**os.environ, "PYTHONPATH": str(copy), "BROWSER": "true"}
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=copy, env=env, stdout=pipe, stderr=pipe, text=True) as process:
        assert process.stdout is not None
        first = process.stdout.readline()
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=60)
    assert "open at http" in first
    assert "Traceback" not in said


@pytest.mark.parametrize("example", [example for examples in MORE.values() for example in examples])
def test_further_examples_run_as_written(example: str, copy: Path) -> None:
    """So do the further examples, and each file that one names is there afterwards."""
    program, *arguments = shlex.split(example)
    assert program == "writeups"
    assert arguments[0] in MORE
    done = run(*arguments, cwd=copy)
    assert (done.status, done.err) == (0, "")
    made = [word for word in arguments if word.endswith((".pdf", ".csv", ".toml"))]
    assert made
    assert all((copy / name).stat().st_size > 0 for name in made)

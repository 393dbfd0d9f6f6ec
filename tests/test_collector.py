"""What the one place that sets Python's cycle collector leaves behind."""

from __future__ import annotations

import subprocess
import sys

import pytest

PROGRAM = """
import atexit, contextlib, sys
from marking.collector import one_command

class Held:
    def __del__(self):
        print("taken apart")

held = Held()
atexit.register(print, "at the end")
with one_command() if sys.argv[1] == "one command" else contextlib.nullcontext():
    print("done")
sys.exit(3)
"""


@pytest.mark.parametrize(("how", "said"), [("one command", ""), ("several", "taken apart\n")])
def test_what_modules_hold_is_left_to_the_system(how: str, said: str) -> None:
    """One command ends without taking apart what is loaded; what waits for the end is done, and the status kept."""
    ended = subprocess.run([sys.executable, "-c", PROGRAM, how], capture_output=True, text=True, check=False)
    assert ended.stdout == f"done\nat the end\n{said}"
    assert ended.returncode == 3

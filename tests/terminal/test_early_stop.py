"""Ctrl-C while the program is still being loaded."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.commands.running import ROOT

_CTRL_C = "import sys; sys.argv = [{!r}]; import marking.early_stop, os, signal; os.kill(os.getpid(), signal.SIGINT)"


@pytest.mark.parametrize("program", ["/usr/bin/writeups", "writeups.exe", "/here/marking/__main__.py"])
def test_a_stop_while_loading_is_one_line(program: str) -> None:
    """No account of the interpreter's own, and the status that shells know."""
    done = _ran(program, signals="signal.default_int_handler")
    assert (done.returncode, done.stderr) == (130, "Stopped.\n")


def test_a_program_that_loads_us_keeps_its_own_ways() -> None:
    """A notebook or a test run is stopped as ever, and a run in the background that ignores Ctrl-C goes on."""
    assert "KeyboardInterrupt" in _ran("/usr/bin/pytest", signals="signal.default_int_handler").stderr
    ignored = _ran("/usr/bin/writeups", signals="signal.SIG_IGN")
    assert (ignored.returncode, ignored.stderr) == (0, "")


def _ran(program: str, *, signals: str) -> subprocess.CompletedProcess[str]:
    words = f"import signal; signal.signal(signal.SIGINT, {signals}); {_CTRL_C.format(program)}"
    return subprocess.run([sys.executable, "-c", words], cwd=ROOT, capture_output=True, text=True, check=False)

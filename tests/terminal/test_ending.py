"""Whatever befalls a run, it ends in one clear line."""

from __future__ import annotations

import pytest

from marking.terminal.ending import NOTHING_DONE, STOPPED, told_in_a_line


def test_a_stop_that_a_library_caught_is_told_as_a_stop(capsys: pytest.CaptureFixture[str]) -> None:
    """Between two lines of a library that catches everything, Ctrl-C comes out as a fault of its own."""
    with told_in_a_line() as ending:
        try:
            raise KeyboardInterrupt
        except BaseException:
            raise KeyError("forward reference not resolved")  # noqa: B904
    assert (ending.status, capsys.readouterr().err) == (NOTHING_DONE, f"{STOPPED}\n")


def test_a_fault_of_the_program_is_told_as_one(capsys: pytest.CaptureFixture[str]) -> None:
    """With what is needed to mend it."""
    with told_in_a_line() as ending:
        raise KeyError("no such thing")
    said = capsys.readouterr().err
    assert ending.status == NOTHING_DONE
    assert "no such thing" in said
    assert said.endswith("This is a fault of the program. Nothing was changed.\n")

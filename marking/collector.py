"""Python's cycle collector, kept from searching where there is nothing to find. The one place that sets it.

Entries and findings refer to nothing that refers back to them. Looking for rings among hundreds of thousands of them,
again and again, would take a third of the time.
"""

from __future__ import annotations

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_resting() -> Iterator[None]:
    """Pause the collector while much is made that lasts."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def leave_alone() -> None:
    """Take all that was made so far out of every later search, in a process that runs one command and ends.

    Elsewhere, as at the desk, nothing is set: what is taken out is never searched again.
    """
    if _IS_ONE_COMMAND:
        gc.freeze()


_IS_ONE_COMMAND: list[bool] = []
_SELDOM = 100_000
"""Objects made and kept between two searches. A class of thirty ends before the first of them, which
would take 20 ms; what is in rings by then, most of it of files of print, is some ten megabytes at most."""


@contextmanager
def one_command() -> Iterator[None]:
    """Say that this process runs one command and ends: nothing is left for the collector at its end."""
    _IS_ONE_COMMAND.append(True)
    before = gc.get_threshold()
    try:
        yield
    finally:
        gc.freeze()
        gc.set_threshold(*before)
        _IS_ONE_COMMAND.clear()


def search_seldom() -> None:
    """Let the collector search seldom from now on, in a process that runs one command: to mark a class that is held."""
    if _IS_ONE_COMMAND:
        gc.set_threshold(_SELDOM, *gc.get_threshold()[1:])


def helps_one_command() -> None:
    """Say that this process helps one that runs one command, and ends with it: it is set as that one is."""
    _IS_ONE_COMMAND.append(True)
    search_seldom()
    atexit.register(gc.freeze)

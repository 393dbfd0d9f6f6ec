"""Python's cycle collector, kept from searching where there is nothing to find. The one place that sets it.

Entries and findings refer to nothing that refers back to them. Looking for rings among hundreds of thousands of them,
again and again, would take a third of the time.
"""

from __future__ import annotations

import atexit
import gc
import sys
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
would take 20 ms, and so does a year: sheets leave no rings at all, and tables few."""


@contextmanager
def one_command() -> Iterator[None]:
    """Say that this process runs one command and ends: at its end nothing is searched or taken apart."""
    _IS_ONE_COMMAND.append(True)
    before = gc.get_threshold()
    try:
        yield
    finally:
        _leave_to_the_system()
        gc.set_threshold(*before)
        _IS_ONE_COMMAND.clear()


def _leave_to_the_system() -> None:
    """Keep whatever modules hold in a ring that nobody searches for any more.

    The interpreter would take it apart piece by piece at its end, which takes a class as long as two sheets; the system
    takes it back at once. All else goes on as ever: what is to be done at the end is done, and what is to be written.
    """
    ring: list[object] = [dict(getattr(module, "__dict__", {})) for module in list(sys.modules.values())]
    ring.append(ring)
    gc.freeze()


def search_seldom() -> None:
    """Let the collector search seldom from now on, in a process that runs one command: to mark a class that is held."""
    if _IS_ONE_COMMAND:
        gc.set_threshold(_SELDOM, *gc.get_threshold()[1:])


def helps_one_command() -> None:
    """Say that this process helps one that runs one command, and ends with it: it is set as that one is."""
    _IS_ONE_COMMAND.append(True)
    search_seldom()
    atexit.register(_leave_to_the_system)

"""Work for the tests: functions that other processes can find."""

from __future__ import annotations

import os
import time
from pathlib import Path


def squared(common: int, number: int) -> tuple[int, int]:
    """Return a square and who worked it out."""
    return common + number * number, os.getpid()


def slow(_: object, seconds: float) -> int:
    """Take a while; return who did."""
    time.sleep(seconds)
    return os.getpid()


def large(_: object, size: int) -> bytes:
    """Return much."""
    return bytes(size)


def refused(_: object, number: int) -> int:
    """Refuse one of the numbers."""
    if number == REFUSED:
        raise ValueError(number)
    return number


REFUSED = 3


def ended(_: object, gone: str) -> str:
    """End the process that does this, unless it was ended so before."""
    if Path(gone).exists():
        return gone
    Path(gone).write_text("", encoding="utf-8")
    os._exit(9)


def ready(_: object, number: int) -> int:
    """Load nothing."""
    return number


def unknown(common: object, number: int) -> int:
    """Load nothing, and find nothing told."""
    assert common is None
    return number


def with_common(common: int, seconds: float) -> tuple[int, int]:
    """Take a while; return what was told, and who did it."""
    time.sleep(seconds)
    return common, os.getpid()

"""How far a long run is, for whoever looks at a terminal; where nobody does, nothing is loaded for it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol


class Bar(Protocol):
    """What is told of every step."""

    def update(self, n: float) -> object:
        """Count *n* more in."""
        ...


class _NoBar:
    """Tells nobody."""

    def update(self, n: float) -> None:
        """Count nothing."""


@contextmanager
def progress(total: int, doing: str, *, after: float = 1.0) -> Iterator[Bar]:
    """Yield what shows how many of *total* students are done, once it takes longer than so many seconds."""
    if not sys.stderr.isatty():
        yield _NoBar()
        return
    from tqdm import tqdm

    with tqdm(total=total, desc=doing, unit=" students", delay=after) as bar:
        yield bar

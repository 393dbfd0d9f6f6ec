"""What was worked out before, kept for the next time, within a bound."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

Value = TypeVar("Value")

MOST_KEPT = 12288
"""Cells that are kept as they were read, twice over at most; bounds the memory."""


class Kept(Generic[Value]):
    """Values by key. When it is full, those go that nobody has asked for since it was full the last time."""

    __slots__ = ("_before", "_most", "_now")

    def __init__(self, most: int = MOST_KEPT) -> None:
        """Hold nothing yet, and *most* values in each of two halves later on."""
        self._most = most
        self._now: dict[Hashable, Value] = {}
        self._before: dict[Hashable, Value] = {}

    def get(self, key: Hashable) -> Value | None:
        """Return the value of *key*; None where there is none any more."""
        found = self._now.get(key)
        if found is None:
            found = self._before.get(key)
            if found is not None:
                self.put(key, found)
        return found

    def put(self, key: Hashable, value: Value) -> None:
        """Keep a value."""
        if len(self._now) >= self._most:
            self._before, self._now = self._now, {}
        self._now[key] = value

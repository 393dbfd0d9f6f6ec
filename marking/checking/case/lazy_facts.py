"""Facts of a finding that are put together only when a sentence asks for them.

A department's year has a million findings, and most of their sentences are never read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping


class Facts(Mapping[str, str]):
    """A read-only mapping that is made at the first look into it."""

    __slots__ = ("_made", "_make")

    def __init__(self, make: Callable[[], Mapping[str, str]]) -> None:
        """Take what makes all facts."""
        self._make: Callable[[], Mapping[str, str]] | None = make
        self._made: Mapping[str, str] = {}

    def _all(self) -> Mapping[str, str]:
        if self._make is not None:
            self._made, self._make = self._make(), None
        return self._made

    def __getitem__(self, key: str) -> str:
        return self._all()[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())

    def __repr__(self) -> str:
        return f"Facts({dict(self._all())!r})"

    def __reduce__(self) -> tuple[type[dict[str, str]], tuple[dict[str, str]]]:
        # What goes to another process goes as it will be read.
        return dict, (dict(self._all()),)

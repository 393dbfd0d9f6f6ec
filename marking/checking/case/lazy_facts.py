"""Facts of a finding that are put together only when a sentence asks for them.

A department's year has a million findings, and most of their sentences are never read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any


class Facts(Mapping[str, str]):
    """A read-only mapping that is made at the first look into it, or in parts, each when it is asked for."""

    __slots__ = ("_few", "_late", "_made", "_make", "_one")

    def __init__(
        self,
        make: Callable[[], Mapping[str, str]],
        few: Callable[[], Mapping[str, str]] | None = None,
        late: frozenset[str] = frozenset(),
        one: Callable[[str], str] | None = None,
    ) -> None:
        """Take what makes all facts, what makes those few that most sentences ask for, and what makes one other.

        *late* names the others, any of which may turn out to be empty: then it is not there.
        """
        self._make: Callable[[], Mapping[str, str]] | None = make
        self._made: Mapping[str, str] = {}
        self._few: Callable[[], Mapping[str, str]] | Mapping[str, str] | None = few
        self._late = late
        self._one = one

    def _all(self) -> Mapping[str, str]:
        if self._make is not None:
            self._made, self._make = self._make(), None
        return self._made

    def _look(self, key: str) -> str | None:
        if self._make is None or self._few is None:
            return self._all().get(key)
        if key in self._late:
            return self._all().get(key) if self._one is None else self._one(key) or None
        if callable(self._few):
            self._few = self._few()
        return self._few.get(key)

    def __getitem__(self, key: str) -> str:
        found = self._look(key)
        if found is None:
            raise KeyError(key)
        return found

    def get(self, key: str, default: Any = None) -> Any:  # noqa: ANN401 (as a mapping has it)
        """Return one fact, *default* where it is not there."""
        found = self._look(key)
        return default if found is None else found

    def __iter__(self) -> Iterator[str]:
        return iter(self._all())

    def __len__(self) -> int:
        return len(self._all())

    def __repr__(self) -> str:
        return f"Facts({dict(self._all())!r})"

    def __reduce__(self) -> tuple[type[dict[str, str]], tuple[dict[str, str]]]:
        # What goes to another process goes as it will be read.
        return dict, (dict(self._all()),)

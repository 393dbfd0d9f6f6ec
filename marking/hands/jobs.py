"""One thing to be done, and what became of it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, Generic, TypeVar

Item = TypeVar("Item")
Done = TypeVar("Done")


class Job(Generic[Done]):
    """Something to be done by whoever has a hand free."""

    def __init__(self, function: Callable[[Any, Item], Done], item: Item, *, is_spare: bool = False) -> None:
        """Nobody has begun it; *is_spare* where nobody waits for it."""
        self.is_spare = is_spare
        self.call: tuple[Callable[[Any, Any], Done], Any] = (function, item)
        self._over = threading.Event()
        self._made: Callable[[], Done] | None = None
        self._error: BaseException | None = None

    @property
    def is_over(self) -> bool:
        """Tell whether it was done, or cannot be."""
        return self._over.is_set()

    def wait(self, seconds: float) -> None:
        """Wait until it is over, but no longer than this."""
        self._over.wait(seconds)

    def do(self, common: object) -> None:
        """Do it here. What goes wrong comes up where the outcome is asked for; a Ctrl-C comes up at once."""
        function, item = self.call
        try:
            done = function(common, item)
        except Exception as error:
            self.failed(error)
        else:
            self.done(lambda: done)

    def done(self, made: Callable[[], Done]) -> None:
        """Keep where to find what became of it."""
        self._made = made
        self._over.set()

    def failed(self, error: BaseException) -> None:
        """Keep why nothing became of it."""
        self._error = error
        self._over.set()

    def outcome(self) -> Done:
        """Return what became of it, once it is over; asked for once."""
        self._over.wait()
        if self._made is None:
            raise self._error or RuntimeError("a job that is over was neither done nor failed")
        return self._made()

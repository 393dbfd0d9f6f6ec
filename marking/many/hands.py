"""Who does the work on the parts of a set: this process alone, or several beside it. The order is that of the parts.

Processes are started anew ('spawn'), as on every system, and know nothing but what they are sent: once what all parts
need, then a part a task. Few parts are under way at a time, so that memory stays flat. A Ctrl-C is this process's to
answer; the others end with it, however it ends.
"""

from __future__ import annotations

import multiprocessing
import os
import pickle
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import connection
from typing import Any, Protocol, TypeVar

from rubrics.faults import InputError

Item = TypeVar("Item")
Done = TypeVar("Done")

UNDER_WAY = 2
"""Tasks a process has or waits for."""
_common: Any = None
"""What all tasks of this process need."""


class Hands(Protocol):
    """Those who do the work."""

    def each(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Iterator[Done]:
        """Yield what *function* makes of each item, with what all of them need as its first argument, in order."""
        ...


class Alone:
    """This process does all of it."""

    def __init__(self, common: object) -> None:
        """Keep what all tasks need."""
        self._common = common

    def each(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Iterator[Done]:
        """Yield what *function* makes of each item, in order."""
        for item in items:
            yield function(self._common, item)


class Processes:
    """Several processes on this machine."""

    def __init__(self, pool: ProcessPoolExecutor, count: int) -> None:
        """Work through *pool*."""
        self._pool, self._count = pool, count

    def each(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Iterator[Done]:
        """Yield what *function* makes of each item, in order.

        Raises:
            InputError: A process was ended from outside.
        """
        waiting: deque[Future[Done]] = deque()
        with _told_if_broken():
            for item in items:
                waiting.append(self._given(function, item))
                if len(waiting) >= UNDER_WAY * self._count:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()

    def begun(
        self,
        function: Callable[[Any, Item], Done],
        items: Iterable[Item],
        then: Callable[[Done], object] | None = None,
    ) -> Iterator[Done]:
        """Give all items out at once; return what yields what became of each, in order.

        Args:
            function: What is done with each item, as in ``each``.
            items: All of them.
            then: Told what became of an item as soon as it is done, in whatever order, from another thread.

        Raises:
            InputError: As above.
        """

        def told(one: Future[Done]) -> None:
            if then is not None and not one.cancelled() and one.exception() is None:
                then(one.result())

        with _told_if_broken():
            given = [self._given(function, item) for item in items]
        for one in given:
            one.add_done_callback(told)
        return self._done(given)

    def _given(self, function: Callable[[Any, Item], Done], item: Item) -> Future[Done]:
        with _interrupts_held():  # a process takes over what is held off while it starts
            return self._pool.submit(_do, function, item)

    def _done(self, given: Iterable[Future[Done]]) -> Iterator[Done]:
        with _told_if_broken():
            for one in given:
                yield one.result()


@contextmanager
def _told_if_broken() -> Iterator[None]:
    try:
        yield
    except BrokenProcessPool as error:
        said = "one of the processes was ended from outside, perhaps for want of memory; nothing was changed"
        raise InputError("--workers", said, "run again, with fewer workers if it happens again") from error


@contextmanager
def hands(common: object, workers: int) -> Iterator[Hands]:
    """Give *workers* pairs of hands that all know *common*; one is this process itself."""
    if workers <= 1:
        yield Alone(common)
        return
    with processes(common, workers) as several:
        yield several


@contextmanager
def processes(common: object, workers: int) -> Iterator[Processes]:
    """Give *workers* processes that all know *common*; they end with the block."""
    pool = ProcessPoolExecutor(
        workers,
        mp_context=multiprocessing.get_context("spawn"),
        initializer=_begin,
        initargs=(pickle.dumps(common),),
    )
    try:
        yield Processes(pool, workers)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begin(common: bytes) -> None:
    """Make a new process ready: it heeds no Ctrl-C, and ends when the process that started it does."""
    global _common
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()
    _common = pickle.loads(common)


def _end_with(sentinel: int) -> None:
    connection.wait([sentinel])
    os._exit(1)


def _do(function: Callable[[Any, Item], Done], item: Item) -> Done:
    return function(_common, item)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    if not hasattr(signal, "pthread_sigmask") or threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)

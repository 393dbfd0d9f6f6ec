"""Other processes on this machine that help this one.

They are started anew ('spawn'), as on every system, and know nothing but what they are told: once what all jobs need,
which they find in a file when they get the first, then a job at a time. They get none before they have loaded what it
takes. A Ctrl-C is for the process that started them to answer; they end with it, however it ends. What they have made
is taken up when its turn comes: until then, much of it waits on the disk, in a folder that nobody else can read.
"""

from __future__ import annotations

import multiprocessing
import os
import pickle
import shutil
import signal
import tempfile
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import partial
from multiprocessing import connection
from pathlib import Path
from typing import Any

from marking.collector import helps_one_command
from marking.hands.jobs import Done, Item, Job
from rubrics.faults import InputError

_common: Any = None
"""What all jobs of this process need."""
_aside: Path | None = None
"""Where this process leaves what is too much to send."""
_COMMON = "common"
"""File in which they find what all jobs need."""
_MUCH = 250_000
"""Bytes from which on something waits on the disk."""


class Helpers:
    """Several of them."""

    def __init__(self, count: int) -> None:
        """Have *count* processes; none is started yet."""
        self.count = count
        self._aside = tempfile.TemporaryDirectory(prefix="writeups-")
        self._pool = ProcessPoolExecutor(
            count,
            mp_context=multiprocessing.get_context("spawn"),
            initializer=_begin,
            initargs=(self._aside.name,),
        )

    def know(self, common: object) -> None:
        """Tell them what all jobs need, before they get any."""
        file = Path(self._aside.name, _COMMON)
        part = file.with_suffix(".part")
        part.write_bytes(pickle.dumps(common))
        part.replace(file)  # whole or not at all: one of them may be looking

    def start(self, load: Callable[[Any, int], object] | None, ready: Callable[[], None]) -> None:
        """Start all of them; *ready* is called for each once *load* is done there.

        Raises:
            InputError: One of them was ended from outside already.
        """
        try:
            with _interrupts_held():  # a process takes over what is held off while it starts
                for number in range(self.count):
                    self._pool.submit(_do, load or _nothing, number).add_done_callback(lambda _: ready())
        except BrokenProcessPool as error:
            raise _ended(error) from error

    def take(self, job: Job[Any], free: Callable[[], None]) -> None:
        """Have a job done by whoever is free first; *free* is called when it is over."""
        try:
            self._pool.submit(_do, *job.call).add_done_callback(lambda one: _told(one, job, free))
        except RuntimeError as error:  # the pool is broken, or closed
            job.failed(_ended(error))

    def stop(self) -> None:
        """Wait until all have ended; what they have not begun is left."""
        self._pool.shutdown(wait=True, cancel_futures=True)
        self._aside.cleanup()


def _told(one: Future[Any], job: Job[Any], free: Callable[[], None]) -> None:
    if one.cancelled():
        return
    error = one.exception()
    if error is None:
        job.done(partial(_taken_up, one.result()))
    else:
        job.failed(_ended(error))
    free()


def _ended(error: BaseException) -> BaseException:
    """Return what to tell of an error: of a process that is gone, what a teacher can do."""
    if not isinstance(error, BrokenProcessPool):
        return error
    said = "one of the processes was ended from outside, perhaps for want of memory; nothing was changed"
    told = InputError("--workers", said, "run again, with fewer workers if it happens again")
    told.__cause__ = error
    return told


def _taken_up(sent: bytes | Path) -> Any:  # noqa: ANN401 - whatever the job made
    """Return what a helper has made."""
    if isinstance(sent, bytes):
        return pickle.loads(sent)
    made = sent.read_bytes()
    sent.unlink()
    return pickle.loads(made)


def _nothing(_: object, number: int) -> int:
    return number


def _begin(aside: str) -> None:
    """Make a new process ready: it heeds no Ctrl-C, and ends when the process that started it does."""
    global _aside
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()
    _aside = Path(aside)
    helps_one_command()


def _end_with(sentinel: int) -> None:
    connection.wait([sentinel])
    if _aside is not None:
        shutil.rmtree(_aside, ignore_errors=True)
    os._exit(1)


def _known() -> Any:  # noqa: ANN401 - whatever jobs need
    """Return what all jobs need; None before it is told."""
    global _common
    if _common is None and _aside is not None and (file := _aside / _COMMON).exists():
        _common = pickle.loads(file.read_bytes())
    return _common


def _do(function: Callable[[Any, Item], Done], item: Item) -> bytes | Path:
    made = pickle.dumps(function(_known(), item))
    if len(made) < _MUCH or _aside is None:
        return made
    number, name = tempfile.mkstemp(dir=_aside)
    with os.fdopen(number, "wb") as file:
        file.write(made)
    return Path(name)


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

"""Work shared out among this process and those that help it. The order is that of the parts.

This process is one pair of hands among them. It gives jobs to helpers that are ready for more and does what is left
itself, so that nobody waits while there is work; with nobody to help it does all of it, one part after the other. Few
parts are under way at a time, so that memory stays flat.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any, Generic, Protocol

from marking.hands.jobs import Done, Item, Job

if TYPE_CHECKING:  # who works alone starts no processes
    from marking.hands.helpers import Helpers

UNDER_WAY = 2
"""Jobs a helper has or waits for."""
AHEAD = 2
"""Parts that may be under way or done before their turn, beside those that helpers have: one that this process works
on, and one that it finds when it is done."""

PATIENCE = 0.02
"""Seconds that this process waits before it begins spare work: what a helper is at often takes longer than that."""
LEFT = 12
"""Of so many jobs one is left to each helper as the last, while this process ends what it alone can do."""


class Hands(Protocol):
    """Those who do the work."""

    def each(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Iterator[Done]:
        """Yield what *function* makes of each item, with what all of them need as its first argument, in order."""
        ...


class Begun(Generic[Done]):
    """Jobs that were given out all at once, while this process goes on with something else."""

    def __init__(self, jobs: Sequence[Job[Done]], those: Shared) -> None:
        """Keep them; *those* do them."""
        self.jobs, self._those = jobs, those

    def all(self) -> Iterator[Done]:
        """Yield all of it, in order; what nobody has begun yet is done here.

        Raises:
            InputError: A helper was ended from outside.
        """
        jobs, self.jobs = self.jobs, []
        return map(self._those.finished, jobs)

    def most(self) -> Iterator[Done]:
        """Yield what is done once nothing is left to begin here; the last of it is with helpers, and ``all`` has it.

        Raises:
            InputError: A helper was ended from outside.
        """
        self._those.leave_last(len(self.jobs))
        over = [job for job in self.jobs if job.is_over]
        self.jobs = [job for job in self.jobs if job not in over]
        return map(self._those.finished, over)


class Shared:
    """This process, and perhaps others on this machine that help it."""

    def __init__(self, common: object, helpers: Helpers | None = None) -> None:
        """Have all jobs done with *common*, by this process and *helpers*."""
        self._common, self._helpers = common, helpers
        self._next: deque[Job[Any]] = deque()
        """Parts that somebody waits for."""
        self._spare: deque[Job[Any]] = deque()
        """What is done where there is nothing else to do."""
        self._lock = threading.Lock()
        self._places = 0
        """Jobs that helpers can be given now."""
        self._spare_out = 0
        """Jobs that they have of those for which nobody waits."""

    def know(self, common: object) -> None:
        """Have all jobs from now on done with *common*; none was given out before."""
        self._common = common
        if self._helpers is not None:
            self._helpers.know(common)

    def each(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Iterator[Done]:
        """Yield what *function* makes of each item, in order.

        Raises:
            InputError: A helper was ended from outside.
        """
        most = UNDER_WAY * self._helpers.count + AHEAD if self._helpers is not None else 1
        ahead: deque[Job[Done]] = deque()
        for item in items:
            ahead.append(Job(function, item))
            self._next.append(ahead[-1])
            del item  # it goes with its job
            self._give()
            while ahead and (len(ahead) >= most or ahead[0].is_over):
                yield self.finished(ahead.popleft())
        while ahead:
            yield self.finished(ahead.popleft())

    def begun(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Begun[Done]:
        """Have *function* done with each item by whoever has nothing else to do; return what knows of the outcome."""
        jobs: list[Job[Done]] = [Job(function, item, is_spare=True) for item in items]
        self._spare += jobs
        self._give()
        return Begun(jobs, self)

    def finished(self, job: Job[Done]) -> Done:
        """Return what becomes of a job; until it is done this process does others.

        It does not begin spare work, which may be long, before it has waited a little for what is soon there.

        Raises:
            InputError: A helper was ended from outside.
        """
        while not job.is_over:
            if not (self._next or job.is_spare):
                job.wait(PATIENCE)
            other = None if job.is_over else self._taken(for_helper=False)
            if other is None:
                break
            other.do(self._common)
        return job.outcome()

    def leave_last(self, count: int) -> None:
        """Do spare work here, of which there were *count* jobs, and leave the last of it to helpers."""
        helpers = self._helpers
        left = count * helpers.count // LEFT if helpers is not None else 0
        while len(self._spare) > left and (job := self._taken(for_helper=False)) is not None:
            job.do(self._common)
        while helpers is not None and (last := self._handed_over()) is not None:
            helpers.take(last, partial(self._is_free, last))

    def _handed_over(self) -> Job[Any] | None:
        """Take spare work for a helper, however much it has."""
        with self._lock:
            if not self._spare:
                return None
            self._places -= 1
            self._spare_out += 1
            return self._spare.popleft()

    def start(self, load: Callable[[Any, int], object] | None) -> None:
        """Start the helpers; each gets work once it has done *load*, which loads what its work needs."""
        if self._helpers is not None:
            self._helpers.start(load, lambda: self._is_free(None))

    def stop(self) -> None:
        """Give out nothing more, and wait until the helpers have ended."""
        with self._lock:
            self._next.clear()
            self._spare.clear()
        if self._helpers is not None:
            self._helpers.stop()

    def _give(self) -> None:
        """Give helpers what they can take."""
        while self._helpers is not None and (job := self._taken(for_helper=True)) is not None:
            self._helpers.take(job, partial(self._is_free, job))

    def _is_free(self, job: Job[Any] | None) -> None:
        """Give helpers more, now that *job* is over; a whole helper's worth where there was none before."""
        with self._lock:
            self._places += UNDER_WAY if job is None else 1
            self._spare_out -= job is not None and job.is_spare
        self._give()

    def _taken(self, *, for_helper: bool) -> Job[Any] | None:
        """Take what waits the longest of what somebody waits for, else of the rest; None where there is nothing.

        What somebody waits for is not put behind work that can wait.
        """
        with self._lock:
            queue = self._next or self._spare
            if not queue or (for_helper and self._places <= (self._spare_out if self._next else 0)):
                return None
            job = queue.popleft()
            if for_helper:
                self._places -= 1
                self._spare_out += job.is_spare
            return job


@contextmanager
def hands(common: object, workers: int, load: Callable[[Any, int], object] | None = None) -> Iterator[Shared]:
    """Give this process and *workers* - 1 others that all know *common*; the others end with the block.

    Args:
        common: What every job gets as its first argument; None where it is not known yet, or there is nothing.
        workers: How many processes share the work.
        load: What another process does before it gets work.
    """
    helpers = None
    if workers > 1:
        from marking.hands.helpers import Helpers

        helpers = Helpers(workers - 1)
    those = Shared(None, helpers)
    try:
        if common is not None:
            those.know(common)
        those.start(load)
        yield those
    finally:
        those.stop()

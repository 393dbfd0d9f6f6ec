"""Parts of a set given to other machines: an existing Dask scheduler hands them out, one part a task.

What all parts need goes there once, as a task of its own, so that the scheduler can make it anew where a machine that
held it is gone. A part whose worker dies is given to another worker. The order is that of the parts, as always.
"""

from __future__ import annotations

import logging
import pickle
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from rubrics.faults import InputError, WriteupsError

Item = TypeVar("Item")
Done = TypeVar("Done")

PATIENCE = 20
"""Seconds in which a scheduler and its first worker have to answer."""
TRIES = 3
"""How often a part is given to another worker."""


class Cluster:
    """The workers of a Dask scheduler."""

    def __init__(self, client: Any, common: object) -> None:  # noqa: ANN401 - the library has no types
        """Send what all tasks need."""
        self._client = client
        self._common = client.submit(pickle.loads, pickle.dumps(common), pure=False)

    def each(self, function: Callable[[Any, Item], Done], items: Iterable[Item]) -> Iterator[Done]:
        """Yield what *function* makes of each item, in order.

        Raises:
            InputError: Workers died again and again, or the scheduler is gone.
        """
        room = 2 * max(1, sum(self._client.nthreads().values()))
        waiting: deque[Any] = deque()
        try:
            for item in items:
                waiting.append(self._client.submit(function, self._common, item, pure=False, retries=TRIES))
                if len(waiting) >= room:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
        except WriteupsError:
            raise
        except Exception as error:
            said = f"the cluster could not finish ({type(error).__name__}); nothing was changed"
            raise InputError("--cluster", said, "look at its workers, and run again") from error
        finally:
            for one in waiting:
                one.cancel()


@contextmanager
def cluster(common: object, address: str, program: str) -> Iterator[Cluster]:
    """Give the workers of the scheduler at *address*, all of whom have *program*, this version of the program.

    Raises:
        InputError: Nobody answers there, or a worker has another version.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise InputError("--cluster", "needs the extra 'cluster'", "pip install 'writeups[cluster]'") from error
    # What befalls a worker is the scheduler's to mend; here it is told once, in a line of our own.
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    try:
        client: Any = Client(address, timeout=PATIENCE, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, TimeoutError, ValueError) as error:
        raise InputError(address, "no scheduler answers there", "start one, or check the address") from error
    try:
        _check(client, address, program)
        yield Cluster(client, common)
    finally:
        client.close(timeout=PATIENCE)


def _check(client: Any, address: str, program: str) -> None:  # noqa: ANN401 - as above
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
        versions = set(client.run(version_there).values())
    except TimeoutError as error:
        raise InputError(address, "the scheduler there has no worker", "start one or more") from error
    except Exception as error:
        raise InputError(address, "a worker there does not have this program", "install it there") from error
    if versions != {program}:
        said = f"workers there have version {', '.join(sorted(versions))} of the program, not {program}"
        raise InputError(address, said, "install the same version everywhere")


def version_there() -> str:
    """Return which version of the program a worker has."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("writeups")
    except PackageNotFoundError:
        return "not installed"

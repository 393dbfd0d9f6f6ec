"""How a run ends, whatever befalls it: one clear line and an exit status, and nothing half done."""

from __future__ import annotations

import contextlib
import errno
import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

DONE, NOTHING_DONE = 0, 2
STOPPED = "Stopped. What stood in the place of the results stands there still, or all of the new ones do."
_FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
_STOPPING = ("SIGINT", "SIGTERM", "SIGHUP")
"""Signals that end a run, with what is half made tidied away. A run in the background may ignore the first."""


class Ending:
    """What became of a run; no record like the others, for ``--help`` loads no library of records.

    Attributes:
        status: What the shell is told.
        where: Where it writes, as the person named it.
    """

    __slots__ = ("status", "where")

    def __init__(self) -> None:
        self.status = NOTHING_DONE
        self.where = ""


@contextmanager
def told_in_a_line() -> Iterator[Ending]:
    """Run the block; whatever it raises is told in a line, and the status says that nothing was done."""
    ending = Ending()
    with _stoppable():
        try:
            yield ending
        except KeyboardInterrupt:
            _say(STOPPED)
        except BrokenPipeError:
            # Whoever read the output has gone; without this the interpreter complains once more at the end.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            ending.status = DONE
        except OSError as error:
            _say(disk_words(error, ending.where))
        except Exception as error:
            _say(_words_of(error, ending.where))


def _full_disk_behind(error: BaseException | None) -> OSError | None:
    """Return the full disk that *error* is, or that a library told as a fault of its own; None for any other."""
    return next((one for one in _behind(error) if isinstance(one, OSError) and one.errno in _FULL), None)


def _words_of(error: Exception, out: str) -> str:
    found = list(_behind(error))
    if any(isinstance(one, KeyboardInterrupt) for one in found):
        return STOPPED
    # A full disk that a library told as a fault of its own is a full disk all the same.
    full = _full_disk_behind(error)
    if full is not None:
        return disk_words(full, out)
    # Loaded only where something has gone wrong: help and the like come without any of the rooms.
    import traceback

    from rubrics.faults import WriteupsError

    if isinstance(error, WriteupsError):
        return str(error)

    return f"{''.join(traceback.format_exception(error))}This is a fault of the program. Nothing was changed."


def _behind(error: BaseException | None) -> Iterator[BaseException]:
    """Yield *error*, what it was raised from, and so on: a library tells a Ctrl-C as a fault of its own."""
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def disk_words(error: OSError, out: str) -> str:
    """Return the line that tells what the disk refused.

    Args:
        error: What it said.
        out: Where something was to be written, as the person knows the place.
    """
    where = out if error.errno in _FULL and out else error.filename or out or "The output"
    if error.errno in _FULL:
        return f"{where}: the disk is full. Nothing was changed. Make room, or name another place."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return f"{where}: may not be written. Nothing was changed. Close what is open from it, or name another place."
    return f"{where}: {error.strerror or error}. Nothing was changed."


def _say(words: str) -> None:
    with contextlib.suppress(OSError):
        print(words, file=sys.stderr)


@contextmanager
def _stoppable() -> Iterator[None]:
    """Let the signals that end a program end it in good order."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    numbers = [getattr(signal, name) for name in _STOPPING if hasattr(signal, name)]
    before = {number: signal.getsignal(number) for number in numbers}
    quiet = sys.unraisablehook
    # A file that could not be written complains once more when it is thrown away; it has been told already.
    sys.unraisablehook = lambda _: None
    for number in numbers:
        if before[number] is not signal.SIG_IGN or number != signal.SIGINT:
            signal.signal(number, signal.default_int_handler)
    try:
        yield
    finally:
        sys.unraisablehook = quiet
        for number, handler in before.items():
            if handler is not None:
                signal.signal(number, handler)

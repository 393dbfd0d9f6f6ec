"""Ctrl-C while the program still loads: one line instead of the interpreter's own account of where it was.

Imported before anything else by ``marking/__main__.py``. Once a verb runs, ``marking.terminal.ending`` takes over.

What the interpreter does before it comes to us nobody's program can cover: for some 12 ms of work (18 ms from the
start, less the first 6, in which Ctrl-C ends it without a word; measured with Python 3.11) its own lines are shown.
"""

import os
import signal
import sys

_LINE = b"Stopped.\n"
_STATUS = 130
"""As a shell has it for a program that Ctrl-C ended."""


def _stop(*_: object) -> None:
    os.write(2, _LINE)
    os._exit(_STATUS)


def _is_this_program() -> bool:
    folder, name = os.path.split(sys.argv[0])
    return name.partition(".")[0] == "writeups" or (name == "__main__.py" and os.path.split(folder)[1] == "marking")


# Where another program has loaded us, its own handler stays; so does one that lets Ctrl-C pass.
if _is_this_program() and signal.getsignal(signal.SIGINT) is signal.default_int_handler:
    signal.signal(signal.SIGINT, _stop)

"""One writer at a time: who writes to a file or a folder holds it, by a name that others are told.

The lock is the system's own, so it ends with the process that holds it, however that ends. What such a process
left half made is removed by the next one that writes there, or beside it.
"""

from __future__ import annotations

import contextlib
import getpass
import os
import platform
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from rubrics.faults import InputError

PART = ".writeups-part"
"""Ending of what is half made; it is readable by its owner alone."""
_PART_OF = re.compile(rf"\.(?P<name>.+)\.[^.]+{re.escape(PART)}", re.DOTALL)
_LONGEST_HOLDER = 200
_held: set[Path] = set()
"""What this process holds; a second hold inside the first is the same one."""


@contextmanager
def held(target: Path) -> Iterator[None]:
    """Hold *target*, a file or folder that is about to be written, until the end of the block.

    What earlier runs left half made there, or beside it, is put right first: old results come back, the rest goes.
    Where the folder above is not there yet, nobody else can be writing in it, and nothing is held.

    Raises:
        InputError: Somebody else is writing to it, or it is the root of a disk.
    """
    target = resolved(target)
    if target in _held or not target.parent.is_dir():
        yield
        return
    lock, holder = _lock(target), _beside(target, "holder")
    try:
        lock.acquire()
    except Timeout as error:
        mend = "wait until that is done, or name another place"
        raise InputError(target.name, f"{_said_by(holder)} is writing here", mend) from error
    _held.add(target)
    try:
        with contextlib.suppress(OSError):
            holder.write_text(_myself(), encoding="utf-8")
        put_right(target)
        _mend_others(target)
        yield
    finally:
        _held.discard(target)
        holder.unlink(missing_ok=True)
        # Removed while it is still held: whoever waits for the file that was here finds it gone, and starts anew.
        with contextlib.suppress(OSError):
            Path(lock.lock_file).unlink()
        lock.release()


def resolved(target: Path) -> Path:
    """Return *target* without '..' and links, so that it has a name of its own to build others from.

    Raises:
        InputError: It is the root of a disk.
    """
    target = target.resolve()
    if not target.name:
        raise InputError(str(target), "this is not a folder of results", "name a new folder after --out")
    return target


def before_of(target: Path) -> Path:
    """Return where the old folder stands while the new one takes its place."""
    return _beside(target, "before")


def new_part(target: Path, *, is_folder: bool) -> Path:
    """Return a new file or folder beside *target* to write in, of this run alone, readable by its owner alone."""
    if is_folder:
        return Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=PART, dir=target.parent))
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=PART, dir=target.parent)
    os.close(handle)
    return Path(name)


def put_right(target: Path) -> None:
    """Put right what a run that was cut off left of *target*, which has to be held."""
    before = before_of(target)
    if before.exists():
        if target.exists():
            remove(before)
        else:
            before.rename(target)
    for part in _parts(target.parent):
        if _name_in(part) == target.name:
            remove(part)
    remove(_beside(target, "part"))  # as it was called before every run had one of its own


def remove(path: Path) -> None:
    """Remove a file or a folder, as far as the system lets us."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
    else:
        with contextlib.suppress(OSError):
            path.unlink()


def usual_mode(*, is_folder: bool) -> int:
    """Return the mode that a new file or folder has where nobody asks for another."""
    mask = os.umask(0)
    os.umask(mask)
    return (0o777 if is_folder else 0o666) & ~mask


def _mend_others(target: Path) -> None:
    names = {_name_in(part) for part in _parts(target.parent)} - {target.name}
    for other in sorted(target.with_name(name) for name in names):
        if other in _held:
            continue
        lock = _lock(other)
        try:
            lock.acquire()
        except (Timeout, OSError):
            continue  # it is being written, or is none of ours to touch
        try:
            put_right(other)
            _beside(other, "holder").unlink(missing_ok=True)
        finally:
            with contextlib.suppress(OSError):
                Path(lock.lock_file).unlink()
            lock.release()


def _parts(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.iterdir() if _PART_OF.fullmatch(path.name))
    except OSError:
        return []


def _name_in(part: Path) -> str:
    found = _PART_OF.fullmatch(part.name)
    return found["name"] if found else ""


def _lock(target: Path) -> FileLock:
    return FileLock(_beside(target, "lock"), timeout=0, thread_local=False)


def _beside(target: Path, word: str) -> Path:
    return target.with_name(f".{target.name}.{word}")


def _myself() -> str:
    try:
        who = getpass.getuser()
    except (KeyError, OSError):
        who = "somebody"
    return f"{who} on {platform.node()} (process {os.getpid()}, since {time.strftime('%H:%M')})"


def _said_by(holder: Path) -> str:
    try:
        with holder.open(encoding="utf-8", errors="replace") as file:
            said = file.read(_LONGEST_HOLDER)
    except OSError:
        said = ""
    return " ".join(said.split()) or "another run"

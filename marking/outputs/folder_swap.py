"""A folder of results is complete or absent: a new one is built beside the old one and takes its place."""

from __future__ import annotations

import contextlib
import hashlib
import json
import shutil
import signal
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from marking.outputs.folder_lock import before_of, held, new_part, remove, resolved, usual_mode
from rubrics.faults import InputError

OURS = "run.json"
"""Stands in every folder that we made; a folder without it is somebody else's."""
KEPT = "kept"
"""Where, in a folder of results, files stay that a person put there or changed."""
_OPEN_ELSEWHERE = ("~$", ".~lock.")
"""How spreadsheet programs mark a file that somebody has open."""
_NOT_OURS = "this is not a folder of results"
_NAME_ANOTHER = "name a new folder after --out"


@contextmanager
def replaced_folder(folder: Path) -> Iterator[Path]:
    """Give an empty folder to write in, which takes the place of *folder* when all went well.

    A swap that an earlier run left half done is mended first. On any failure the old folder stays. Files in it that
    we did not write, or that were changed since, are taken over into a folder ``kept``.

    Raises:
        InputError: *folder* holds something that this program did not make, is being written by somebody else, or
            holds a workbook that somebody has open.
    """
    folder = resolved(folder)
    if folder.exists() and not is_ours(folder):
        raise InputError(folder.name, _NOT_OURS, _NAME_ANOTHER)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with held(folder):
        _refuse_open(folder)
        part = new_part(folder, is_folder=True)
        try:
            yield part
            _take_over(folder, part)
            _refuse_open(folder)
            with _undisturbed():
                _swap(part, folder)
        finally:
            remove(part)
            before = before_of(folder)
            if before.exists() and not folder.exists():
                before.rename(folder)


def is_ours(folder: Path) -> bool:
    """Tell whether a folder is one that we made, or is empty."""
    return folder.is_dir() and ((folder / OURS).is_file() or not any(folder.iterdir()))


def written_files(folder: Path) -> dict[str, str]:
    """Return every file below *folder* but the account of the run, with its SHA-256."""
    return {
        path.relative_to(folder).as_posix(): _digest(path)
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path != folder / OURS
    }


def changed_by_hand(folder: Path) -> tuple[str, ...]:
    """Return the files in a folder of results that are not as we wrote them, and those we never wrote.

    Empty where the folder does not say what was written to it.
    """
    wrote = _wrote(folder)
    return () if wrote is None else tuple(name for name, sha in written_files(folder).items() if wrote.get(name) != sha)


def _wrote(folder: Path) -> Mapping[str, str] | None:
    try:
        account = json.loads((folder / OURS).read_text(encoding="utf-8"))
        wrote = account["wrote"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return wrote if isinstance(wrote, dict) else None


def _take_over(folder: Path, part: Path) -> None:
    names = changed_by_hand(folder) if folder.exists() else ()
    # What was kept before keeps its name.
    for name in sorted(names, key=lambda name: not name.startswith(f"{KEPT}/")):
        kept = part / (name if name.startswith(f"{KEPT}/") else f"{KEPT}/{name}")
        kept.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(folder / name, _free(kept))


def _free(path: Path) -> Path:
    number = 2
    free = path
    while free.exists():
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return free


def _refuse_open(folder: Path) -> None:
    """Refuse to take a workbook away from under somebody's hands: what was typed since would be lost.

    Raises:
        InputError: A spreadsheet program has left its mark beside a file of the folder.
    """
    if not folder.is_dir():
        return
    for path in sorted(folder.iterdir()):
        if path.name.startswith(_OPEN_ELSEWHERE):
            said = "a workbook in this folder is open in a spreadsheet program"
            mend = f"save and close it, and run again; if nobody has it open, delete {path.name}"
            raise InputError(folder.name, said, mend)


def _swap(part: Path, folder: Path) -> None:
    mode = folder.stat().st_mode & 0o777 if folder.exists() else usual_mode(is_folder=True)
    if folder.exists():
        folder.rename(before_of(folder))
    part.rename(folder)
    folder.chmod(mode)
    remove(before_of(folder))


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Keep an interrupt from falling between the two steps of a swap; what it would stop is all but done."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    numbers = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.signal(number, _wait) for number in numbers}
    try:
        yield
    finally:
        for number, handler in before.items():
            with contextlib.suppress(TypeError):  # a handler that was not set from Python cannot be put back
                signal.signal(number, handler)


def _wait(number: int, frame: FrameType | None) -> None:
    del number, frame


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()

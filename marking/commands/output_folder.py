"""Outputs are complete or absent: a new folder is built beside the old one and swapped in."""

from __future__ import annotations

import hashlib
import re
import shutil
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from rubrics.faults import InputError

OURS = "run.json"
"""Stands in every folder that we made; a folder without it is somebody else's."""
LONGEST_NAME = 40
_SAFE = re.compile(r"[^A-Za-z0-9_-]+")
_RESERVED = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10))}


@contextmanager
def replaced_folder(folder: Path) -> Iterator[Path]:
    """Give an empty folder to write in, which takes the place of *folder* when all went well.

    A swap that an earlier run left half done is mended first. On any failure the old folder stays.

    Raises:
        InputError: *folder* holds something that this program did not make.
    """
    mend_swap(folder)
    folder, part, before = _places(folder)
    if folder.exists() and not _is_ours(folder):
        raise InputError(folder.name, "this is not a folder of results", "name a new folder after --out")
    folder.parent.mkdir(parents=True, exist_ok=True)
    part.mkdir()
    try:
        yield part
        if folder.exists():
            folder.rename(before)
        part.rename(folder)
        shutil.rmtree(before, ignore_errors=True)
    finally:
        shutil.rmtree(part, ignore_errors=True)
        if before.exists() and not folder.exists():
            before.rename(folder)


def mend_swap(folder: Path) -> None:
    """Put right what a run that was cut off left beside *folder*: the old results come back, half-made ones go.

    Raises:
        InputError: *folder* is the root of a disk.
    """
    folder, part, before = _places(folder)
    if before.exists():
        if folder.exists():
            shutil.rmtree(before)
        else:
            before.rename(folder)
    if part.exists():
        shutil.rmtree(part)


def _places(folder: Path) -> tuple[Path, Path, Path]:
    # Without '..' and links, so that the folder has a name of its own to build the others from.
    folder = folder.resolve()
    if not folder.name:
        raise InputError(str(folder), "this is not a folder of results", "name a new folder after --out")
    return folder, folder.with_name(f".{folder.name}.part"), folder.with_name(f".{folder.name}.before")


def _is_ours(folder: Path) -> bool:
    return folder.is_dir() and ((folder / OURS).is_file() or not any(folder.iterdir()))


def file_names(codes: Sequence[str]) -> dict[str, str]:
    """Return a file name, without ending, for each student code: the code itself wherever every system takes it.

    Other codes keep their safe letters and get a short hash of the whole, and so do codes that some
    systems would take for one file.
    """
    folded: dict[str, int] = {}
    for code in codes:
        key = unicodedata.normalize("NFKC", code).casefold()
        folded[key] = folded.get(key, 0) + 1
    names = {}
    for code in codes:
        safe = _SAFE.sub("", code)[:LONGEST_NAME]
        alone = folded[unicodedata.normalize("NFKC", code).casefold()] == 1
        plain = safe == code and safe.casefold() not in _RESERVED and not safe.startswith("-") and alone
        names[code] = (
            code if plain else f"{safe or 'student'}-{hashlib.sha256(code.encode()).hexdigest()[:8]}".lstrip("-")
        )
    return names


def put_file(path: Path, data: bytes) -> None:
    """Put *data* at *path* in one step, so that an older file is whole until the new one is.

    Raises:
        OSError: *path* cannot be written to.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(path.name + ".part")
    try:
        part.write_bytes(data)
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise

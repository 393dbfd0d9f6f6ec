"""Single files, put in place in one step; what a person may have filled in is never written over unasked."""

from __future__ import annotations

import filecmp
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path

from msgspec import Struct

from marking.outputs.folder_lock import held, new_part, remove, resolved, usual_mode
from rubrics.faults import InputError

_MOST_NAMED = 3
_OUR_PAPER = b"(writeups)"
"""Stands in every PDF that we set, as its author; nothing is filled in on a paper that can be printed again."""
_READ_OF_PAPER = 4_000_000


class Put(Struct, frozen=True, kw_only=True):
    """One file to write."""

    path: Path
    write: Callable[[Path], object]
    """Writes the file to the path it is given."""


def put_all(files: Sequence[Put], *, replace: bool) -> None:
    """Write *files*, all or, where one of them stands there already, none.

    A file that would stay the same byte for byte is left alone, and so nothing is refused over it; a paper (PDF) that
    this program set itself is replaced.

    Args:
        files: What to write.
        replace: Whether other files that are there already may be written over.

    Raises:
        InputError: Something is there that a person may have filled in, or somebody else is writing there.
        OSError: It cannot be written.
    """
    parts: list[tuple[Path, Path]] = []
    with ExitStack() as stack:
        for file in files:
            path = resolved(file.path)
            path.parent.mkdir(parents=True, exist_ok=True)
            stack.enter_context(held(path))
        try:
            for file in files:
                path = resolved(file.path)
                parts.append((new_part(path, is_folder=False), path))
                file.write(parts[-1][0])
            wanted = [(part, path) for part, path in parts if not _is_same(part, path)]
            if not replace:
                _refuse([path for _, path in wanted if path.exists() and not _is_our_paper(path)])
            for part, path in wanted:
                part.chmod(path.stat().st_mode & 0o777 if path.exists() else usual_mode(is_folder=False))
                part.replace(path)
        finally:
            for part, _ in parts:
                remove(part)


def put_file(path: Path, data: bytes, *, replace: bool = False) -> None:
    """Put *data* at *path* in one step, so that an older file is whole until the new one is.

    Raises:
        InputError: Another file stands there already, and *replace* is not set.
        OSError: *path* cannot be written to.
    """
    put_all([Put(path=path, write=lambda part: _put(part, data))], replace=replace)


def _put(part: Path, data: bytes) -> None:
    part.write_bytes(data)


def _is_same(part: Path, path: Path) -> bool:
    return path.is_file() and filecmp.cmp(part, path, shallow=False)


def _is_our_paper(path: Path) -> bool:
    if path.suffix.lower() != ".pdf" or not path.is_file():
        return False
    with path.open("rb") as file:
        data = file.read(_READ_OF_PAPER)
    return data.startswith(b"%PDF") and b"/Author " + _OUR_PAPER in data


def _refuse(there: Sequence[Path]) -> None:
    if not there:
        return
    names = ", ".join(path.name for path in there[:_MOST_NAMED])
    more = f" and {len(there) - _MOST_NAMED} more" if len(there) > _MOST_NAMED else ""
    where = there[0].name if len(there) == 1 else there[0].parent.name
    said = (
        "is there already, and it may be filled in"
        if len(there) == 1
        else f"{names}{more} are there already, and may be filled in"
    )
    raise InputError(where, said, "choose another name, or add --replace where it is meant")

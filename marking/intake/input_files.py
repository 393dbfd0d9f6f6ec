"""Which files a call's inputs come to, and what messages call them."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from marking.intake.files import SPREADSHEET_SUFFIXES
from marking.intake.forms import TRIAL_FILES
from marking.intake.people import ROSTER_FILE

_LOCK_PREFIXES = ("~$", ".~lock.", "._")
"""Files that programs leave beside an open or copied workbook; no one's work is in them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InputFile:
    """One file to read."""

    path: Path
    name: str
    """Without its folder, or below the folder that was given."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InputFiles:
    """The files that were given, or found in the folders that were given."""

    files: tuple[InputFile, ...]
    rosters: tuple[InputFile, ...]
    trials: tuple[InputFile, ...]
    """Trial values of the technician."""
    empty_folders: tuple[str, ...]
    """Folders in which there was nothing to read."""


def list_inputs(paths: Sequence[Path]) -> InputFiles:
    """Return the files to read, folders opened up, each file once and the folders' files in order of name."""
    files: dict[Path, str] = {}
    rosters: dict[Path, str] = {}
    trials: dict[Path, str] = {}
    empty = []
    for path in paths:
        if not path.is_dir():
            files.setdefault(path.resolve(), path.name)
            for beside in _rosters_beside(path):
                rosters.setdefault(beside.resolve(), beside.name)
            continue
        found = _walk(path)
        if not found:
            empty.append(path.name or str(path))
        for inside, name in found:
            word = inside.name.casefold()
            group = rosters if word == ROSTER_FILE else trials if word in TRIAL_FILES else files
            group.setdefault(inside.resolve(), name)
    return InputFiles(files=_named(files), rosters=_named(rosters), trials=_named(trials), empty_folders=tuple(empty))


def _rosters_beside(path: Path) -> list[Path]:
    """Return the roster that lies beside a file, as it would serve the file's whole folder."""
    if not path.is_file():
        return []
    return [one for one in sorted(path.parent.iterdir()) if one.name.casefold() == ROSTER_FILE and one != path]


def _walk(folder: Path) -> list[tuple[Path, str]]:
    found = []
    for top, _, names in os.walk(folder):
        for name in names:
            path = Path(top) / name
            if name.startswith(_LOCK_PREFIXES) or path.suffix.lower() not in SPREADSHEET_SUFFIXES:
                continue
            found.append((path, path.relative_to(folder).as_posix()))
    return sorted(found, key=lambda pair: pair[1])


def _named(files: dict[Path, str]) -> tuple[InputFile, ...]:
    # Two files of one name from two folders are told apart by their folders.
    counts = Counter(files.values())
    return tuple(
        InputFile(path=path, name=name if counts[name] == 1 else f"{path.parent.name}/{name}")
        for path, name in files.items()
    )

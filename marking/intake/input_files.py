"""Which files a call's inputs come to, and what messages call them."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct, field

from marking.intake.files import SPREADSHEET_SUFFIXES
from marking.intake.forms import TRIAL_FILES
from marking.intake.ours import MARKS_FILE, is_results_folder
from marking.intake.people import ROSTER_FILE
from rubrics.patterns import late_pattern

_LOCK_PREFIXES = ("~$", ".~lock.", "._")
"""Files that programs leave beside an open or copied workbook; no one's work is in them."""
_DRIVE = late_pattern(r"(?P<letter>[A-Za-z]):/(?P<rest>.*)")


class InputFile(Struct, frozen=True, kw_only=True):
    """One file to read."""

    path: Path
    name: str
    """Without its folder, or below the folder that was given."""


class Beside(Struct, frozen=True, kw_only=True):
    """What lies beside the inputs without having been named."""

    rosters: tuple[InputFile, ...] = ()
    trials: tuple[InputFile, ...] = ()


class InputFiles(Struct, frozen=True, kw_only=True):
    """The files that were given, or found in the folders that were given."""

    files: tuple[InputFile, ...]
    rosters: tuple[InputFile, ...]
    trials: tuple[InputFile, ...]
    """Trial values of the technician."""
    beside: Beside
    """A roster and trial values that lie beside an input, where none was among the inputs."""
    empty_folders: tuple[str, ...]
    """Folders in which there was nothing to read."""
    passed_over: tuple[str, ...] = ()
    """Folders of our own results that lay among the inputs."""
    results: tuple[InputFile, ...] = ()
    """Workbooks of marks in folders of results that were named as inputs: only what is typed there is read."""


def path_here(path: Path) -> Path:
    r"""Return *path*, or where it is a path of Windows that means nothing here the same with slashes: class\10A.xlsx.

    A drive is looked for where Linux on Windows has it. What is found in neither way comes back as it was written.
    """
    text = str(path).strip("\"'")
    if os.path.lexists(path) or "\\" not in text:
        return path
    plain = Path(text.replace("\\", "/"))
    drive = _DRIVE.fullmatch(plain.as_posix())
    there = Path("/mnt", drive["letter"].lower(), drive["rest"]) if drive else plain
    return there if there.exists() else path


def list_inputs(paths: Sequence[Path]) -> InputFiles:
    """Return the files to read, folders opened up, each file once and the folders' files in order of name.

    A file called roster.csv or trials.csv is what its name says wherever it was found. Folders of results are passed
    over.
    """
    found = _Found()
    for path in map(path_here, paths):
        if not path.is_dir():
            found.add(path, path.name)
        elif is_results_folder(path):
            found.results[(path / MARKS_FILE).resolve()] = f"{path.resolve().name}/{MARKS_FILE}"
        else:
            inside = found.walk(path)
            for file, name in inside:
                found.add(file, name)
            if not inside:
                found.empty.append(path.name or str(path))
    return InputFiles(
        files=_named(found.files),
        rosters=_named(found.rosters),
        trials=_named(found.trials),
        beside=_beside(paths, found),
        empty_folders=tuple(found.empty),
        passed_over=tuple(dict.fromkeys(found.passed)),
        results=tuple(InputFile(path=path, name=name) for path, name in found.results.items() if path.is_file()),
    )


class _Found(Struct):
    files: dict[Path, str] = field(default_factory=dict)
    rosters: dict[Path, str] = field(default_factory=dict)
    trials: dict[Path, str] = field(default_factory=dict)
    results: dict[Path, str] = field(default_factory=dict)
    passed: list[str] = field(default_factory=list)
    empty: list[str] = field(default_factory=list)

    def add(self, path: Path, name: str) -> None:
        """Add one file to its kind, which a name of its own tells."""
        word = path.name.casefold()
        group = self.rosters if word == ROSTER_FILE else self.trials if word in TRIAL_FILES else self.files
        group.setdefault(path.resolve(), name)

    def walk(self, folder: Path) -> list[tuple[Path, str]]:
        """Return the files below *folder* that may hold work, in order of name."""
        found = []
        for top, folders, names in os.walk(folder):
            for inside in sorted(folders):
                # What is hidden is no class's: half-made results, and what programs keep for themselves.
                if inside.startswith(".") or is_results_folder(Path(top) / inside):
                    folders.remove(inside)
                    if not inside.startswith("."):
                        self.passed.append((Path(top) / inside).relative_to(folder).as_posix())
            for name in names:
                path = Path(top) / name
                if name.startswith(_LOCK_PREFIXES) or path.suffix.lower() not in SPREADSHEET_SUFFIXES:
                    continue
                found.append((path, path.relative_to(folder).as_posix()))
        return sorted(found, key=lambda pair: pair[1])


def _beside(paths: Sequence[Path], found: _Found) -> Beside:
    folders = dict.fromkeys(path.resolve().parent for path in map(path_here, paths) if path.exists())
    there = {path.name.casefold(): path for folder in folders for path in _files(folder)}
    rosters = [there[ROSTER_FILE]] if ROSTER_FILE in there and not found.rosters else []
    trials = [there[name] for name in TRIAL_FILES if name in there and not found.trials]
    return Beside(
        rosters=tuple(InputFile(path=path, name=path.name) for path in rosters),
        trials=tuple(InputFile(path=path, name=path.name) for path in trials[:1]),
    )


def _files(folder: Path) -> list[Path]:
    try:
        return sorted((path for path in folder.iterdir() if path.is_file()), reverse=True)
    except OSError:
        return []  # a folder that may not be listed; its named files are read all the same


def _named(files: dict[Path, str]) -> tuple[InputFile, ...]:
    # Two files of one name from two folders are told apart by their folders.
    counts = Counter(files.values())
    return tuple(
        InputFile(path=path, name=name if counts[name] == 1 else f"{path.parent.name}/{name}")
        for path, name in files.items()
    )

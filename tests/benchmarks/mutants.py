"""Faults planted in the functions that decide marks, and how many of them the room's own tests notice.

The files stand in pyproject.toml, ``only_mutate`` of mutmut. Of each file a sample is drawn by a fixed seed; each
mutant is run against the tests of its own room alone (``tests`` mirrors the rooms), in a copy of the tree.

    python -m tests.benchmarks.mutants --each 60 --seed 1
    python -m tests.benchmarks.mutants --only rounding,means --show
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path

import tomlkit
from msgspec import Struct

TREE = Path(__file__).parents[2]
COPIED = ("marking", "rubrics", "reports", "tests", "samples", "README.md", "pyproject.toml")
_NOT_NOTICED = frozenset({0, 33})
"""Exit codes of the tester: the tests passed all the same; no test reaches the function."""
_NOBODY = "no mutant has this name"


class Share(Struct, frozen=True, kw_only=True):
    """Of one file: how many of the faults that were tried its room's tests noticed."""

    file: str
    noticed: int
    tried: int
    survivors: tuple[str, ...]
    """Name of each fault that nobody noticed, with the lines it changes."""


def files_that_decide() -> list[str]:
    """Return the files that are mutated."""
    text = tomlkit.parse((TREE / "pyproject.toml").read_text(encoding="utf-8")).unwrap()
    return list(text["tool"]["mutmut"]["only_mutate"])


def room_tests(file: str) -> list[str]:
    """Return the tests of a file's own room: those of the folder that mirrors its own, not of the rooms within."""
    room = TREE / "tests" / Path(file).parent.relative_to("marking")
    return [str(one.relative_to(TREE)) for one in sorted(room.glob("test_*.py"))]


def shares(files: Sequence[str], each: int, seed: int, *, seconds: float | None = None) -> Iterator[Share]:
    """Yield the share of noticed faults of each file.

    Args:
        files: Files of ``files_that_decide``.
        each: How many mutants of a file are tried; all, where it has fewer.
        seed: Of the draw.
        seconds: How long the tester may take for one room; what it did not come to does not count.
    """
    rooms: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for file in files:
        rooms[tuple(room_tests(file))].append(file)
    for tests, together in rooms.items():
        with tempfile.TemporaryDirectory() as folder:
            yield from _shares_of_room(Path(folder), tests, together, each, seed, seconds)


def _shares_of_room(
    copy: Path, tests: Sequence[str], files: Sequence[str], each: int, seed: int, seconds: float | None
) -> list[Share]:
    for name in COPIED:
        whole = TREE / name
        if whole.is_dir():
            shutil.copytree(whole, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(whole, copy / name)
    settings = tomlkit.parse((copy / "pyproject.toml").read_text(encoding="utf-8")).unwrap()
    settings["tool"]["mutmut"]["only_mutate"] = list(files)
    settings["tool"]["mutmut"]["pytest_add_cli_args_test_selection"] = list(tests)
    (copy / "pyproject.toml").write_text(tomlkit.dumps(settings), encoding="utf-8")
    _tester(copy, None, "run", "--max-children", "1", _NOBODY)  # plants, and finds out which test reaches what
    drawn: dict[str, list[str]] = {}
    for file in files:
        names = sorted(_codes(copy, file))
        drawn[file] = random.Random(f"{seed} {file}").sample(names, min(each, len(names)))
        _pass_over(copy, file, set(names).difference(drawn[file]))
    # Not by name: the tester then picks tests by their ids, and loses those with letters outside ASCII.
    _tester(copy, seconds, "run", "--max-children", "1")
    return [_share(copy, file, names) for file, names in drawn.items()]


def _share(copy: Path, file: str, names: Sequence[str]) -> Share:
    codes = _codes(copy, file)
    tried = [name for name in names if codes[name] is not None]
    missed = [name for name in tried if codes[name] in _NOT_NOTICED]
    survivors = tuple(f"{name}\n{_changes(copy, name)}" for name in missed)
    return Share(file=file, noticed=len(tried) - len(missed), tried=len(tried), survivors=survivors)


def _changes(copy: Path, name: str) -> str:
    lines = _tester(copy, None, "show", name).splitlines()
    return "\n".join(line for line in lines if line.startswith(("-", "+")) and not line.startswith(("---", "+++")))


def _codes(copy: Path, file: str) -> Mapping[str, int | None]:
    """Return the exit code of each mutant of *file*, None where it was not tried."""
    told = json.loads(_results(copy, file).read_text(encoding="utf-8"))
    codes: Mapping[str, int | None] = told["exit_code_by_key"]
    return codes


def _pass_over(copy: Path, file: str, names: Collection[str]) -> None:
    """Write mutants down as tried, so that the tester leaves them out."""
    told = json.loads(_results(copy, file).read_text(encoding="utf-8"))
    told["exit_code_by_key"].update(dict.fromkeys(sorted(names), 1))
    _results(copy, file).write_text(json.dumps(told), encoding="utf-8")


def _results(copy: Path, file: str) -> Path:
    return copy / "mutants" / f"{file}.meta"


def _tester(copy: Path, seconds: float | None, *arguments: str) -> str:
    try:
        done = subprocess.run(
            [sys.executable, "-m", "mutmut", *arguments],
            cwd=copy,
            capture_output=True,
            text=True,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return ""
    return done.stdout


def main() -> None:
    """Print the share of each file, and the faults that nobody noticed."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else "")
    parser.add_argument("--each", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=None, help="how long the tester may take for one room")
    parser.add_argument("--only", default="", help="files whose name holds one of these words, parted by commas")
    parser.add_argument("--show", action="store_true", help="show what nobody noticed")
    chosen = parser.parse_args()
    words = [word for word in chosen.only.split(",") if word]
    files = [file for file in files_that_decide() if not words or any(word in file for word in words)]
    for one in shares(files, chosen.each, chosen.seed, seconds=chosen.seconds):
        print(f"{one.file:48} {one.noticed:4} of {one.tried:4}  {one.noticed / max(one.tried, 1):.0%}", flush=True)
        if chosen.show:
            print("\n".join(one.survivors), flush=True)


if __name__ == "__main__":
    main()

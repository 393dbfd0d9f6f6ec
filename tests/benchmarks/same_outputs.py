"""Whether two checkouts of the program write the same bytes for every sample set.

    python -m tests.benchmarks.same_outputs OTHER_CHECKOUT

marks every set in ``samples`` with both, prepares every practical with both, and names each file that differs. For a
change that is meant to move code and nothing else. Exit status 1 where anything differs.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

HERE = Path(__file__).resolve().parents[2]


def calls() -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield a name and the words of a call for everything that is compared; OUT stands for the folder written to."""
    for folder in sorted(path for path in (HERE / "samples").iterdir() if (path / "roster.csv").exists()):
        paper = ("--print",) if folder.name < "i" else ("--marks", "hidden")
        yield f"mark-{folder.name}", ("mark", str(folder), "--out", "OUT/results", *paper)
        if (HERE / "rubrics" / "catalogue" / f"{folder.name}.toml").exists():
            paper = ("--print", "OUT/sheet.pdf", "--kit", "OUT/kit.pdf", "--benches", "8")
            book = ("--roster", str(folder / "roster.csv"), "--out", "OUT/class.xlsx")
            yield f"prepare-{folder.name}", ("prepare", folder.name, *book, *paper)


def written(checkout: Path, words: tuple[str, ...], out: Path) -> dict[str, bytes]:
    """Return every file that one call leaves, by name, with what it printed."""
    out.mkdir(parents=True)
    said = subprocess.run(
        [sys.executable, "-m", "marking", *(word.replace("OUT", str(out)) for word in words)],
        cwd=checkout,
        capture_output=True,
        check=False,
    )
    printed = (said.stdout + said.stderr).replace(str(out).encode(), b"OUT")
    files = {str(path.relative_to(out)): path.read_bytes() for path in sorted(out.rglob("*")) if path.is_file()}
    return files | {"what it printed": printed, "exit status": str(said.returncode).encode()}


def main() -> int:
    """Compare, print a line for each call, and return the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("other", type=Path, help="another checkout of this project")
    other = parser.parse_args().other.resolve()
    compared = differing = 0
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        for name, words in calls():
            places = [(HERE, Path(folder) / name / "here"), (other, Path(folder) / name / "there")]
            here, there = pool.map(lambda place, words=words: written(place[0], words, place[1]), places)
            odd = [file for file in sorted(here.keys() | there.keys()) if here.get(file) != there.get(file)]
            compared += len(here)
            differing += len(odd)
            print(
                f"{name}: {len(here)} files, {'the same' if not odd else 'differ: ' + ', '.join(odd[:6])}", flush=True
            )
    print(f"{compared} files compared, {differing} differ")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())

"""Some students of a large set, read without the others, hold what they hold in the whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from marking.intake.parts import Asked, large_set, read_part
from marking.intake.parts.scanning import GROUP
from marking.write_up import WriteUp
from rubrics.load import load_catalogue
from tests.many.large_files import Rows, lines_of, write_lines

SIZE = 3 * GROUP
STUDENTS = 2 * SIZE + GROUP + 7


def _in_one_file(lines: Rows, folder: Path) -> None:
    write_lines(folder / "a.csv", lines)


def _in_two_files(lines: Rows, folder: Path) -> None:
    middle = next(at for at, line in enumerate(lines) if line[0] == f"S{GROUP + 5:05d}")
    write_lines(folder / "a.csv", lines[:middle])
    write_lines(folder / "b.csv", lines[middle:])


def _with_blank_lines_and_breaks(lines: Rows, folder: Path) -> None:
    lines = [(*line[:5], f"{line[5]}\n" if at % 50 == 7 else line[5], line[6]) for at, line in enumerate(lines)]
    lines = [one for at, line in enumerate(lines) for one in ([(), line] if at % 31 == 0 else [line])]
    write_lines(folder / "a.csv", lines, ";")


def _apart(lines: Rows, folder: Path) -> None:
    write_lines(folder / "a.csv", [*lines[1:], lines[0]])


@pytest.mark.parametrize("lay", [_in_one_file, _in_two_files, _with_blank_lines_and_breaks, _apart])
def test_a_group_is_what_it_is_in_the_whole(lay: Callable[[Rows, Path], None], tmp_path: Path) -> None:
    """Group by group all students come, each as in the part that it was cut from, places and all."""
    folder = tmp_path / "set"
    folder.mkdir()
    lay(lines_of(STUDENTS), folder)
    large = large_set(Asked(paths=[folder]), load_catalogue(), SIZE, tmp_path, least=1)
    assert large is not None
    whole = [one for part in large.source.parts() for one in read_part(large.reader, part).sets[0].write_ups]
    found: list[WriteUp] = []
    for first in range(0, large.students, GROUP):
        some = large.source.some(first, GROUP)
        read = read_part(large.reader, some)
        assert len(read.students) == some.students <= GROUP
        known = {work.student.code: work for work in whole}
        assert [known[work.student.code] for work in read.sets[0].write_ups] == list(read.sets[0].write_ups)
        found += read.sets[0].write_ups
    if lay is not _in_two_files:  # a group that two files share is cut where the first ends
        assert found == whole

"""mark --compare: what another edition of a rubric does to marks already given."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from tests.commands.running import Run, run_here
from tests.rubrics.small_rubric import SOUND

FIGURES = '\n[[criteria]]\ncode = "F3"\npoint = "Figures"\ncheck = "figures"\nitems = ["rho"]\n'
CLASS = [("A1", "2.70"), ("A2", "5.4")]
"""65.4 g in 24.2 cm³: the density is 2.70 g/cm³; A2 has doubled it."""
NEW = {
    "added": (SOUND + FIGURES, [("A1", "F3", "0", "0", "1", "1"), ("A1", "total", "2", "2", "3", "3")]),
    "marks": (
        SOUND.replace('point = "Density follows"', 'point = "Density follows"\nmarks = 2'),
        [("A1", "F1", "1", "1", "2", "2"), ("A2", "F1", "0", "1", "0", "2"), ("A2", "total", "1", "2", "1", "3")],
    ),
    "formula": (
        SOUND.replace('"m / V"', '"2 * m / V"'),
        [("A1", "F1", "1", "1", "0", "1"), ("A2", "F1", "0", "1", "1", "1"), ("A2", "total", "1", "2", "2", "2")],
    ),
}
WHY = {"added": "criterion added", "marks": "marks changed", "formula": "rho changed"}


def compared(folder: Path, old: str, new: str, *more: str) -> Run:
    """Mark two students by the edition *new*, compared with *old*."""
    for name, text in (("old.toml", old), ("new.toml", new)):
        (folder / name).write_text(text, encoding="utf-8")
    lines = [("student", "practical", "item", "entry", "unit")]
    for student, rho in CLASS:
        entries = [("m", "65.4", "g"), ("V", "24.2", "cm³"), ("rho", rho, "g/cm³")]
        lines += [(student, "tube", *entry) for entry in entries]
    with (folder / "class.csv").open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(lines)
    arguments = ("--rubric", str(folder / "new.toml"), "--compare", str(folder / "old.toml"), *more)
    return run_here("mark", str(folder / "class.csv"), "--out", str(folder / "out"), *arguments)


def rows(folder: Path) -> list[dict[str, str]]:
    """Return what stands in the table of changes."""
    with (folder / "out" / "changes.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize("kind", NEW)
def test_changes_are_told_student_by_student(kind: str, tmp_path: Path) -> None:
    """Each mark that differs has its reason, and each student that it touches a total."""
    text, expected = NEW[kind]
    done = compared(tmp_path, SOUND, text.replace("edition = 1", "edition = 2"))
    assert done.status in (0, 1)
    assert "changes marks of " in done.out
    found = rows(tmp_path)
    told = {tuple(row[name] for name in list(row)[:6]) for row in found}
    assert set(expected) <= told
    assert {row["why"] for row in found if row["criterion"] != "total"} == {WHY[kind]}
    account = json.loads((tmp_path / "out" / "run.json").read_text(encoding="utf-8"))
    assert account["rubrics"][0]["edition"] == 2


def test_an_edition_that_changes_nothing_says_so(tmp_path: Path) -> None:
    """The table is there, and empty."""
    done = compared(tmp_path, SOUND, SOUND.replace("edition = 1", "edition = 2"))
    assert "this edition changes no mark" in done.out
    assert rows(tmp_path) == []


def test_another_practical_is_no_edition(tmp_path: Path) -> None:
    """Nothing is written when the rubric is of something else."""
    done = compared(tmp_path, SOUND.replace('id = "tube"', 'id = "rod"'), SOUND)
    assert done.status == 2
    assert not (tmp_path / "out").exists()


def test_json_holds_the_changes(tmp_path: Path) -> None:
    """A script gets the same table."""
    done = compared(tmp_path, SOUND, SOUND + FIGURES, "--json")
    told = json.loads(done.out)["changes"]
    assert [str(one["criterion"]) for one in told] == [row["criterion"] for row in rows(tmp_path)]
    assert told[0]["why"] == "criterion added"

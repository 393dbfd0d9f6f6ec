"""Practicals that stand in no catalogue, written from the README of the format alone, and its own example."""

from __future__ import annotations

import re
import tempfile
from importlib import resources
from pathlib import Path

import pytest

from marking.commands.worked_examples import faults_of
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import Rubric
from tests.checking.rows import found

FILES = sorted((Path(__file__).parent / "written_from_readme").glob("*.toml"))
LONGEST = 60
"""Lines; a practical that takes more is too much for an evening."""
README = resources.files("rubrics") / "catalogue" / "README.md"


def readme_example() -> str:
    """Return the whole practical that the README shows."""
    text = README.read_text(encoding="utf-8")
    return next(block for block in re.findall(r"```toml\n(.*?)```", text, re.DOTALL) if "criteria = [" in block)


def example() -> Rubric:
    """Return the README's practical, read."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "example.toml"
        file.write_text(readme_example(), encoding="utf-8")
        return read_rubric(file)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_practical_is_sound_short_and_right(file: Path) -> None:
    """Each is new, has fewer than 60 lines, and its worked example stands."""
    rubric = read_rubric(file)
    assert rubric.id == file.stem
    assert rubric.id not in load_catalogue()
    assert len(file.read_text(encoding="utf-8").splitlines()) < LONGEST
    assert rubric.worked
    assert [fault for worked in rubric.worked for fault in faults_of(rubric, worked)] == []


def test_example_of_the_readme_is_sound_and_right() -> None:
    """What the README shows can be copied and marked with."""
    rubric = example()
    assert [fault for worked in rubric.worked for fault in faults_of(rubric, worked)] == []


@pytest.mark.parametrize(("item", "entry", "unit"), [("W", "1570", "J"), ("eff", "261", "%"), ("eff", "0.383", "%")])
def test_a_slip_in_the_readme_s_practical_is_withheld(item: str, entry: str, unit: str) -> None:
    """Grams left as they were, the fraction upside down, and a share called per cent lose the mark."""
    right = {"W": ("1.57", "J"), "E": ("4.10", "J"), "eff": ("38.3", "%")} | {item: (entry, unit)}
    lines = "m,,200,g\nh,,0.80,m\nV,,6.0,V\nI,,0.45,A\nt_1,,1.50,s\nt_2,,1.54,s\nt_3,,1.52,s\nt,,1.52,s\n"
    lines += "\n".join(f"{name},,{text},{its}" for name, (text, its) in right.items())
    withheld = [one.item for one in found(example(), lines, "F1") if one.outcome == "withheld"]
    assert withheld == [item]

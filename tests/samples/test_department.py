"""The invented department can be made anew, and the marker who is a mark severe in it is found."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rubrics.load import load_catalogue
from samples import department
from tests.commands.running import SAMPLES, run_here


@pytest.mark.campaign
def test_the_department_made_anew_names_its_severe_marker(tmp_path: Path) -> None:
    """By whatever edition of the scheme there is now: in doubt after the first stage, alone named after the second."""
    department.write(tmp_path)
    back = tuple(w for n in ("returned", "returned-second-stage") for w in ("--marked", str(tmp_path / n)))
    first = json.loads(run_here("moderate", str(tmp_path / "round"), *back[:2], "--json").out)
    assert department.SEVERE in first["doubts"]
    both = (str(tmp_path / "round"), str(tmp_path / "round-second-stage"))
    whole = json.loads(run_here("moderate", *both, *back, "--json").out)
    assert [one["marker"] for one in whole["named"]] == [department.SEVERE]


def test_no_answer_in_words_is_typed() -> None:
    """What is written on paper is a person's to mark, however much of a typed answer the program decides."""
    rubric = load_catalogue()[department.PRACTICAL]
    assert set(department.TYPED) <= set(rubric.items)
    assert not [name for name in department.TYPED if rubric.items[name].question is not None]
    assert [name for name, item in rubric.items.items() if item.question is not None]


def test_the_packs_that_came_back_are_of_the_round_that_the_readme_draws(tmp_path: Path) -> None:
    """Who tries the round as the README says gets packs that are taken: today's draw is that of the samples."""
    words = ("--seed", department.SEED, "--boundaries", "4,7,10", "--out", str(tmp_path / "round"))
    assert run_here("sample", str(SAMPLES / "department" / "department.csv"), *words).status == 0
    packs = [
        json.loads((folder / "round" / "key" / "key.json").read_text(encoding="utf-8"))["packs"]
        for folder in (tmp_path, SAMPLES / "department")
    ]
    assert packs[0] == packs[1]

from __future__ import annotations

import re
from pathlib import Path

import pytest

from marking.intake.forms.trial_sheet import TRIAL_ROWS, trial_items
from reports.lesson.kit import write_kit
from reports.lesson.kit_amounts import amounts
from reports.wording.instrument_words import step_words, symbol_words
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import Apparatus, Role
from tests.reports.lesson.test_results_sheet import squeezed, text_of

CATALOGUE = load_catalogue()
BENCHES = tuple(str(number) for number in range(1, 13))


@pytest.mark.parametrize("practical", CATALOGUE)
def test_every_practical_has_its_list(practical: str, tmp_path: Path) -> None:
    """Every thing with its range, every instrument with its step, every caution, and a place for each trial value."""
    rubric = CATALOGUE[practical]
    path = tmp_path / "kit.pdf"
    write_kit(path, rubric, BENCHES)
    text = squeezed(" ".join(text_of(path)))
    for thing in rubric.apparatus:
        assert squeezed(thing.name) in text
        assert squeezed(thing.range) in text
    for item in rubric.items.values():
        if item.role is Role.READING and item.instrument:
            assert squeezed(f"{item.instrument}:{step_words(item)}") in text
    assert all(squeezed(caution) in text for caution in rubric.cautions)
    assert "riskassessment" in text
    assert all(squeezed(symbol_words(item)) in text for item in trial_items(rubric))


def test_quantities_are_for_all_benches(tmp_path: Path) -> None:
    """Seven leads a bench are eighty-four for twelve."""
    path = tmp_path / "kit.pdf"
    write_kit(path, CATALOGUE["wire-resistance"], BENCHES)
    pages = text_of(path)
    assert "for 12 benches" in pages[0]
    assert re.search(r"leads 4 mm, with 4 crocodile clips .*?7 84 ", pages[0])
    assert "voltmeter 0 to 20 V, reads to 0.01 V 1 12" in pages[0]


def test_each_bench_has_its_lines_for_trial_values(tmp_path: Path) -> None:
    """A table is tried at a low, a middle and a high value of each bench, under the bench's own name."""
    path = tmp_path / "kit.pdf"
    write_kit(path, CATALOGUE["wire-resistance"], ("4", "Window"))
    text = " ".join(text_of(path))
    for bench in ("4", "Window"):
        assert all(f"{bench} {row}" in text for row in range(1, TRIAL_ROWS + 1))


def test_what_is_shared_or_used_up_is_told_apart(tmp_path: Path) -> None:
    """One shared balance stays one for twelve benches, and what is used up has a list of its own."""
    text = Path("rubrics/catalogue/density-cuboid.toml").read_text(encoding="utf-8")
    text += (
        '\n[[apparatus]]\nname = "kettle"\nshared = true\n\n[[apparatus]]\nname = "ice"\nconsumable = true\neach = 3\n'
    )
    rubric_file = tmp_path / "own.toml"
    rubric_file.write_text(text, encoding="utf-8")
    path = tmp_path / "kit.pdf"
    write_kit(path, read_rubric(rubric_file), BENCHES)
    shown = " ".join(text_of(path))
    assert "kettle shared 1" in shown
    apparatus, used_up = shown.split("Used up in the lesson")
    assert "ice 3 36" in used_up
    assert "ice 3 36" not in apparatus


def test_one_bench_is_one(tmp_path: Path) -> None:
    """For one bench the list says so, in the singular."""
    path = tmp_path / "kit.pdf"
    write_kit(path, CATALOGUE["density-cuboid"], ("1",))
    assert "for 1 bench." in text_of(path)[0]


@pytest.mark.parametrize(
    ("range_", "each", "is_used_up", "told"),
    [
        pytest.param("0.100 mol/dm³, 120 cm³", 1, True, ("120 cm³", "1.44 dm³"), id="volume, not concentration"),
        pytest.param("0.0 to 1.0 mol/dm³, 6 of them, 20 cm³ each", 1, True, ("120 cm³", "1.44 dm³"), id="six of them"),
        pytest.param("3 g", 2, True, ("6 g", "72 g"), id="two lots"),
        pytest.param("2.5 g", 1, True, ("2.5 g", "30 g"), id="no digit lost"),
        pytest.param("a few sheets", 1, True, ("1", "12"), id="no amount"),
        pytest.param("100 cm³, read to 0.5 cm³", 1, False, ("1", "12"), id="a vessel is a piece"),
        pytest.param("100 g, 7 in all", 1, False, ("7 × 100 g", "84 × 100 g"), id="a set of masses"),
        pytest.param("4 mm", 5, False, ("5", "60"), id="leads"),
    ],
)
def test_amounts_for_a_bench_and_in_all(range_: str, each: int, told: tuple[str, str], *, is_used_up: bool) -> None:
    """Twelve benches need twelve times what one needs, in the unit that is poured or weighed."""
    assert amounts(Apparatus(name="a thing", range=range_, each=each, consumable=is_used_up), 12) == told


def test_what_is_shared_is_needed_once() -> None:
    """One bath for all benches stays one."""
    bath = Apparatus(name="bath", range="2 kg", each=1, shared=True, consumable=True)
    assert amounts(bath, 12)[1] == "2 kg"

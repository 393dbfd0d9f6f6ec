"""Classes of three practicals that were written from the README: right work stands, and each planted slip is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.findings import Outcome
from reports.wording import message
from rubrics.load import read_rubric
from rubrics.model.practical import Rubric
from tests.checking.rows import mark_class
from tests.commands.running import run_here

FOLDER = Path(__file__).parent / "written_from_readme"
Boxes = dict[str, tuple[str, str]]
"""Item to its entries, a column's apart by blanks, and their unit."""

FADING: Boxes = {
    "t": ("0 60 120 180 240 300 360", "s"),
    "A": ("1.20 0.98 0.80 0.66 0.54 0.44 0.36", ""),
    "lnA": ("0.182 -0.0202 -0.223 -0.416 -0.616 -0.821 -1.02", ""),
    "k": ("0.00334", "1/s"),
    "half": ("208", "s"),
    "half_read": ("210", "s"),
    "order": ("yes", ""),
}
DIVERSITY: Boxes = {
    "mown": ("24 3 2 1 0 0", ""),
    "wild": ("12 7 5 6 4 2", ""),
    "N_m": ("30", ""),
    "N_w": ("36", ""),
    "q_m": ("0.64 0.01 0.0044 0.0011 0 0", ""),
    "q_w": ("0.111 0.0378 0.0193 0.0278 0.0123 0.00309", ""),
    "D_m": ("0.344", ""),
    "D_w": ("0.789", ""),
    "more": ("0.445", ""),
}
COPPER: Boxes = {
    "I": ("0.50", "A"),
    "m_0": ("4.20", "g"),
    "t": ("5 10 15 20 25", "min"),
    "m": ("4.25 4.30 4.35 4.40 4.45", "g"),
    "Q": ("150 300 450 600 750", "C"),
    "gain": ("0.05 0.10 0.15 0.20 0.25", "g"),
    "z": ("0.000333", "g/C"),
    "F": ("95300", "C/mol"),
}
RIGHT = {"fading-dye": FADING, "species-diversity": DIVERSITY, "copper-plating": COPPER}
SLIPS: list[tuple[str, str, str, dict[str, str]]] = [
    ("fading-dye", "lnA", "wrong-quantity", {"lnA": "0.0792 -0.00877 -0.0969 -0.180 -0.268 -0.357 -0.444"}),
    ("fading-dye", "k", "sign", {"k": "-0.00334"}),
    ("fading-dye", "k", "gradient-inverted", {"k": "299"}),
    ("fading-dye", "k", "unit-conversion", {"k": "0.200"}),
    ("fading-dye", "half", "missing-factor", {"half": "299"}),
    ("species-diversity", "D_m", "missing-factor", {"D_m": "0.656"}),
    ("species-diversity", "q_w", "missing-factor", {"q_w": "0.333 0.194 0.139 0.167 0.111 0.0556"}),
    ("species-diversity", "D_w", "wrong-quantity", {"D_w": "0.965"}),
    ("species-diversity", "more", "sign", {"more": "-0.445"}),
    ("species-diversity", "N_m", "unexplained", {"N_m": "20"}),
    ("copper-plating", "Q", "unit-conversion", {"Q": "2.5 5.0 7.5 10.0 12.5"}),
    ("copper-plating", "F", "missing-factor", {"F": "191000"}),
    ("copper-plating", "z", "gradient-inverted", {"z": "3000"}),
    ("copper-plating", "gain", "wrong-quantity", {"gain": "4.25 4.30 4.35 4.40 4.45"}),
    ("copper-plating", "F", "rearrangement", {"F": "0.0000105"}),
]


def rubric_named(name: str) -> Rubric:
    """Return one of the practicals."""
    return read_rubric(FOLDER / f"{name}.toml")


def lines_of(rubric: Rubric, boxes: Boxes) -> str:
    """Return one write-up as lines of a tidy file."""
    lines = []
    for item, (text, unit) in boxes.items():
        in_table = rubric.items[item].table is not None
        cells = enumerate(text.split(), 1) if in_table else [("", text)]
        lines += [f"{item},{row},{entry},{unit}" for row, entry in cells]
    return "\n".join(lines)


@pytest.mark.parametrize("name", RIGHT)
def test_right_work_stands_and_each_slip_is_named(name: str) -> None:
    """Five right write-ups beside five with a slip each: nothing right is withheld, and each slip has its cause."""
    rubric, own = rubric_named(name), [slip for slip in SLIPS if slip[0] == name]
    changed = [RIGHT[name] | {item: (text, RIGHT[name][item][1]) for item, text in one[3].items()} for one in own]
    work = [*[RIGHT[name]] * 5, *changed]
    scripts = mark_class(rubric, {f"S{at:02}": lines_of(rubric, one) for at, one in enumerate(work)}).scripts
    for script in scripts[:5]:
        assert [one for one in script.findings if one.outcome is Outcome.WITHHELD] == []
    for script, (_, item, cause, _) in zip(scripts[5:], own, strict=True):
        withheld = [one for one in script.findings if one.item == item and one.outcome is Outcome.WITHHELD]
        assert {one.cause.value for one in withheld} == {cause}, item


def test_a_square_that_was_not_taken_is_told_by_what_was_done() -> None:
    """'You left out the whole formula' would say nothing."""
    rubric = rubric_named("species-diversity")
    boxes = DIVERSITY | {"q_w": ("0.333 0.194 0.139 0.167 0.111 0.0556", "")}
    (script,) = mark_class(rubric, {"S1": lines_of(rubric, boxes)}).scripts
    told = next(one for one in script.findings if one.item == "q_w" and one.outcome is Outcome.WITHHELD)
    assert "You did n unmown ÷ N unmown. It is (n unmown ÷ N unmown)²." in message(told)


def test_a_column_that_is_wrong_is_one_item_of_two() -> None:
    """Charges in ampere-minutes cost one of the two marks, however many rows of the other column stand."""
    rubric = rubric_named("copper-plating")
    boxes = COPPER | {"Q": ("2.5 5.0 7.5 10.0 12.5", "C")}
    (script,) = mark_class(rubric, {"S1": lines_of(rubric, boxes)}).scripts
    assert next(one.marks for one in script.criteria if one.criterion.code == "P1") == 1


def test_the_workbook_is_the_same_practical(tmp_path: Path) -> None:
    """Written as a workbook and read back, it is the same, and sound."""
    book, back = tmp_path / "copper-plating.xlsx", tmp_path / "copper-plating.toml"
    assert run_here("rubric-check", str(FOLDER / "copper-plating.toml"), "--as-workbook", str(book)).status == 0
    assert run_here("rubric-check", str(book), "--as-toml", str(back)).status == 0
    one, other = rubric_named("copper-plating"), read_rubric(back)
    assert (one.items, one.criteria, one.constants) == (other.items, other.criteria, other.constants)

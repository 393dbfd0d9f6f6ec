"""What one meets who writes a first practical: functions of biology, a given temperature, misplaced keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.commands.worked_examples import faults_of
from rubrics.faults import RubricError
from rubrics.load import read_rubric

OWN = """format = 1
id = "ice-test"
title = "Ice test"
purpose = "To try it."
criteria = [
    { code = "R1", check = "reading", items = ["T", "x"] },
    { code = "F1", check = "value", items = ["dT", "mid", "sd", "rk", "step", "size", "all"] },
]
[readings]
T = { quantity = "temperature", unit = "°C" }
x = { quantity = "length", unit = "cm", table = "t" }
[constants]
T_0 = { quantity = "melting point", unit = "°C", values = [0], source = "by definition of the scale" }
[answers]
dT = { quantity = "above melting", unit = "°C", formula = "T - T_0" }
mid = { quantity = "median", unit = "cm", formula = "median(x)" }
sd = { quantity = "standard deviation", unit = "cm", formula = "stdev(x)" }
rk = { quantity = "rank", table = "t", formula = "rank(x)", figures = [1, 2] }
step = { quantity = "step", unit = "cm", table = "t", formula = "x - above(x)" }
size = { quantity = "size", unit = "cm", formula = "abs(first(x) - last(x))" }
all = { quantity = "all together", unit = "cm", formula = "sum(x)" }
[[worked]]
entries = { T = "20.5 °C", x = ["2.0 cm", "5.0 cm", "3.0 cm", "3.0 cm"] }
answers = { dT = "20.5 °C", mid = "3.0 cm", sd = "1.26 cm", rk = ["1", "4", "2.5", "2.5"], step = ["", "3.0 cm", "-2.0 cm", "0.0 cm"], size = "1.0 cm", all = "13.0 cm" }
"""  # noqa: E501


def own(folder: Path, text: str = OWN) -> Path:
    """Return the file that holds *text*."""
    file = folder / "ice-test.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_median_spread_rank_row_above_and_size_are_worked_out(tmp_path: Path) -> None:
    """The worked example stands: each function gives what is worked out by hand, and T_0 may be subtracted."""
    rubric = read_rubric(own(tmp_path))
    assert faults_of(rubric, rubric.worked[0]) == ()


@pytest.mark.parametrize(
    ("right", "wrong", "led_to"),
    [
        ('mid = "3.0 cm"', 'mid = "4.0 cm"', "its readings lead to 3 cm"),
        ('sd = "1.26 cm"', 'sd = "1.09 cm"', "its readings lead to 1.258 cm"),
        ('all = "13.0 cm"', 'all = "10.0 cm"', "its readings lead to 13 cm"),
        ('dT = "20.5 °C"', 'dT = "30.5 °C"', "its readings lead to 20.5 °C"),
    ],
)
def test_a_worked_example_that_does_not_stand_is_told_its_value(
    tmp_path: Path, right: str, wrong: str, led_to: str
) -> None:
    """What the readings lead to stands in the message."""
    rubric = read_rubric(own(tmp_path, OWN.replace(right, wrong)))
    assert any(led_to in fault for fault in faults_of(rubric, rubric.worked[0]))


@pytest.mark.parametrize("heading", ["[readings]", "[constants]"])
def test_a_key_below_a_table_is_to_be_moved_up(tmp_path: Path, heading: str) -> None:
    """It is spelt right, and stands in the wrong place."""
    text = OWN.replace(heading, f'{heading}\nlevel = "14 to 16"')
    with pytest.raises(RubricError, match=r"level stands below the heading of .*: move it up, above the first line"):
        read_rubric(own(tmp_path, text))


def test_a_change_that_is_given_in_degrees_stays_a_change(tmp_path: Path) -> None:
    """A constant in °C that is multiplied is an amount; one that is taken from a temperature is a temperature."""
    text = OWN.replace('formula = "T - T_0"', 'formula = "2 * T_0"')
    assert read_rubric(own(tmp_path, text)).constants["T_0"].unit.offset == 0
    assert read_rubric(own(tmp_path)).constants["T_0"].unit.offset > 0


@pytest.mark.parametrize("limits", ["5", '"0.01-2"', '["0.01", "2 kg"]', "[0.01]"])
def test_limits_that_are_no_pair_are_told_how_to_be_written(tmp_path: Path, limits: str) -> None:
    """The message shows the two ends, in a file and in a workbook."""
    text = OWN.replace('unit = "cm", table = "t" }', f'unit = "cm", table = "t", limits = {limits} }}', 1)
    with pytest.raises(RubricError) as told:
        read_rubric(own(tmp_path, text))
    assert "lowest and highest without a unit" in str(told.value)


def test_what_stands_too_low_is_not_missing_as_well(tmp_path: Path) -> None:
    """One fault, one message: move it up."""
    start = OWN.index("criteria = [")
    end = OWN.index("[readings]")
    text = OWN[:start] + OWN[end:] + OWN[start:end]
    with pytest.raises(RubricError) as told:
        read_rubric(own(tmp_path, text))
    assert "move it up" in str(told.value)
    assert "criteria is missing" not in str(told.value)


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        (
            'x = { quantity = "length"',
            'x = { name = "length"',
            "readings.x.name is no key of a rubric: use one of quantity, ",
        ),
        ('x = { quantity = "length", unit', 'x = { quantity = "length", units', r"check its spelling \(unit\?\)"),
        ("[answers]", "[answer]", r"line 14: answer is no key of a rubric: check its spelling \(answers\?\)"),
        ("[[worked]]", "[worked.more]", "line "),
        ('id = "ice-test"', 'id = "Ice test"', "small letters, digits and hyphens, such as ice-test"),
        ('items = ["T", "x"]', 'items = ["T", "x 1"]', "letters, digits and _, a letter first, such as x_1"),
        ('formula = "T - T_0"', 'formula = "T - t_0"', r"or mend the name \(T_0\?\)"),
        ('formula = "T - T_0"', 'formula = "T - ln2"', r"write ln\(2\)"),
        ('formula = "median(x)"', 'formula = "MEDIAN(x)"', "write median"),
    ],
)
def test_each_message_leads_on(tmp_path: Path, right: str, wrong: str, told: str) -> None:
    """What a table may hold is told from that table, and a name or a function as it is written here."""
    assert right in OWN
    with pytest.raises(RubricError, match=told):
        read_rubric(own(tmp_path, OWN.replace(right, wrong, 1)))

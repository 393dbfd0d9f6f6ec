"""A comma before three figures is a thousands mark or a decimal one as the figures beside it say, else it is asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.__main__ import main
from marking.findings import Outcome
from tests.checking.rows import mark_class

BLOCK = "l,,2.31,cm\nw,,2.42,cm\nh,,2.42,cm\nm,,{m},g\nV,,{V}\nrho,,{rho}\nrho_si,,{rho_si}"
SOUND = {"m": "351.2", "V": "13.53,cm³", "rho": "25.96,g/cm³", "rho_si": "25960,kg/m³"}
A, W, T = Outcome.AWARDED, Outcome.WITHHELD, Outcome.FOR_TEACHER


@pytest.mark.parametrize(
    ("changes", "item", "wanted"),
    [
        ({"rho_si": '"25,960",kg/m³'}, "rho_si", A),
        ({"V": '"13,530",mm³'}, "V", A),
        ({"V": '"13,530",mm³'}, "rho", A),
        ({"V": '"13,530",mm³', "rho_si": '"25,960",kg/m³'}, "rho_si", A),
        ({"rho": '"25,960",g/cm³'}, "rho", A),
        ({"rho_si": '"26,960",kg/m³'}, "rho_si", T),
        ({"rho_si": '"25,960",g/cm³'}, "rho_si", A),
        ({"m": '"1,351"', "rho_si": '"99,855",kg/m³'}, "rho_si", T),
        ({"V": '"15,530",mm³', "rho": "22.61,g/cm³"}, "rho", T),
        ({"rho": "5.96,g/cm³", "rho_si": '"5,960",kg/m³'}, "rho_si", A),
    ],
    ids=[
        "thousands",
        "thousands-earlier",
        "what-follows-from-it",
        "two-of-them",
        "a-decimal-comma",
        "neither",
        "a-decimal-comma-in-another-unit",
        "a-reading-stays-open",
        "behind-one-that-stays-open",
        "carried-on-from-a-wrong-one",
    ],
)
def test_the_readings_say_what_a_comma_is(changes: dict[str, str], item: str, wanted: Outcome) -> None:
    """Right in one reading, it was meant so; right in none or resting on nothing, it waits as before."""
    entries = BLOCK.format(**{**SOUND, **changes})
    (script,) = mark_class("density-cuboid", {"A": entries}).scripts
    found = {one.outcome for one in script.findings if one.item == item and one.criterion in ("P1", "F1", "P3")}
    assert found == {wanted}


def test_rows_of_a_table_are_settled_each_by_itself() -> None:
    """Of two rows with thousands one is right; the other stays unreadable and waits."""
    table = "V,1,6.00,V\nI,1,4.00,mA\nR,1,{0},Ω\nV,2,6.00,V\nI,2,3.00,mA\nR,2,{1},Ω"
    entries = table.format('"1,500"', '"2,100"') + "\ncomponent,,resistor,"
    (script,) = mark_class("iv-characteristic", {"A": entries}).scripts
    rows = {one.row: one.outcome for one in script.findings if one.item == "R" and one.row is not None}
    assert rows[1] is A
    assert rows[2] is T


@pytest.mark.parametrize("others", [0, 700])
def test_the_teacher_is_told_of_those_alone_that_stay_open(
    others: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In one class as in a set that is marked part by part."""
    page = BLOCK.format(**{**SOUND, "rho_si": '"{}",kg/m³'}).split("\n")
    lines = ["student,bench,practical,item,row,entry,unit"]
    for code, entry in (("S1", "25,960"), ("S2", "26,960"), *((f"T{n}", "25,960") for n in range(others))):
        lines += [f"{code},1,density-cuboid,{line.format(entry)}" for line in page]
    path = tmp_path / "set.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    main(["mark", str(path), "--no-paper", "--out", str(tmp_path / "out")])
    told = capsys.readouterr().err
    assert '"26,960" cannot be used' in told
    assert '"25,960"' not in told

"""What was decided at the desk stands when the class is marked again; what a workbook shows is nobody's decision."""

from __future__ import annotations

from pathlib import Path

import openpyxl

from marking.decided.decisions import MarkGiven, SetName
from marking.record.opening import open_record
from tests.checking.rows import CUBOID, HEADINGS, split
from tests.commands.running import run_here
from tests.record.making import a_mark

NAME = SetName(class_name="11C", practical="density-cuboid")


def test_a_decision_outlasts_the_results_that_showed_it(tmp_path: Path) -> None:
    """Overruled, shown in marks.xlsx, overruled back: the workbook of before is nobody's decision."""
    lines = [f"A03,,density-cuboid,{item},{row},{entry},{unit}" for item, row, entry, unit in split(CUBOID)]
    file = tmp_path / "11C.csv"
    file.write_text("\n".join([",".join(HEADINGS), *lines]) + "\n", encoding="utf-8")
    place, out = str(tmp_path / "11C.record"), tmp_path / "results"

    def shown() -> object:
        assert run_here("mark", str(file), "--out", str(out), "--record", place).status in (0, 1)
        head, row = list(openpyxl.load_workbook(out / "marks.xlsx").worksheets[0].iter_rows(values_only=True))[:2]
        return dict(zip(head, row, strict=True))["P1"]

    assert shown() == 1
    for number, marks in enumerate((0, 1, 0), start=1):
        record = open_record(place, may_begin=False)
        record.add([a_mark(number, marks=marks, set=NAME, criterion="P1")])
        record.close()
        assert shown() == marks
        assert shown() == marks
    record = open_record(place, may_begin=False)
    assert len([one for one in record.decisions(NAME) if isinstance(one, MarkGiven)]) == 3
    record.close()

"""Lines of findings for many scripts: the very lines that are written for one."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.findings import Outcome, Script
from marking.write_up import Place
from reports.tables import FindingLines
from reports.tables.findings_csv import FINDING_COLUMNS, finding_cells, finding_line, write_findings_csv
from tests.reports.invented import GRAMS, KILOJOULES, a_finding, a_student, heat_set, nothing_in, wire_set
from tests.reports.invented_practicals import RUBRICS, WIRE


def test_many_scripts_have_the_lines_of_each(tmp_path: Path) -> None:
    """In the same order, whatever order their findings were found in."""
    sets = [wire_set(8), heat_set(8)]
    sets[0] = replace(sets[0], scripts=(*sets[0].scripts, nothing_in(a_student("=1,2"))))
    sets = [replace(m, scripts=tuple(replace(s, findings=s.findings[::-1]) for s in m.scripts)) for m in sets]
    write_findings_csv(tmp_path / "a.csv", sets)
    lines: dict[str, str] = {}
    for one in sets:
        writer = FindingLines(one.rubric)
        some = [*writer.of(one.scripts[:3]), *writer.of(one.scripts[3:])]
        for script, text in zip(one.scripts, some, strict=True):
            code = script.write_up.student.code
            lines[code] = lines.get(code, "") + text
    text = finding_line(FINDING_COLUMNS) + "".join(lines.values())
    assert text.encode() == (tmp_path / "a.csv").read_bytes()


@pytest.mark.parametrize(
    "kept",
    [
        pytest.param({"entry": '=1+1, "so"', "unit": "@x"}, id="a formula"),
        pytest.param({"entry": "7" * 70 + ",5"}, id="a long entry"),
        pytest.param({"expected": -0.00000123456789}, id="a small negative number"),
        pytest.param({"expected": float("nan")}, id="no number"),
        pytest.param({"explanations": (GRAMS, KILOJOULES)}, id="two causes"),
        pytest.param({"source": Place(file="7B.xlsx", sheet="Results", cell="D7")}, id="a sheet"),
        pytest.param({"source": Place(file="=b.csv", sheet="", cell="D7")}, id="a file with a formula's name"),
        pytest.param({"source": Place(file='7"B".csv', sheet="", cell="D7")}, id="a file with quotes"),
        pytest.param({"source": Place(file="a.csv", sheet="", cell='D"7')}, id="a cell that is none"),
        pytest.param({"facts": {"choice_expected": "a line, straight"}}, id="another choice"),
        pytest.param({"told": "See me, please.\nSoon."}, id="a teacher's words"),
    ],
)
@pytest.mark.parametrize("outcome", [Outcome.WITHHELD, Outcome.AWARDED, Outcome.FOR_TEACHER])
def test_every_cell_is_the_same(kept: dict[str, object], outcome: Outcome) -> None:
    """One finding as one line, both ways, and twice in a row."""
    finding = a_finding("wrong-value", outcome, **kept)
    script: Script = wire_set(1).scripts[0]
    script = replace(script, findings=(finding, finding))
    code = script.write_up.student.code
    line = finding_line(finding_cells(replace(finding, student=code, practical=WIRE)))
    assert FindingLines(RUBRICS[WIRE]).of([script]) == [line * 2]

"""A published alpha, from marks entered as ticks to the sheet that a department opens."""

from __future__ import annotations

from pathlib import Path

import openpyxl

from reports.tables.marks_workbook import write_marks_workbook
from tests.checking.rows import line, mark_class, rubric_of
from tests.cohort.picture.test_item_statistics import QUESTIONS, table

HEAD = """format = 1
id = "questionnaire"
edition = 1
title = "Ten questions"
level = "14 to 18"
purpose = "To see how ten questions hang together."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.x]
quantity = "x"

[[criteria]]
code = "R"
point = "There is a reading"
check = "reading"
items = ["x"]
"""
CRITERION = '[[criteria]]\ncode = "Q{n}"\npoint = "Question {n}"\nmarks = 7\ncheck = "teacher"\n'
SCORES = table(QUESTIONS).astype(int).tolist()


def test_a_published_alpha_stands_in_the_sheet(tmp_path: Path) -> None:
    """Fifteen subjects, ten questions: alpha 0.59, interval 0.20 to 0.84 (example of the package pingouin).

    The mark that everybody has changes neither the sum of the variances nor the variance of the totals; with eleven
    criteria alpha is 11/10 of 0.5917 × 9/10.
    """
    rubric = rubric_of(HEAD + "".join(CRITERION.format(n=n) for n in range(1, 11)))
    write_ups = {
        f"S{number:03}": "\n".join(
            [line("x", "", "1", ""), *(line(f"Q{n}", "", str(score), "") for n, score in enumerate(scores, 1))]
        )
        for number, scores in enumerate(SCORES, 1)
    }
    write_marks_workbook(tmp_path / "marks.xlsx", [mark_class(rubric, write_ups)])
    sheet = openpyxl.load_workbook(tmp_path / "marks.xlsx")["Item statistics"]
    head, whole, *criteria = [list(row) for row in sheet.iter_rows(values_only=True)][:13]
    found = dict(zip(head, whole, strict=True))
    assert found["students"] == 15
    assert found["alpha (of the others)"] == round(0.591719 * 0.9 * 1.1, 2)
    assert str(found["remarks"]).startswith("Only 15 students")
    first = dict(zip(head, criteria[1], strict=True))
    assert first["criterion"] == "Q1"
    assert first["facility"] == round(sum(scores[0] for scores in SCORES) / 15 / 7, 2)
    # Without the mark that everybody has, alpha is the published one.
    assert dict(zip(head, criteria[0], strict=True))["alpha (of the others)"] == 0.59

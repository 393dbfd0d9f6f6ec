"""Codes that are doubled, missing, or spelt in more ways than one."""

from __future__ import annotations

from marking.write_up import State
from tests.intake.awkward.case import ROWS, Case, as_text, saved, table, workbook

LONG_CODE = "A" * 300


def people_cases() -> tuple[Case, ...]:
    """Return the cases about who is who."""
    return (*_doubled(), *_spelt(), *_odd())


def _doubled() -> tuple[Case, ...]:
    other = [*ROWS[0][:5], 850, "J/(kg °C)"]
    completed = table(F2=None)
    return (
        Case(
            name="same row twice.xlsx",
            data=saved(workbook([*table(), list(ROWS[0])])),
            outcome="notes",
            named=("A6", "used once"),
            holds={"A01 c": (997, "J/(kg °C)")},
        ),
        Case(
            name="two answers.xlsx",
            data=saved(workbook([*table(), other])),
            outcome="query",
            named=("A2", "A6", '"997"', '"850"'),
            holds={"A01 c": State.UNREADABLE, "A01 m": (998, "g"), "A02 c": (1000, "J/(kg K)")},
        ),
        Case(
            name="row completed below.xlsx",
            data=saved(workbook([*completed, ["A01", None, None, None, None, 997, "J/(kg °C)"]])),
            outcome="clean",
            holds={"A01 c": (997, "J/(kg °C)"), "A01 m": (998, "g")},
        ),
    )


def _spelt() -> tuple[Case, ...]:
    numbers = table()
    for row, code in enumerate((1, "002", 3, 4), 1):
        numbers[row][0] = code
    twins = table(A2="AE1", A3="ae1", A4="A\u00c91", A5="AE\u03011")
    return (
        Case(
            name="case and space.xlsx",
            data=saved(workbook([*table(A3="a02 "), ["\u00a0A03", 1, 1, 2, 1, 1, "J"]])),
            outcome="query",
            named=("A3", "A02", "A4", "A6"),
            holds={"A02 c": (1000, "J/(kg K)"), "A03 c": State.UNREADABLE},
        ),
        Case(
            name="number codes.xlsx",
            data=saved(workbook(numbers)),
            outcome="notes",
            students=("1", "002", "3", "4"),
            named=("A2, A4, A5",),
        ),
        Case(
            name="codes alike.xlsx",
            data=saved(workbook(twins)),
            outcome="query",
            students=("AE1", "ae1", "A\u00c91", "AE\u03011"),
            named=("A3", "A5", "differ in form only"),
        ),
    )


def _odd() -> tuple[Case, ...]:
    bad_names = ("../../A01", "CON", "a/b\\c:d*e?", LONG_CODE)
    return (
        Case(
            name="codes like nothing.csv",
            data=as_text(table(A2="NA", A3="None", A4="1E5", A5="007")),
            outcome="clean",
            students=("NA", "None", "1E5", "007"),
        ),
        Case(
            name="no code.xlsx",
            data=saved(workbook(table(A3=None, A4="  "))),
            outcome="query",
            students=("A01", "A04"),
            named=("A3", "A4", "not known whose"),
        ),
        Case(
            name="codes for paths.xlsx",
            data=saved(workbook(table(A2=bad_names[0], A3=bad_names[1], A4=bad_names[2], A5=bad_names[3]))),
            outcome="notes",
            students=bad_names,
            named=("A2", "A3", "A4", "A5"),
        ),
        Case(
            name="class mean below.xlsx",
            data=saved(workbook([*table(), ["Mean", 1003, 19.9, 40, 20225, 1000, None]])),
            outcome="notes",
            named=("A6", "no student"),
        ),
    )

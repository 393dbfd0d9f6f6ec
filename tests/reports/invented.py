"""An invented class that did two practicals, as records made by hand; everyone in it is made up."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec.structs import replace

from marking.findings import Basis, Cause, CriterionMark, Explanation, Finding, MarkedSet, Outcome, Plot, Result, Script
from marking.write_up import Entry, Place, Remark, Source, State, Student, Weight, WriteUp
from rubrics.model.practical import Rubric
from tests.reports.invented_practicals import HEAT, RUBRICS, WIRE

LONGEST_NAME = "Maximiliana-Alexandrina Featherstonehaugh-Cholmondeley von und zu Unterwaldhausen-Oberammergau"
CURRENT = 0.40
"""In A, the same in every row of the wire practical."""


def an_entry(raw: str, unit: str = "", cell: str = "D7") -> Entry:
    """Return a cell as it was written."""
    place = Place(file="7B.xlsx", sheet="Results", cell=cell)
    if not re.fullmatch(r"\d+(\.\d+)?", raw):
        return Entry(raw=raw, unit_raw=unit, state=State.NUMBER if raw else State.BLANK, place=place)
    last = -len(raw.partition(".")[2])
    return Entry(raw=raw, unit_raw=unit, state=State.NUMBER, place=place, value=float(raw), last_place=(last, last))


def a_student(code: str, name: str = "", bench: str = "1", *, absent: bool = False, paper: str = "") -> Student:
    """Return one line of the roster."""
    return Student(code=code, name=name, bench=bench, absent=absent, paper=paper)


def a_finding(reason: str, outcome: Outcome = Outcome.WITHHELD, **kept: object) -> Finding:
    """Return a finding about resistance in row 3 of S001, changed as asked."""
    base = Finding(
        student="S001",
        practical=WIRE,
        item="R",
        row=3,
        criterion="F1",
        outcome=outcome,
        marks=0,
        out_of=1,
        reason=reason,
        entry="0.133",
        unit="Ω",
        source=Place(file="7B.xlsx", sheet="Results", cell="D7"),
    )
    return replace(base, **kept)  # type: ignore[arg-type]  # the fields of Finding, by name


def an_explanation(cause: Cause, probability: float, detail: str = "", **facts: str) -> Explanation:
    """Return one cause that could have printed an answer."""
    return Explanation(cause=cause, detail=detail, probability=probability, facts=facts)


UPSIDE_DOWN = an_explanation(Cause.REARRANGEMENT, 0.93, "I / V", used="I ÷ V", right="V ÷ I")


def resistance_finding(student: str, row: int, p_d: float, current: float, *, wrong: bool) -> Finding:
    """Return the finding about one row of the resistance column, upside down where *wrong*."""
    right = p_d / current
    written = f"{current / p_d:.3g}" if wrong else f"{right:.3g}"
    return a_finding(
        "wrong-value" if wrong else "right",
        Outcome.WITHHELD if wrong else Outcome.AWARDED,
        student=student,
        row=row,
        marks=(0 if wrong else 2) if row == 1 else 0,
        out_of=2 if row == 1 else 0,
        entry=written,
        expected=right,
        basis=Basis.OWN_READINGS,
        explanations=(UPSIDE_DOWN,) if wrong else (),
        source=Place(file="7B.xlsx", sheet="Results", cell=f"E{row + 3}"),
        facts={
            "quantity": f"resistance, row {row}",
            "symbol": "R",
            "wrote": f"{written} Ω",
            "readings": f"V = {p_d:.2f} V and I = {current:.2f} A",
            "formula": "R = V ÷ I",
            "working": f"{p_d:.2f} ÷ {current:.2f}",
            "expected": f"{right:.3g} Ω",
            "unit": "Ω",
        },
    )


def wire_script(
    student: Student, *, wrong: bool = False, rows: int = 8, odd: bool = False, few_figures: bool = False
) -> Script:
    """Return a marked write-up of the wire practical.

    Args:
        student: Who handed it in.
        wrong: Resistance upside down in every row, a unit missing, five rows only.
        rows: Rows of the table; five where *wrong*.
        odd: The fourth point lies away from the line.
        few_figures: Resistance to too many figures.
    """
    rows = 5 if wrong else rows
    lengths = [0.10 * n for n in range(1, rows + 1)]
    p_ds = [round(0.06 + 1.77 * length, 2) for length in lengths]
    if odd:
        p_ds[3] = round(p_ds[3] * 1.3, 2)
    findings = (
        *_wire_readings(student.code, rows, wrong=wrong),
        *(resistance_finding(student.code, row, p_d, CURRENT, wrong=wrong) for row, p_d in enumerate(p_ds, start=1)),
        *_wire_gradient(student.code, wrong=wrong),
        _wire_figures(student.code, too_many=few_figures or wrong),
        *(
            a_finding("teacher-looks", Outcome.FOR_TEACHER, student=student.code, item="", row=None, criterion=code,
                      marks=None)
            for code in ("G4", "K1", "V1")
        ),
    )  # fmt: skip
    write_up = WriteUp(
        student=student,
        practical=WIRE,
        singles={"gradient": an_entry("4.42", "Ω/m")},
        columns={
            "L": {n: an_entry(f"{length:.3f}", "m") for n, length in enumerate(lengths, start=1)},
            "V": {n: an_entry(f"{p_d:.2f}", "V") for n, p_d in enumerate(p_ds, start=1)},
            "I": {n: an_entry(f"{CURRENT:.2f}", "A") for n in range(1, rows + 1)},
        },
    )
    plot = Plot(
        x_label="length L / m",
        y_label="resistance R / Ω",
        x=tuple(lengths),
        y=tuple(p_d / CURRENT for p_d in p_ds),
        odd_rows=(3,) if odd else (),
        line=(4.42, 0.15),
    )
    return Script(write_up=write_up, findings=findings, criteria=_marks(RUBRICS[WIRE], findings), plot=plot)


def _wire_readings(code: str, rows: int, *, wrong: bool) -> list[Finding]:
    outcome = Outcome.WITHHELD if wrong else Outcome.AWARDED
    quantities = {"L": "length", "V": "p.d.", "I": "current"}
    found = [
        a_finding("reading-given", Outcome.AWARDED, student=code, item=item, row=None, criterion="R1",
                  facts={"quantity": quantity})
        for item, quantity in quantities.items()
    ]  # fmt: skip
    found += [
        a_finding("places-mixed" if wrong else "places-right", outcome, student=code, item=item, row=None,
                  criterion="R2", facts={"quantity": quantity}, entry="", unit="")
        for item, quantity in quantities.items()
    ]  # fmt: skip
    facts = {"quantity": "length", "rows": str(rows), "rows_wanted": "6", "span": f"{rows / 10 - 0.1:.2f} m"}
    reason = "rows-too-few" if wrong else "rows-right"
    return [*found, a_finding(reason, outcome, student=code, item="L", row=None, criterion="R3", facts=facts)]


def _wire_gradient(code: str, *, wrong: bool) -> list[Finding]:
    outcome = Outcome.WITHHELD if wrong else Outcome.AWARDED
    value = {
        "quantity": "gradient",
        "wrote": "4.42 Ω/m",
        "carried": "your column R",
        "readings": "your columns R and L",
        "formula": "gradient = gradient of R against L",
    }
    unit = {"quantity": "gradient", "unit": "Ω/m", "wrote": "4.42"}
    return [
        a_finding("right-carried-forward" if wrong else "right", Outcome.AWARDED, student=code, item="gradient",
                  row=None, criterion="G5", marks=1, entry="4.42", unit="Ω/m", facts=value,
                  basis=Basis.CARRIED_FORWARD if wrong else Basis.OWN_READINGS),
        a_finding("unit-missing" if wrong else "unit-right", outcome, student=code, item="gradient", row=None,
                  criterion="F2", entry="4.42", unit="" if wrong else "Ω/m", facts=unit,
                  explanations=(an_explanation(Cause.UNIT_MISSING, 1.0),) if wrong else ()),
    ]  # fmt: skip


def _wire_figures(code: str, *, too_many: bool) -> Finding:
    facts = {"quantity": "resistance", "wrote": "0.6000000 Ω", "figures": "7", "figures_wanted": "2 or 3"}
    found = (an_explanation(Cause.SIGNIFICANT_FIGURES, 1.0),) if too_many else ()
    reason, outcome = ("figures-too-many", Outcome.WITHHELD) if too_many else ("figures-right", Outcome.AWARDED)
    return a_finding(reason, outcome, student=code, row=1, criterion="F3", explanations=found, facts=facts)


def heat_script(student: Student, *, explanations: tuple[Explanation, ...] = (), value: float = 997.1) -> Script:
    """Return a marked write-up of the block; c is wrong by a factor of 1000 where *explanations* are given."""
    code, wrong = student.code, bool(explanations)
    written = f"{value / 1000:.3f}" if wrong else f"{value:.0f}"
    findings = [
        a_finding(
            "reading-given", Outcome.AWARDED, student=code, practical=HEAT, item=item, row=None, criterion="R1",
            facts={"quantity": quantity},
        )
        for item, quantity in (("m", "mass"), ("T_start", "start temperature"), ("E", "energy"))
    ]  # fmt: skip
    findings += [
        a_finding(
            "right", Outcome.AWARDED, student=code, practical=HEAT, item="dT", row=None, criterion="F0", marks=1,
            entry="20.5", unit="°C", expected=20.5, basis=Basis.OWN_READINGS,
            facts={"quantity": "temperature rise", "wrote": "20.5 °C", "formula": "ΔT = T₂ − T₁",
                   "readings": "T₁ = 19.5 °C and T₂ = 40.0 °C"},
        ),
        a_finding(
            "wrong-value" if wrong else "right", Outcome.WITHHELD if wrong else Outcome.AWARDED, student=code,
            practical=HEAT, item="c", row=None, marks=0 if wrong else 2, out_of=2, entry=written, unit="J/(kg °C)",
            expected=value, basis=Basis.OWN_READINGS, explanations=explanations,
            facts={"quantity": "specific heat capacity", "symbol": "c", "wrote": f"{written} J/(kg °C)",
                   "readings": "m = 998 g, ΔT = 20.5 °C and E = 20.4 kJ", "formula": "c = E ÷ (m × ΔT)",
                   "working": "20 400 ÷ (0.998 × 20.5)", "expected": f"{value:.0f} J/(kg °C)", "unit": "J/(kg °C)"},
        ),
        a_finding("unit-right", Outcome.AWARDED, student=code, practical=HEAT, item="c", row=None, criterion="F2",
                  unit="J/(kg °C)", facts={"quantity": "specific heat capacity", "unit": "J/(kg °C)"}),
        a_finding("figures-right", Outcome.AWARDED, student=code, practical=HEAT, item="c", row=None, criterion="F3",
                  facts={"quantity": "specific heat capacity", "figures": "3"}),
        a_finding("teacher-looks", Outcome.FOR_TEACHER, student=code, practical=HEAT, item="", row=None,
                  criterion="V1", marks=None),
    ]  # fmt: skip
    write_up = WriteUp(
        student=student, practical=HEAT, columns={},
        singles={"m": an_entry("998", "g"), "T_start": an_entry("19.5", "°C"), "T_end": an_entry("40.0", "°C"),
                 "E": an_entry("20.4", "kJ"), "dT": an_entry("20.5", "°C"), "c": an_entry(written, "J/(kg °C)")},
    )  # fmt: skip
    accepted = RUBRICS[HEAT].result.accepted[0] if RUBRICS[HEAT].result else None
    result = Result(value=value, written=value, unit="J/(kg °C)", accepted=accepted)
    return Script(write_up=write_up, findings=tuple(findings), criteria=_marks(RUBRICS[HEAT], findings), result=result)


def an_explained_script(student: Student, *explanations: Explanation) -> Script:
    """Return a write-up with one wrong resistance, put down to *explanations*."""
    script = wire_script(student)
    wrong = replace(
        resistance_finding(student.code, 3, 0.59, 0.40, wrong=True), explanations=explanations, marks=0, out_of=2
    )
    findings = (wrong, *(finding for finding in script.findings if finding.criterion != "F1"))
    return replace(script, findings=findings, criteria=_marks(RUBRICS[WIRE], findings))


def _marks(rubric: Rubric, findings: Sequence[Finding]) -> tuple[CriterionMark, ...]:
    """Return full marks for criteria whose findings all stand, none for the others, open ones for the teacher."""
    marks = []
    for criterion in rubric.criteria:
        outcomes = [finding.outcome for finding in findings if finding.criterion == criterion.code]
        outcome = next((o for o in (Outcome.FOR_TEACHER, Outcome.WITHHELD) if o in outcomes), Outcome.AWARDED)
        worth = {Outcome.FOR_TEACHER: None, Outcome.WITHHELD: 0, Outcome.AWARDED: criterion.marks}[outcome]
        marks.append(CriterionMark(criterion=criterion, outcome=outcome, marks=worth))
    return tuple(marks)


def nothing_in(student: Student, practical: str = WIRE) -> Script:
    """Return the script of a student without a single entry."""
    finding = a_finding(
        "not-handed-in", Outcome.FOR_TEACHER, student=student.code, practical=practical, item="", row=None,
        criterion="", marks=None, out_of=0, entry="", unit="", source=None,
    )  # fmt: skip
    write_up = WriteUp(student=student, practical=practical, singles={}, columns={})
    return Script(write_up=write_up, findings=(finding,), criteria=())


GRAMS = an_explanation(
    Cause.UNIT_CONVERSION, 0.52, "m: g for kg", input="mass", input_symbol="m", given="998 g", needed="0.998 kg",
    change="998 g = 0.998 kg",
    given_unit="g", needed_unit="kg", size="1000 times too small",
)  # fmt: skip
KILOJOULES = an_explanation(
    Cause.UNIT_CONVERSION, 0.44, "E: kJ for J", input="energy", input_symbol="E", given="20.4 kJ", needed="20 400 J",
    given_unit="kJ", needed_unit="J", size="1000 times too small",
)  # fmt: skip

ODD_NAMES = (
    ("S101", LONGEST_NAME),
    ("S102", "Łukasz Wójcik-Źródłowski"),
    ("S103", "Ελένη Παπαδοπούλου"),
    ("S104", "Анастасия Ковальчук"),
    ("S105", "ليلى حداد"),
    ("S106", "王小明"),
    ("S107", '=HYPERLINK("x") <b>Bo</b> & \u202eabc\x07'),
)
"""Names that have broken sheets: too long, in other scripts, with markup, with hidden characters."""

REMARKS = (
    Remark(
        weight=Weight.NOTE, file="7B.xlsx", student="S003", item="V",
        message='7B.xlsx, Results!C5, S003: "0,41" read as 0.41 (decimal comma). To avoid this, type 0.41.',
    ),
    Remark(
        weight=Weight.QUERY, file="7B.xlsx", student="S009", item="I",
        message='7B.xlsx, Results!D7, S009: "0.5O" is not a number (its last character is the letter O).',
    ),
    Remark(weight=Weight.REFUSED, file="7C.xlsx", message="7C.xlsx: protected with a password, not marked."),
)  # fmt: skip


def wire_set(students: int = 28) -> MarkedSet:
    """Return a class of the wire practical: a third upside down, some with too many figures, three without a sheet."""
    scripts = []
    for number in range(1, students + 1):
        student = a_student(f"S{number:03d}", f"Invented Student {number}", str((number + 2) // 3))
        if number % 10 == 0:
            student = replace(student, absent=number == 10)
            scripts.append(nothing_in(student))
        else:
            scripts.append(
                wire_script(student, wrong=number % 3 == 1, odd=number % 7 == 0, few_figures=number % 6 == 0)
            )
    return MarkedSet(
        rubric=RUBRICS[WIRE],
        scripts=tuple(scripts),
        remarks=REMARKS,
        sources=(Source(name="7B.xlsx", sha256="1" * 64),),
    )


def heat_set(students: int = 28) -> MarkedSet:
    """Return a class of the block: results spread about 960, one in five with grams or kilojoules left in."""
    scripts = []
    for number in range(1, students + 1):
        value = 905.0 + (number * 37) % 130
        explanations = (GRAMS, KILOJOULES) if number % 5 == 0 else ()
        scripts.append(heat_script(a_student(f"S{number:03d}"), explanations=explanations, value=value))
    return MarkedSet(rubric=RUBRICS[HEAT], scripts=tuple(scripts), remarks=(), sources=())

"""An invented class of two practicals, as records made by hand; everyone in it is made up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from marking.findings import (
    Basis,
    Cause,
    CriterionMark,
    Explanation,
    Finding,
    MarkedSet,
    Outcome,
    Plot,
    Result,
    Script,
)
from marking.write_up import Entry, Place, Remark, Source, State, Student, Weight, WriteUp
from rubrics.formula import parse_formula
from rubrics.model import (
    AcceptedValue,
    Apparatus,
    Blank,
    CheckKind,
    Choice,
    Criterion,
    GraphInfo,
    Item,
    ResultInfo,
    Role,
    Rubric,
)
from rubrics.units import NO_DIMENSION, Unit

WIRE = "wire-resistance"
HEAT = "specific-heat-block"
LONGEST_NAME = "Maximiliana-Alexandrina Featherstonehaugh-Cholmondeley von und zu Unterwaldhausen-Oberammergau"


def a_unit(symbol: str) -> Unit:
    """Return a unit that only prints: nothing is worked out in these tests."""
    return Unit(symbol=symbol, factor=1.0, dimension=NO_DIMENSION)


def an_item(name: str, quantity: str, unit: str, *, symbol: str = "", formula: str = "", table: str = "") -> Item:
    """Return an item; one with a formula is an answer."""
    return Item(
        name=name,
        symbol=symbol or name,
        quantity=quantity,
        role=Role.ANSWER if formula else Role.READING,
        unit=a_unit(unit),
        recorded_in=(a_unit(unit),),
        table=table or None,
        limits=None,
        instrument="" if formula else "meter",
        resolution=None,
        headings=(),
        formula=parse_formula(formula) if formula else None,
        also=(),
        figures=(2, 3),
        choices=(),
        curve=None,
        blank=Blank.WITHHELD,
    )


def a_criterion(code: str, point: str, check: CheckKind, items: Sequence[str], marks: int = 1) -> Criterion:
    """Return one line of a mark scheme."""
    return Criterion(
        code=code,
        point=point,
        marks=marks,
        check=check,
        items=tuple(items),
        award=(),
        rows=None,
        span=None,
        each_way=None,
        near=None,
        when=(),
    )


def a_rubric(practical: str, title: str, purpose: str, items: Sequence[Item], criteria: Sequence[Criterion]) -> Rubric:
    """Return a practical without a graph and without a result of nature."""
    return Rubric(
        id=practical,
        edition=1,
        title=title,
        level="14 to 16",
        purpose=purpose,
        items={item.name: item for item in items},
        constants={},
        criteria=tuple(criteria),
        selector=None,
        graph=None,
        result=None,
        slips=(),
        cautions=("The wire gets hot. Switch off between readings.", "Keep the current below 1 A."),
        apparatus=(Apparatus(name="voltmeter", range="0 to 5 V", each=1),),
        file=f"{practical}.toml",
        sha256="0" * 64,
    )


def wire_rubric() -> Rubric:
    """Return resistance against length of a wire."""
    rubric = a_rubric(
        WIRE,
        "Resistance and length of a wire",
        "To find out how the resistance of a wire depends on its length, and to read the resistance "
        "of one metre off a graph.",
        (
            an_item("L", "length", "m", table="readings"),
            an_item("V", "p.d.", "V", table="readings"),
            an_item("I", "current", "A", table="readings"),
            an_item("R", "resistance", "Ω", formula="V / I", table="readings"),
            an_item("gradient", "gradient", "Ω/m", formula="slope(R, L)"),
        ),
        (
            a_criterion("R1", "Every reading is there, with its unit", CheckKind.READING, ["L", "V", "I"]),
            a_criterion("R2", "Readings keep their decimal places", CheckKind.PLACES, ["L", "V", "I"]),
            a_criterion("R3", "At least 6 lengths over at least 0.6 m", CheckKind.ROWS, ["L"]),
            a_criterion("F1", "Resistance right in every row", CheckKind.VALUE, ["R"], marks=2),
            a_criterion("F3", "Resistance to 2 or 3 figures", CheckKind.FIGURES, ["R"]),
            a_criterion("G4", "One straight line that fits the points", CheckKind.TEACHER, []),
            a_criterion("G5", "Gradient right", CheckKind.VALUE, ["gradient"]),
            a_criterion("F2", "Unit of the gradient", CheckKind.UNIT, ["gradient"]),
            a_criterion("K1", "Says what the graph shows, with the reason why it misses zero", CheckKind.TEACHER, []),
            a_criterion("V1", "Names one source of error and its direction", CheckKind.TEACHER, []),
        ),
    )
    return replace(rubric, graph=GraphInfo(x="L", y="R", fit="line"))


def heat_rubric() -> Rubric:
    """Return specific heat capacity of a metal block."""
    rubric = a_rubric(
        HEAT,
        "Specific heat capacity of a metal block",
        "To find how much energy one kilogram of a metal takes in for each degree it warms.",
        (
            an_item("m", "mass", "kg"),
            an_item("T_start", "start temperature", "°C", symbol="T₁"),
            an_item("T_end", "end temperature", "°C", symbol="T₂"),
            an_item("E", "energy", "J"),
            an_item("dT", "temperature rise", "°C", symbol="ΔT", formula="T_end - T_start"),
            an_item("c", "specific heat capacity", "J/(kg °C)", formula="E / (m * dT)"),
        ),
        (
            a_criterion(
                "R1", "All four readings, each with its unit", CheckKind.READING, ["m", "T_start", "T_end", "E"]
            ),
            a_criterion("F0", "Temperature rise", CheckKind.VALUE, ["dT"]),
            a_criterion("F1", "Specific heat capacity", CheckKind.VALUE, ["c"], marks=2),
            a_criterion("F2", "Unit of c", CheckKind.UNIT, ["c"]),
            a_criterion("F3", "Figures of c", CheckKind.FIGURES, ["c"]),
            a_criterion("V1", "Names one source of error and its direction", CheckKind.TEACHER, []),
        ),
    )
    accepted = AcceptedValue(
        name="aluminium", value=900.0, uncertainty=13.0, source="an invented data book", edition="third"
    )
    result = ResultInfo(
        answer="c",
        accepted=(accepted,),
        expected=None,
        stop=None,
        too_high="Some energy warms the surroundings, so the rise is too small for the energy counted.",
        too_low="A low value points to a thermometer close to the heater.",
    )
    return replace(rubric, result=result, cautions=("The heater stays hot after it is switched off.",))


RUBRICS: Mapping[str, Rubric] = {WIRE: wire_rubric(), HEAT: heat_rubric()}


def an_entry(raw: str, unit: str = "", cell: str = "D7") -> Entry:
    """Return a cell as it was written."""
    place = Place(file="7B.xlsx", sheet="Results", cell=cell)
    return Entry(raw=raw, unit_raw=unit, state=State.NUMBER if raw else State.BLANK, place=place)


def a_student(code: str, name: str = "", bench: str = "1", *, absent: bool = False) -> Student:
    """Return one line of the roster."""
    return Student(code=code, name=name, bench=bench, absent=absent)


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
        few_figures: Gradient to too many figures.
    """
    code = student.code
    rows = 5 if wrong else rows
    lengths = [0.10 * n for n in range(1, rows + 1)]
    p_ds = [round(0.06 + 1.77 * length, 2) for length in lengths]
    if odd:
        p_ds[3] = round(p_ds[3] * 1.3, 2)
    findings = [
        a_finding("reading-given", Outcome.AWARDED, student=code, item=item, row=row, criterion="R1", marks=0, out_of=0)
        for item in ("L", "V", "I")
        for row in range(1, rows + 1)
    ]
    findings += [
        a_finding(
            "places-mixed" if wrong else "places-right",
            Outcome.WITHHELD if wrong else Outcome.AWARDED,
            student=code,
            item=item,
            row=None,
            criterion="R2",
            facts={"quantity": quantity},
            entry="",
            unit="",
        )
        for item, quantity in (("L", "length"), ("V", "p.d."), ("I", "current"))
    ]
    findings.append(
        a_finding(
            "rows-too-few" if wrong else "rows-right",
            Outcome.WITHHELD if wrong else Outcome.AWARDED,
            student=code,
            item="L",
            row=None,
            criterion="R3",
            facts={"quantity": "length", "rows": str(rows), "rows_wanted": "6", "span": f"{rows / 10 - 0.1:.2f} m"},
        )
    )
    findings += [resistance_finding(code, row, p_d, 0.40, wrong=wrong) for row, p_d in enumerate(p_ds, start=1)]
    findings.append(
        a_finding(
            "right-carried-forward" if wrong else "right",
            Outcome.AWARDED,
            student=code,
            item="gradient",
            row=None,
            criterion="G5",
            marks=1,
            entry="4.42",
            unit="Ω/m",
            basis=Basis.CARRIED_FORWARD if wrong else Basis.OWN_READINGS,
            facts={
                "quantity": "gradient",
                "wrote": "4.42 Ω/m",
                "carried": "your column R",
                "readings": "your columns R and L",
                "formula": "gradient = gradient of R against L",
            },
        )
    )
    findings.append(
        a_finding(
            "unit-missing" if wrong else "unit-right",
            Outcome.WITHHELD if wrong else Outcome.AWARDED,
            student=code,
            item="gradient",
            row=None,
            criterion="F2",
            entry="4.42",
            unit="" if wrong else "Ω/m",
            explanations=(an_explanation(Cause.UNIT_MISSING, 1.0),) if wrong else (),
            facts={"quantity": "gradient", "unit": "Ω/m", "wrote": "4.42"},
        )
    )
    findings.append(
        a_finding(
            "figures-too-many" if few_figures or wrong else "figures-right",
            Outcome.WITHHELD if few_figures or wrong else Outcome.AWARDED,
            student=code,
            row=1,
            criterion="F3",
            explanations=(an_explanation(Cause.SIGNIFICANT_FIGURES, 1.0),) if few_figures or wrong else (),
            facts={"quantity": "resistance", "wrote": "0.6000000 Ω", "figures": "7", "figures_wanted": "2 or 3"},
        )
    )
    findings += [
        a_finding(
            "teacher-looks", Outcome.FOR_TEACHER, student=code, item="", row=None, criterion=criterion, marks=None
        )
        for criterion in ("G4", "K1", "V1")
    ]
    write_up = WriteUp(
        student=student,
        practical=WIRE,
        singles={"gradient": an_entry("4.42", "Ω/m")},
        columns={
            "L": {n: an_entry(f"{length:.3f}", "m") for n, length in enumerate(lengths, start=1)},
            "V": {n: an_entry(f"{p_d:.2f}", "V") for n, p_d in enumerate(p_ds, start=1)},
            "I": {n: an_entry("0.40", "A") for n in range(1, rows + 1)},
        },
    )
    plot = Plot(
        x_label="length L / m",
        y_label="resistance R / Ω",
        x=tuple(lengths),
        y=tuple(p_d / 0.40 for p_d in p_ds),
        odd_rows=(3,) if odd else (),
        line=(4.42, 0.15),
    )
    return Script(
        write_up=write_up, findings=tuple(findings), criteria=_marks(RUBRICS[WIRE], findings), plot=plot, result=None
    )


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


def with_choice(rubric: Rubric, item: str, word: str) -> Rubric:
    """Return *rubric* with one item asking for words."""
    items = dict(rubric.items)
    items[item] = replace(items[item], choices=(Choice(word=word, means=("proportional",)),))
    return replace(rubric, items=items)

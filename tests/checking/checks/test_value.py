"""Whether an answer follows from the student's own figures: right answers that look wrong, and wrong ones."""

from __future__ import annotations

import pytest

from tests.checking.rows import CUBOID, HEAT, WIRE, changed, found, in_table, mark, mark_class, marks, rows

RIGHT: list[tuple[str, dict[str, str]]] = [
    ("three figures", {"c": "973"}),
    ("as the calculator shows it", {"c": "973.3753221"}),
    ("two figures", {"c": "970"}),
    ("two figures in standard form", {"c": "9.7e2"}),
    ("two figures with a times sign", {"c": "9.7 × 10²"}),
    ("cut off, not rounded", {"c": "973.3"}),
    ("product kept to three figures", {"c": "971"}),
    ("20400 over 20.9", {"c": "976"}),
    ("in kilojoules", {"c": "0.973|kJ/(kg °C)"}),
    ("per gram", {"c": "0.973|J/(g °C)"}),
    ("per kelvin", {"c": "973|J kg⁻¹ K⁻¹"}),
    ("no unit at all", {"c": "973|"}),
    ("unit of another quantity", {"c": "973|J"}),
    ("mass in grams, converted", {"m": "998|g"}),
    ("energy in kilojoules, converted", {"E": "20.4|kJ"}),
    ("temperatures in kelvin", {"T_start": "293.65|K", "T_end": "314.65|K"}),
    ("rise in kelvin", {"dT": "21.0|K"}),
    ("rise without its zero", {"dT": "21"}),
    ("rise left out", {"dT": ""}),
    ("number and unit in one cell", {"c": "973 J/(kg °C)|"}),
    ("decimal comma", {"c": "0,973|kJ/(kg °C)"}),
    ("said to be about", {"c": "about 970"}),
    ("signs before and spaces about", {"c": " +973 "}),
    ("rise wrong, answer from the readings", {"dT": "12.0"}),
]


@pytest.mark.parametrize("changes", [case[1] for case in RIGHT], ids=[case[0] for case in RIGHT])
def test_right_answer_that_looks_wrong(changes: dict[str, str]) -> None:
    """Whatever rounding, unit or form a careful answer comes in, it earns its mark."""
    assert rows("specific-heat-block", changed(HEAT, **changes), "F1") == [("c", "F1", "awarded", "none")]


WRONG: list[tuple[str, dict[str, str], str]] = [
    ("one above what care allows", {"c": "983.0"}, "withheld"),
    ("one below what care allows", {"c": "965.0"}, "withheld"),
    ("grams put in", {"m": "998|g", "c": "0.973"}, "withheld"),
    ("kilojoules put in", {"E": "20.4|kJ", "c": "0.973"}, "withheld"),
    ("without a unit, a thousand times too small", {"c": "0.973|"}, "for-teacher"),
    ("last operation turned", {"c": "429000"}, "withheld"),
    ("upside down", {"c": "0.00103"}, "withheld"),
    ("minus before it", {"c": "-973"}, "withheld"),
    ("cannot be read", {"c": "97O"}, "for-teacher"),
    ("about", {"c": "a thousand"}, "for-teacher"),
    ("not given", {"c": ""}, "withheld"),
    ("a dash", {"c": "-"}, "withheld"),
    ("not applicable", {"c": "n/a"}, "withheld"),
]


@pytest.mark.parametrize(("changes", "outcome"), [case[1:] for case in WRONG], ids=[case[0] for case in WRONG])
def test_wrong_answer(changes: dict[str, str], outcome: str) -> None:
    """A value that no careful way leads to is withheld; what cannot be read goes to the teacher."""
    assert [row[2] for row in rows("specific-heat-block", changed(HEAT, **changes), "F1")] == [outcome]


@pytest.mark.parametrize(
    ("changes", "cause"),
    [
        ({"m": "998|g", "c": "0.973"}, "unit-conversion"),
        ({"c": "429000"}, "operation-order"),
        ({"c": "793"}, "digits-swapped"),
        ({"c": "123"}, "unexplained"),
        ({"dT": "62.0", "c": "330"}, "none"),
    ],
    ids=["unit", "order", "swapped", "nothing-explains-it", "carried-forward"],
)
def test_wrong_answer_names_its_cause(changes: dict[str, str], cause: str) -> None:
    """The finding of a wrong answer says what happened, or says that nothing explains it."""
    assert [row[3] for row in rows("specific-heat-block", changed(HEAT, **changes), "F1")] == [cause]


def test_answer_that_follows_from_a_wrong_one_earns_its_mark() -> None:
    """An answer that follows from a wrong ΔT earns its mark, and the finding says from what it was carried."""
    (finding,) = found("specific-heat-block", changed(HEAT, dT="62.0", c="330"), "F1")
    assert (finding.outcome, finding.basis, finding.marks) == ("awarded", "carried-forward", 1)
    assert finding.facts["carried"] == "your ΔT of 62.0 °C"
    assert finding.expected == pytest.approx(20400 / (0.998 * 62.0))


def test_expected_value_stands_in_the_unit_that_was_written() -> None:
    """What the readings lead to is told in the student's unit, from the readings alone."""
    (finding,) = found("specific-heat-block", changed(HEAT, c="1.2|kJ/(kg °C)"), "F1")
    assert finding.expected == pytest.approx(20.4 / (0.998 * 21.0))
    assert (finding.unit, finding.basis) == ("kJ/(kg °C)", "own-readings")


def test_one_slip_costs_one_mark() -> None:
    """A wrong rise loses the mark of the rise; what follows from it keeps its own, wherever that leads."""
    script = mark("specific-heat-block", changed(HEAT, dT="12.0", c="1700"))
    assert [code for code, given in marks(script).items() if given == 0] == ["P1"]


def test_the_same_slip_in_every_row_costs_one_mark() -> None:
    """Milliamperes taken for amperes in seven rows lose one mark; the gradient drawn through them stands."""
    slips = ["0.00090", "0.00132", "0.00176", "0.00216", "0.00264", "0.00302", "0.00348"]
    milli = WIRE.replace(",0.50,A", ",500,mA")
    lines = changed(milli, **{f"R_{row}": text for row, text in enumerate(slips, 1)}) + "\ngradient,,0.00429,Ω/m"
    script = mark("wire-resistance", lines)
    assert (marks(script)["P1"], marks(script)["G5"]) == (0, 1)
    assert sum(finding.out_of for finding in script.findings if finding.criterion == "P1") == 1
    assert {f.cause for f in script.findings if f.criterion == "P1"} == {"unit-conversion"}


def test_one_wrong_row_is_told_alone() -> None:
    """One wrong row of a table is told with its row, and the rows that stand are told as standing."""
    assert rows("wire-resistance", changed(WIRE, R_3="0.57"), "P1") == [
        ("R 1", "P1", "awarded", "none"),
        ("R 2", "P1", "awarded", "none"),
        ("R 3", "P1", "withheld", "rearrangement"),
        ("R 4", "P1", "awarded", "none"),
        ("R 5", "P1", "awarded", "none"),
        ("R 6", "P1", "awarded", "none"),
        ("R 7", "P1", "awarded", "none"),
    ]


@pytest.mark.parametrize(
    ("changes", "outcome"),
    [
        ({"V_3": "0.8B"}, "for-teacher"),
        ({"V_3": ""}, "for-teacher"),
        ({"I_3": "0.00"}, "for-teacher"),
        ({"I_3": "0.50|V"}, "for-teacher"),
        ({"R_3": "1.8"}, "awarded"),
        ({"R_3": "1.7"}, "awarded"),
        ({"R_3": "1.6"}, "withheld"),
    ],
    ids=["unreadable", "missing", "division-by-zero", "reading-in-another-unit", "rounded", "cut-off", "too-low"],
)
def test_row_whose_reading_cannot_be_used(changes: dict[str, str], outcome: str) -> None:
    """A row that cannot be worked out again goes to the teacher, and no other row suffers."""
    found_rows = rows("wire-resistance", changed(WIRE, **changes), "P1")
    assert found_rows[2][2] == outcome
    assert {row[2] for row in found_rows[:2] + found_rows[3:]} == {"awarded"}


@pytest.mark.parametrize("entry", ["", "-", "0", "infinite", "n/a"])
def test_row_with_nothing_to_work_out_is_never_counted(entry: str) -> None:
    """0 V over 0 A has no value: whatever stands there, or nothing, costs no mark."""
    lines = in_table(V="-2.00 -1.00 0.00 1.00 2.00 V", I="-0.20 -0.10 0.00 0.10 0.20 A", R="10 10 _ 10 10 Ω")
    lines += f"\ncomponent,,resistor,\nR,3,{entry},Ω" if entry else "\ncomponent,,resistor,"
    assert {row[2] for row in rows("iv-characteristic", lines, "P1")} == {"awarded"}


def test_negative_readings_have_a_positive_resistance() -> None:
    """With both signs kept the resistance is positive, and right."""
    lines = in_table(V="-2.00 -1.00 V", I="-0.20 -0.10 A", R="10.0 10.0 Ω") + "\ncomponent,,resistor,"
    assert {row[2] for row in rows("iv-characteristic", lines, "P1")} == {"awarded"}


@pytest.mark.parametrize(
    ("changes", "outcomes"),
    [
        ({"V": "242", "rho": "0.270", "rho_si": "270"}, ["withheld", "awarded", "awarded"]),
        ({"V": "242"}, ["withheld", "awarded", "awarded"]),
        ({"rho": "0.370", "rho_si": "370"}, ["awarded", "withheld", "awarded"]),
        ({"rho_si": "2.70"}, ["awarded", "awarded", "withheld"]),
        ({"V": "24.2|ml", "rho": "2700|kg/m³"}, ["awarded", "awarded", "awarded"]),
        ({"l": "40.5|mm", "w": "30.2|mm", "h": "19.8|mm", "V": "24200|mm³"}, ["awarded", "awarded", "awarded"]),
        ({"V": "24", "rho": "2.7"}, ["awarded", "awarded", "awarded"]),
        ({"V": "24", "rho": "2.73"}, ["awarded", "awarded", "awarded"]),
        ({"V": "", "rho": "2.70"}, ["awarded", "awarded", "awarded"]),
        ({"m": ""}, ["awarded", "for-teacher", "awarded"]),
        ({"V": "", "rho": "", "rho_si": ""}, ["for-teacher", "for-teacher", "for-teacher"]),
    ],
    ids=[
        "volume-slips-and-is-carried",
        "volume-slips-and-is-not-used",
        "density-turned-and-carried",
        "last-step-left-out",
        "other-units",
        "millimetres",
        "two-figures",
        "from-the-rounded-volume",
        "volume-proved-by-the-density",
        "mass-missing",
        "nothing-worked-out",
    ],
)
def test_chain_of_answers(changes: dict[str, str], outcomes: list[str]) -> None:
    """Each answer of a chain is judged from the readings and from the answers before it; either will do."""
    assert [row[2] for row in rows("density-cuboid", changed(CUBOID, **changes), "P1", "F1", "P3")] == outcomes


NEUTRALISATION = """
V_a,,50.0,cm³
V_b,,50.0,cm³
c_a,,2.00,mol/dm³
c_b,,2.00,mol/dm³
T_start,,19.0,°C
T_end,,31.5,°C
dT,,12.5,°C
m,,100,g
q,,5.23,kJ
n,,0.100,mol
dH,,-52.3,kJ/mol
"""


def test_the_class_does_not_say_which_slip_it_was() -> None:
    """Whether a slip is paid elsewhere is told by arithmetic alone: not by what sixty others did."""
    looked_at = {f"L{n}": NEUTRALISATION.replace("-52.3", entry) for n, entry in enumerate(("52.3", "5.23", "53.2"))}
    alone = {code: marks(mark("neutralisation-enthalpy", lines)) for code, lines in looked_at.items()}
    for crowd in ("52.3", "-5.23", "-25.3"):
        others = {f"C{n:02}": NEUTRALISATION.replace("-52.3", crowd) for n in range(60)}
        scripts = mark_class("neutralisation-enthalpy", {**looked_at, **others}).scripts[: len(looked_at)]
        assert {script.write_up.student.code: marks(script) for script in scripts} == alone, crowd


COUNTS = in_table(d="10.0 20.0 30.0 cm", N="2520 670 325 -", t="2.00 2.00 2.00 min")


@pytest.mark.parametrize(
    ("background", "wanted"),
    [
        ("bg,,24,count/min", ("awarded", "reading-given")),
        ("bg,,24,count/min\nN_b,,120,\nt_b,,5.0,min", ("awarded", "right")),
        ("bg,,30,count/min\nN_b,,120,\nt_b,,5.0,min", ("withheld", "wrong-value")),
        ("bg,,24,count/min\nN_b,,120,", ("for-teacher", "not-recalculable")),
        ("", ("for-teacher", "no-answer")),
    ],
    ids=["off a meter", "worked out", "worked out wrongly", "half of it", "blank"],
)
def test_what_may_be_read_off_a_meter_stands_alone(background: str, wanted: tuple[str, str]) -> None:
    """A background rate with no count and no time beside it is a reading; with either it is worked out again."""
    (line,) = found("inverse-square", f"{COUNTS}\n{background}".strip(), "P4")
    assert (line.outcome, line.reason) == wanted


REAL_IMAGES = in_table(
    u="18.0 20.0 25.0 30.0 40.0 cm",
    v="62.8 46.9 31.7 26.4 21.5 cm",
    inv_u="0.0556 0.0500 0.0400 0.0333 0.0250 1/cm",
    inv_v="0.0159 0.0213 0.0315 0.0379 0.0465 1/cm",
)


@pytest.mark.parametrize(
    ("focal", "outcomes"),
    [
        ("f,,14.0,cm", {"awarded"}),
        ("f,,15.5,cm", {"for-teacher", "withheld"}),
        ("f,,14.0,cm\nf_row,1,14.0,cm", {"awarded", "for-teacher"}),
    ],
    ids=["off the line", "wrong", "one row of it"],
)
def test_a_column_that_another_way_does_without_is_not_asked_for(focal: str, outcomes: set[str]) -> None:
    """A focal length off the intercepts needs no values in the rows; a column that was begun is asked for."""
    assert {line.outcome for line in found("lens-focal-length", f"{REAL_IMAGES}\n{focal}", "F1")} == outcomes

"""What is typed into cells, and what a spreadsheet makes of it."""

from __future__ import annotations

import datetime

from marking.write_up import State
from tests.intake.awkward.case import SHEET, Case, as_text, saved, sheet_case, swapped, table, workbook

BLANK, UNREADABLE = State.BLANK, State.UNREADABLE


def value_cases() -> tuple[Case, ...]:
    """Return the cases about single cells."""
    return (*_typed(), *_unclear(), *_stored(), *_shown(), *_units(), *_hostile())


def _typed() -> tuple[Case, ...]:
    spaces = {
        "B2": " 998 ",
        "C2": "19.5\u00a0",
        "D2": "\u200b40.0",
        "E2": "20\u202f400",
        "F2": "997\n",
        "G2": "\ufeffJ/(kg °C) ",
    }
    return (
        Case(name="clean.xlsx", data=saved(workbook(table())), outcome="clean", holds={"A02 T_start": (20.0, "°C")}),
        Case(name="clean.csv", data=as_text(table()), outcome="clean", holds={"A02 T_start": (20.0, "°C", (-1, -1))}),
        Case(
            name="all text.xlsx",
            data=saved(workbook([[str(value) for value in line] for line in table()])),
            outcome="notes",
            named=("20 numbers are stored as text",),
            holds={"A01 m": (998, "g")},
        ),
        sheet_case("stray spaces", "notes", "D2 E2", {"A01 E": (20400, "J"), "A01 c": (997, "J/(kg °C)")}, **spaces),
        sheet_case("text numbers", "notes", "B2 F2", {"A01 m": (998, "g")}, B2="998", F2="997"),
        Case(
            name="apostrophes.csv",
            data=as_text(table(B2="'998", F2="'997")),
            outcome="notes",
            named=("B2", "F2"),
            holds={"A01 m": (998, "g"), "A01 c": (997, "J/(kg °C)")},
        ),
        sheet_case(
            "unit in the cell",
            "notes",
            "B2 C2 D2 E2",
            {"A01 m": (998, "g"), "A01 T_end": (40, "°C"), "A01 E": (20400, "J")},
            B2="998 g",
            C2="19.5°C",
            D2="40.0 C",
            E2="20400J",
        ),
        sheet_case(
            "unit of another scale",
            "notes",
            "B2 E2 998 20400",
            {"A01 m": (0.998, "kg"), "A01 E": (20.4, "kJ")},
            B2="0.998 kg",
            E2="20.4 kJ",
        ),
        sheet_case("unit of another quantity", "query", "B2", {"A01 m": UNREADABLE, "A02 m": (1005, "g")}, B2="998 ml"),
        sheet_case(
            "decimal commas",
            "notes",
            "C2 D2 C3 D3",
            {"A01 T_start": (19.5, "°C", (-1, -1)), "A02 T_end": (41.5, "°C", (-2, -2))},
            C2="19,5",
            D2="40,0",
            C3="20,0",
            D3="41,50",
        ),
        sheet_case(
            "dashes for minus",
            "notes",
            "C2 C3",
            {"A01 T_start": (-4.5, "°C"), "A02 T_start": (-4.5, "°C"), "A03 T_start": (-4.5, "°C")},
            C2="\u22124.5",
            C3="\u20134.5",
            C4="-4.5",
        ),
        sheet_case(
            "full width",
            "notes",
            "B2 C2",
            {"A01 m": (998, "g"), "A01 T_start": (19.5, "°C")},
            B2="９９８",
            C2="１９．５",
        ),
        sheet_case(
            "powers of ten",
            "notes",
            "E2 E3 E4 F2",
            {
                "A01 E": (20400, "J"),
                "A02 E": (21600, "J"),
                "A03 E": (19800, "J"),
                "A04 E": (19100, "J"),
                "A01 c": (997, "J/(kg °C)"),
            },
            E2="2.04x10^4",
            E3="2.16×10⁴",
            E4="1.98 x 10^4",
            E5="1.91E4",
            F2="9.97*10^2",
        ),
        sheet_case(
            "small powers",
            "notes",
            "B2 E2 E3",
            {"A01 m": (0.998, "kg"), "A01 E": (20.4, "kJ"), "A02 E": (0.0216, "MJ")},
            B2="9.98×10⁻¹ kg",
            E2="20400×10⁻³ kJ",
            E3="21.6×10^-3 MJ",
        ),
        sheet_case(
            "about and uncertain",
            "notes",
            "C2 C3 D3 C4 D4",
            {"A01 T_start": (19.5, "°C"), "A02 T_end": (41.5, "°C"), "A03 T_end": (38.0, "°C")},
            C2="~19.5",
            C3="20.0 ± 0.5",
            D3="41.5+/-0.5",
            C4="about 18.5",
            D4="38.0 (±0.1)",
        ),
    )


def _unclear() -> tuple[Case, ...]:
    marks = {
        "B2": None,
        "C2": "-",
        "D2": "n/a",
        "E2": "",
        "F2": "absent",
        "B3": "#",
        "C3": "?",
        "D3": "none",
        "E3": "N/A",
        "F3": "--",
    }
    return (
        sheet_case(
            "comma and three digits, range decides",
            "notes",
            "E4 C5",
            {"A03 E": (19800, "J"), "A04 T_start": (21.5, "°C", (-3, -3))},
            E4="19,800",
            C5="21,500",
        ),
        sheet_case("comma and three digits, nothing decides", "query", "F4", {"A03 c": UNREADABLE}, F4="1,010"),
        sheet_case(
            "thousands",
            "query",
            "E2 E4 E5",
            {"A01 E": (20400, "J", (-1, -1)), "A03 E": UNREADABLE, "A04 E": (19100, "J")},
            E2="20,400.0",
            E4="1,980,0",
            E5="19 100",
        ),
        sheet_case(
            "fractions and percent",
            "query",
            "B2 B3 B4",
            {"A01 m": (0.2, "kg"), "A02 m": UNREADABLE, "A03 m": (0.25, "kg")},
            B2="1/5 kg",
            B3="15%",
            B4="¼ kg",
        ),
        sheet_case(
            "no value",
            "query",
            "B2 C2 D2 E2 F2 B3 C3 D3 E3 F3",
            {f"{who} {item}": BLANK for who in ("A01", "A02") for item in ("m", "T_start", "T_end", "E", "c")},
            **marks,
        ),
        Case(
            name="not finite.csv",
            data=as_text(table(F2="nan", F3="inf", F4="1e999", F5="-Infinity", B5="NaN")),
            outcome="query",
            named=("F2", "F3", "F4", "F5", "B5"),
            holds={f"{who} c": UNREADABLE for who in ("A01", "A02", "A03", "A04")},
        ),
        sheet_case(
            "many digits",
            "query",
            "F2 F3 F5",
            {"A01 c": UNREADABLE, "A02 c": UNREADABLE, "A04 c": UNREADABLE},
            F2="9" * 400,
            F3="9" * 5000,
            F4="0." + "3" * 300,
            F5="1e400000000",
        ),
        sheet_case("words for a number", "query", "F2 F3", {"A01 c": UNREADABLE}, F2="about the same", F3="99O"),
    )


def _stored() -> tuple[Case, ...]:
    dates = workbook(table(F2=datetime.datetime(2024, 2, 1), B3=datetime.datetime(2024, 4, 3), C4=datetime.time(1, 30)))
    formulas = workbook(table(F2=None, E3=None))
    formulas.worksheets[0]["F2"] = "=E2/(B2/1000*(D2-C2))"
    formulas.worksheets[0]["E3"] = "=20000+1600"

    def cell(address: str, xml: str) -> bytes:
        value = table()[int(address[1:]) - 1][ord(address[0]) - ord("A")]
        return saved(workbook(table()), {SHEET: swapped(f'<c r="{address}" t="n"><v>{value}</v></c>', xml)})

    return (
        sheet_case("true and false", "query", "F2 B3", {"A01 c": UNREADABLE, "A02 m": UNREADABLE}, F2=True, B3=False),
        Case(
            name="dates.xlsx",
            data=saved(dates),
            outcome="query",
            named=("F2", "B3", "C4", "changed what was typed"),
            holds={"A01 c": UNREADABLE, "A02 m": UNREADABLE, "A03 T_start": UNREADABLE},
        ),
        Case(
            name="formulas without result.xlsx",
            data=saved(formulas),
            outcome="query",
            named=("F2", "E3", "a formula without a result"),
            holds={"A01 c": UNREADABLE, "A02 E": UNREADABLE},
        ),
        Case(
            name="formula error.xlsx",
            data=cell("F2", '<c r="F2" t="e"><f>E2/0</f><v>#DIV/0!</v></c>'),
            outcome="query",
            named=("F2", "#DIV/0!", "an error of the spreadsheet"),
            holds={"A01 c": UNREADABLE},
        ),
        Case(
            name="formula.xlsx",
            data=cell("F2", '<c r="F2"><f>E2/(B2/1000*(D2-C2))</f><v>997</v></c>'),
            outcome="notes",
            named=("F2", "a formula"),
            holds={"A01 c": (997, "J/(kg °C)")},
        ),
        Case(
            name="formula to outside.xlsx",
            data=cell("F2", "<c r=\"F2\"><f>'[other.xlsx]Sheet1'!A1</f><v>997</v></c>"),
            outcome="notes",
            named=("F2", "another workbook"),
            holds={"A01 c": (997, "J/(kg °C)")},
        ),
        Case(
            name="no number in a number.xlsx",
            data=cell("F2", '<c r="F2" t="n"><v>abc</v></c>'),
            outcome="refuse",
            students=(),
        ),
    )


def _shown() -> tuple[Case, ...]:
    zeros = workbook(table(C3="20.0"))
    for address, number_format in (("B2", "0.00"), ("C2", "0.0"), ("F3", "0.00E+00"), ("E4", "#,##0")):
        zeros.worksheets[0][address].number_format = number_format
    units = workbook(table(B2=0.998))
    units.worksheets[0]["B2"].number_format = '0.000" kg"'
    units.worksheets[0]["C2"].number_format = '0.0"°C"'
    percent = workbook(table(B2=0.25))
    percent.worksheets[0]["B2"].number_format = "0%"
    return (
        Case(
            name="zeros in formats.xlsx",
            data=saved(zeros),
            outcome="notes",
            named=("D2", "cannot be told"),
            holds={
                "A01 m": (998, "g", (-2, -2)),
                "A02 c": (1000, "J/(kg K)", (1, 1)),
                "A01 T_start": (19.5, "°C", (-1, -1)),
            },
        ),
        Case(
            name="units in formats.xlsx",
            data=saved(units),
            outcome="notes",
            named=("B2", "998 g"),
            holds={"A01 m": (0.998, "kg"), "A01 T_start": (19.5, "°C")},
        ),
        Case(
            name="percent format.xlsx",
            data=saved(percent),
            outcome="query",
            named=("B2", "25%"),
            holds={"A01 m": UNREADABLE},
        ),
    )


def _units() -> tuple[Case, ...]:
    return (
        sheet_case(
            "unit spellings",
            "query",
            "G5",
            {"A01 c": (997, "J/(kg °C)"), "A02 c": (1000, "J/(kg K)"), "A03 c": (1010, "J/kg")},
            G2="J/kgC",
            G3="J kg-1 K-1",
            G4="J/kg",
            G5="J/kg-1 K-1",
        ),
        sheet_case(
            "units that hang a parser",
            "query",
            "G2 G3 G4 G5",
            G2="9**9**9",
            G3="m**9**9**9",
            G4="(" * 3000 + "m" + ")" * 3000,
            G5="__import__('os').getcwd()",
        ),
    )


def _hostile() -> tuple[Case, ...]:
    return (
        sheet_case(
            "formulas as text",
            "query",
            "F2 F3 F4 F5 G2",
            {"A02 c": UNREADABLE},
            F2='=HYPERLINK("http://127.0.0.1/?"&A2,"click")',
            F3="=1+1",
            F4="@SUM(1)",
            F5="+1-1",
            G2="=cmd|'/C x'!A0",
        ),
        sheet_case(
            "mark-up",
            "query",
            "F2 F3 F4 F5 G2",
            {"A01 c": UNREADABLE},
            F2="<b>997",
            F3="if m<n then 1000",
            F4='<img src="logo.png"/>',
            F5="<mass> & more",
            G2="<font>J</font>",
        ),
        Case(
            name="control characters.csv",
            data=as_text(table(F2="997\x01", F3="\x0b1000", F4="1010\ufffe", F5="995\x1b[31m")),
            outcome="query",
            named=("F2", "F3", "F4", "F5", "[U+0001]"),
        ),
        sheet_case("long texts", "query", "F2 F3 F4", F2="word " * 6000, F3="W" * 5000, F4="line\n" * 2000),
        Case(
            name="other scripts.csv",
            data=as_text(table(F2="четыре", F3="مرحبا 997", F4="四一六〇", F5="\u202e799")),
            outcome="query",
            named=("F2", "F3", "F4", "F5", "[U+202E]"),
        ),
    )

"""What the sheets of all samples say, worked out a second time: by pint and plain arithmetic on what is printed."""

from __future__ import annotations

import math
import re
import statistics
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pint
import pytest
from pypdf import PdfReader

from marking.findings import Finding, Outcome, Script
from reports.next_step import what_now
from reports.student import write_feedback
from reports.wording import points_to_mend, what_stands, wording
from rubrics.formulas import Call, walk
from rubrics.model import Item, Rubric
from tests.samples.marked import FOLDERS, marked

NEAR = 0.03
"""By how much the printed figures may miss what was expected: three figures, and g as 9.8 or 10."""
MOST_WORDS = 220
UNITS: pint.UnitRegistry = pint.UnitRegistry()  # type: ignore[type-arg]
SIGNS = str.maketrans({"×": "*", "÷": "/", "−": "-", "\u202f": "", "\u00a0": "", "[": "(", "]": ")"})
POWERS = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One student with something to mend."""

    script: Script
    rubric: Rubric

    @property
    def finding(self) -> Finding:
        """Return what comes first."""
        return points_to_mend(self.script, self.rubric)[0].findings[0]

    @property
    def item(self) -> Item:
        """Return what it is about."""
        return self.rubric.items[self.finding.item]


def sheets(folder: str) -> Iterator[Sheet]:
    """Yield the students of a folder who have a step of a formula to do."""
    one = marked(folder)
    for script in one.scripts:
        points = points_to_mend(script, one.rubric) if script.write_up.is_handed_in else ()
        if points and points[0].findings[0].reason in ("wrong-value", "no-answer"):
            yield Sheet(script=script, rubric=one.rubric)


@cache
def factor(symbol: str) -> float:
    """Return how many SI units one of *symbol* is, by pint; a change of temperature for a temperature."""
    plain = symbol.replace("°C", "delta_degC").replace(" ", "*").replace("count", "dimensionless")
    plain = re.sub(r"[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+", lambda found: f"**{found[0].translate(POWERS)}", plain)
    plain = plain.replace("°", "degree").replace("%", "percent").replace("Ω", "ohm").replace("µ", "u")
    return float(UNITS.Quantity(1, plain).to_base_units().magnitude) if plain else 1.0


def worked(text: str) -> float:
    """Return what a printed sum comes to."""
    plain = re.sub(r"10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda found: f"10**({found[1].translate(POWERS)})", text)
    plain = re.sub(r"([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda found: f"**({found[1].translate(POWERS)})", plain)
    plain = re.sub(r"\((-?[\d.]+)°\)|([\d.]+)°", lambda found: f"(radians({found[1] or found[2]}))", plain)
    names = {
        "pi": math.pi,
        "radians": math.radians,
        "sin": math.sin,
        "sqrt": math.sqrt,
        "ln": math.log,
        "cos": math.cos,
    }
    return float(eval(plain.translate(SIGNS).replace("π", "pi"), {"__builtins__": {}}, names))


def valued(text: str) -> tuple[float, str]:
    """Return number and unit of '24.6 kJ' or '1.2 × 10⁻³ m'."""
    found = re.fullmatch(r"(−?[\d.\u202f\u00a0]+(?: × 10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?)(.*)", text.strip())
    assert found, text
    return worked(found[1]), found[2].strip()


def unit_written(sheet: Sheet) -> float:
    """Return how many SI units one unit of the student's answer is: what `expected` is in."""
    column = sheet.script.write_up.columns.get(sheet.item.name, {})
    entry = (
        column.get(sheet.finding.row or 1) if sheet.item.table else sheet.script.write_up.singles.get(sheet.item.name)
    )
    reading = entry.unit if entry is not None else None
    fits = reading is not None and reading.unit is not None and reading.unit.dimension == sheet.item.unit.dimension
    return reading.unit.factor if fits and reading and reading.unit else sheet.item.unit.factor


def printed_to(number: float) -> float:
    """Return how far, as a share, a printed number may lie from what it was rounded from."""
    text = f"{number:.12g}"
    places = len(text.partition(".")[2]) if "." in text else 0
    return max(0.006 if places else 0.05, 0.51 * 10.0**-places / abs(number))


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_worked_line_is_true(folder: str) -> None:
    """Each change of unit holds by pint, and each sum with its units comes to what the student's figures lead to."""
    for sheet in sheets(folder):
        now = what_now(sheet.script, sheet.rubric, points_to_mend(sheet.script, sheet.rubric))
        for line in now.values:
            sides = line.split(" = ")[1:]
            if len(sides) == 2 and all(re.match(r"−?\d", side) for side in sides):
                (before, unit), (after, other) = map(valued, sides)
                assert before * factor(unit) == pytest.approx(after * factor(other), rel=6e-4), line
        if now.line is None or sheet.finding.expected is None or not re.search(r"\d.*=$", now.line.before):
            continue
        text = now.line.before.rstrip("= ").rpartition(" = ")[2]
        if "…" in text or re.search(r"\bn \(", text):  # a symbol with a bracket of its own is no sum
            continue
        if re.search(r"[×÷+(]|\d[²³]| − ", text):
            value = worked(text) * factor(now.line.after)
        else:  # only the unit changes
            number, unit = valued(text)
            value = number * factor(unit)
        assert value == pytest.approx(sheet.finding.expected * unit_written(sheet), rel=NEAR), now.line


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_answer_of_a_step_with_other_numbers_is_right(folder: str) -> None:
    """The values as printed, put into the rubric's own formula in SI, give the answer on the teacher's list."""
    for sheet in sheets(folder):
        more = what_now(sheet.script, sheet.rubric, points_to_mend(sheet.script, sheet.rubric)).more
        found = re.match(r"Other numbers: (.+?)\. (?:Work|Guess)", more.text)
        formula = sheet.item.formula
        if not found or formula is None or any(isinstance(node, Call) for node in walk(formula.tree)):
            continue
        given = dict(part.split(" = ") for part in re.split(r", | and ", found[1]))
        names = {item.symbol.replace("_", " "): item for item in sheet.rubric.items.values()}
        if set(formula.names) - set(sheet.rubric.constants) != {
            names[symbol].name for symbol in given if symbol in names
        }:
            continue  # traced back to readings, or a symbol that two items share
        values: dict[str, float] = {}
        for symbol, text in given.items():
            number, unit = valued(text)
            values[names[symbol].name] = number * factor(unit)
        values |= {name: one.values[0] * factor(one.unit.symbol) for name, one in sheet.rubric.constants.items()}
        right = eval(formula.text, {"__builtins__": {}}, {**values, "pi": math.pi, "sin": math.sin})
        number, unit = valued(more.answer.rpartition(" = ")[2])
        assert number * factor(unit) == pytest.approx(right, rel=printed_to(number)), more


@pytest.mark.parametrize("folder", FOLDERS)
def test_no_sheet_speaks_against_itself(folder: str) -> None:
    """Nothing is said to stand that the same sheet mends; the answer that is asked for is not told."""
    one = marked(folder)
    against: Mapping[str, list[str]] = wording("against")
    for script in one.scripts:
        if not script.write_up.is_handed_in:
            continue
        stands = " ".join(what_stands(script, one.rubric))
        mended = {(f.item, f.row): f for f in script.findings if f.outcome is Outcome.WITHHELD}
        for (name, _), finding in mended.items():
            item = one.rubric.items.get(name)
            if item is None or item.table is not None:
                continue
            said = re.search(rf"{re.escape(item.quantity)}: .* follows", stands, re.IGNORECASE)
            assert not said or finding.reason not in against["right"], (script.write_up.student.code, stands)
        assert not re.search(r"[5-9]\d\d(\.\d+)? % follows", stands)


@pytest.mark.parametrize("folder", FOLDERS)
def test_fronts_are_short_and_set_as_print(folder: str, tmp_path: Path) -> None:
    """At most 220 words in the middle of a set, one page, nothing typed as code, no word of marks where hidden."""
    one = marked(folder)
    words = []
    for script in one.scripts:
        if not script.write_up.is_handed_in:
            continue
        path = tmp_path / f"{script.write_up.student.code}.pdf"
        write_feedback(path, [script], {one.rubric.id: one.rubric})
        pages = PdfReader(path).pages
        text = pages[0].extract_text().replace("\u00a0", " ")
        words.append(len(text.split()))
        assert len(pages) == 1, path.name
        assert not re.search(r"\d[eE][-+]?\d|\^|\*\*|\w_\w|\bnan\b|\{", text), text
        assert not re.search(r"[×÷+−±]$", text, re.MULTILINE), text
    assert statistics.median(words) <= MOST_WORDS

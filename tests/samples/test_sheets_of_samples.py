"""What the sheets of all samples and banks say, worked out a second time from what is printed."""

from __future__ import annotations

import math
import re
import statistics
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec import Struct
from msgspec.structs import replace
from pypdf import PdfReader

from marking.findings import Cause, Finding, Outcome, Script
from marking.reasons import Reason
from reports.next_step import Question, task_for, what_now
from reports.next_step.next_one import next_one
from reports.next_step.what_now import own_step
from reports.student import write_feedback
from reports.wording import points_to_mend, told_cause, what_stands, wording
from rubrics.model import Item, Rubric
from tests.reports.read_back import (
    NUMBER,
    changes_of_unit,
    factor,
    from_given,
    given_in,
    in_si,
    printed_to,
    valued,
    worked,
)
from tests.samples.all_scripts import TRIED, scripts
from tests.samples.marked import FOLDERS, marked

NEAR = 0.03
"""By how much the printed figures may miss what was expected: three figures, and g as 9.8 or 10."""
NO_STEP = ("teacher-ticked", "words-empty", "no-words")
"""What was found of a point that has no step to do again."""
MOST_WORDS = 230
"""In the middle of a class; 220 in the middle of all."""


class Sheet(Struct, frozen=True, kw_only=True):
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

    @property
    def more(self) -> Question:
        """Return what is asked next."""
        return what_now(self.script, self.rubric, points_to_mend(self.script, self.rubric)).more


def sheets(name: str) -> Iterator[Sheet]:
    """Yield the students of a set who have something to mend."""
    for script, rubric in scripts(name):
        if points_to_mend(script, rubric):
            yield Sheet(script=script, rubric=rubric)


def unit_written(sheet: Sheet) -> float:
    """Return how many SI units one unit of the student's answer is: what `expected` is in."""
    column = sheet.script.write_up.columns.get(sheet.item.name, {})
    entry = (
        column.get(sheet.finding.row or 1) if sheet.item.table else sheet.script.write_up.singles.get(sheet.item.name)
    )
    reading = entry.unit if entry is not None else None
    fits = reading is not None and reading.unit is not None and reading.unit.dimension == sheet.item.unit.dimension
    return reading.unit.factor if fits and reading and reading.unit else sheet.item.unit.factor


# ---- the student's own step ------------------------------------------------------------------------------------


def value_of_line(before: str, after: str, values: tuple[str, ...]) -> float | None:
    """Return in SI what a line to finish comes to; None for one that holds no sum."""
    text = before.rstrip("= ").rpartition(" = ")[2]
    if not re.search(r"\d.*=$", before) or "…" in text or re.search(r"\bn \(", text):
        return None  # a symbol with a bracket of its own is no sum
    gradients = [line.removeprefix("gradient = ") for line in values if line.startswith("gradient = (")]
    if re.search(r"[×÷+(]|\d[²³]| − ", text):
        return worked(text, gradient=worked(gradients[0]) if gradients else math.nan) * factor(after)
    return in_si(text)  # only the unit changes


@pytest.mark.parametrize("name", TRIED)
def test_every_worked_line_is_true(name: str) -> None:
    """Each change of unit holds by pint, and each sum with its units comes to what the student's figures lead to."""
    for sheet in sheets(name):
        now = what_now(sheet.script, sheet.rubric, points_to_mend(sheet.script, sheet.rubric))
        for line in (*now.values, *now.said):
            for before, after in changes_of_unit(line):
                assert in_si(before) == pytest.approx(in_si(after), rel=6e-4), line
        if sheet.finding.reason is Reason.PLACES_MIXED and sheet.item.resolution and now.answer:
            _no_digit_is_lost(sheet, now.answer)
        if sheet.finding.reason.startswith("figures-") and sheet.item.formula:
            _rounded_rightly(sheet, now.answer)
        if now.line is None or sheet.finding.reason not in ("wrong-value", "no-answer", "method-not-done"):
            continue
        value = value_of_line(now.line.before, now.line.after, now.values)
        if value is None:
            continue
        if sheet.finding.expected is not None:
            assert value == pytest.approx(sheet.finding.expected * unit_written(sheet), rel=NEAR), now.line
        number, unit = valued(now.answer.rpartition(" = ")[2])
        assert number * factor(unit) == pytest.approx(value, rel=printed_to(number)), now


@pytest.mark.parametrize("name", TRIED)
def test_what_was_to_be_said_in_words_is_not_told(name: str) -> None:
    """A point such as 'the highest temperature was used' would be the answer, and told as if it had been done."""
    for script, rubric in scripts(name):
        for point in points_to_mend(script, rubric):
            finding = point.findings[0]
            if finding.reason in ("words-empty", "no-words"):
                told = " ".join((*what_now(script, rubric, [point]).said, point.step, point.tip))
                assert finding.facts["point"] not in told
                assert told.strip()


def _no_digit_is_lost(sheet: Sheet, answer: str) -> None:
    """A reading that is written to the places of the others stays the reading, to half a step of its scale."""
    number, _unit = valued(answer.rpartition(" = ")[2])
    written = worked_text(sheet.finding.entry).split(" ")[0].rstrip("°CVAmcgks³²")
    assert sheet.item.resolution is not None
    assert number == pytest.approx(float(written), abs=0.51 * sheet.item.resolution), answer


def _rounded_rightly(sheet: Sheet, answer: str) -> None:
    """What the teacher's list has is the student's own value rounded; where figures were cut off, the exact one."""
    script, finding = sheet.script, sheet.finding
    step = own_step(script, sheet.rubric, replace(finding, reason=Reason.NO_ANSWER, expected=None))
    if step is None:
        return
    found = re.search(rf" = ({NUMBER})", answer)
    assert found, answer
    assert worked(found[1]) == pytest.approx(step.value, rel=0.03), answer


@pytest.mark.parametrize("name", TRIED)
def test_what_is_said_of_other_points_is_true_too(name: str) -> None:
    """Changes of unit in the lines for next time, and in what the class summary quotes."""
    for script, rubric in scripts(name):
        for point in points_to_mend(script, rubric):
            for said in (point.step, *dict(point.card).values()):
                for before, after in changes_of_unit(said):
                    assert in_si(before) == pytest.approx(in_si(after), rel=6e-4), said


# ---- one more of the kind --------------------------------------------------------------------------------------


def _answer(more: Question) -> str:
    return more.answer.rpartition(" = ")[2]


def _other_numbers(sheet: Sheet, more: Question) -> None:
    found = re.match(r"Other numbers: (.+?)\. (?:Work|Guess|They give|The calculator|Ring)", more.text)
    assert found, more
    assert sheet.item.formula
    given = given_in(found[1])
    assert ("Ring the one" in more.text) == (told_cause(sheet.finding) is Cause.ANOMALY_INCLUDED), more
    if "Ring the one" in more.text:
        given = without_odd(given)
    right = from_given(sheet.rubric, sheet.item.formula, given)
    number, unit = valued(_answer(more))
    assert number * factor(unit) == pytest.approx(right, rel=printed_to(number)), more
    shown = re.search(rf"(?:They give|calculator shows) [^=]+ = ({NUMBER}.*?)\. Write", more.text)
    if shown:
        long, its_unit = valued(shown[1])
        assert long * factor(its_unit or unit) == pytest.approx(right, rel=printed_to(long)), more


def without_odd(given: dict[str, str]) -> dict[str, str]:
    """Return the readings without the one that lies far from the others; it must stand out."""
    if len(given) == 1:
        ((name, text),) = given.items()
        *numbers, last = text.split(", ")
        number, unit = last.split(" ", 1) if " " in last else (last, "")
        kept = without_odd({str(place): one for place, one in enumerate([*numbers, number])})
        return {name: f"{', '.join(kept.values())} {unit}".strip()}
    value = {name: valued(text)[0] for name, text in given.items()}
    middle = statistics.median(value.values())
    odd = max(value, key=lambda name: abs(value[name] - middle))
    others = [one for name, one in value.items() if name != odd]
    assert abs(value[odd] - middle) > 2 * (max(others) - min(others)), given
    return {name: text for name, text in given.items() if name != odd}


def _line(sheet: Sheet, more: Question) -> None:
    points = re.findall(rf"\(({NUMBER}), ({NUMBER})\)", more.text)
    (x1, y1), (x2, y2) = ((worked(x), worked(y)) for x, y in points)
    gradient = (y2 - y1) / (x2 - x1)
    right = gradient
    if "meets the y axis" in more.text:
        right = y1 - gradient * x1
    elif "minus the gradient" in more.text:
        right = -gradient
    number, unit = valued(_answer(more))
    assert unit == sheet.item.unit.symbol
    assert number == pytest.approx(right, rel=printed_to(number)), more


def _curve(_: Sheet, more: Question) -> None:
    found = re.match(
        r"On another curve (.+) is (.+) at (.+) = (.+), and (.+) at \3 = (.+?)\. .+ equal to (.+)\?", more.text
    )
    assert found, more
    low_y, low_x, high_y, high_x, at = (valued(text)[0] for text in found.group(2, 4, 5, 6, 7))
    assert min(low_y, high_y) < at < max(low_y, high_y), more
    right = low_x + (at - low_y) / (high_y - low_y) * (high_x - low_x)
    assert valued(_answer(more))[0] == pytest.approx(right, rel=0.03), more


def _rounding(_: Sheet, more: Question) -> None:
    found = re.match(rf"The calculator shows .+ = ({NUMBER}).*\. Write it with (\d) figures", more.text)
    assert found, more
    assert valued(_answer(more))[0] == pytest.approx(float(f"{worked(found[1]):.{found[2]}g}"), rel=1e-9)


def _swapped(_: Sheet, more: Question) -> None:
    found = re.search(rf"says .+? = ({NUMBER}).*\. The table says ({NUMBER})", more.text)
    assert found
    right, wrong = found.groups()
    assert right != wrong
    assert sorted(right) == sorted(wrong)
    assert _answer(more).startswith(right)


def _places(_: Sheet, more: Question) -> None:
    asked = re.findall(rf" = ({NUMBER})", more.text)
    step = re.search(rf"steps of ({NUMBER})", more.text)
    count = re.search(r"with (\d) decimal", more.text)
    answers = [re.match(NUMBER, part) for part in more.answer.split(" and ")]
    for text, answer in zip(asked, answers, strict=True):
        assert answer
        places = -int(Decimal(worked_text(answer[0])).as_tuple().exponent)
        wanted = int(count[1]) if count else -int(Decimal(worked_text(step[1])).as_tuple().exponent) if step else -1
        assert places == wanted
        assert worked(answer[0]) == pytest.approx(worked(text), abs=worked(step[1]) / 2 if step else 0.51 * 10**-places)


def worked_text(text: str) -> str:
    """Return a printed number as plain digits."""
    return text.replace("−", "-").replace("\u202f", "")


def _scale(_: Sheet, more: Question) -> None:
    low, high = (worked(text) for text in re.findall(rf"from ({NUMBER}) to ({NUMBER})", more.text)[0])
    start, step = (worked(text) for text in re.findall(rf"(?:at|is) ({NUMBER})", more.answer))
    assert start <= low
    assert high <= start + 10 * step * (1 + 1e-9)
    assert high - low >= 5 * step, more
    assert f"{step:e}"[0] in "125"


def _nearest(_: Sheet, more: Question) -> None:
    value, table = re.findall(rf"has .+? = ({NUMBER}).*?Table: (.+?)\. Which", more.text)[0]
    rows = {name: worked(number) for name, number in re.findall(rf"([a-z][a-z ]+) ({NUMBER})", table)}
    assert min(rows, key=lambda name: abs(rows[name] - worked(value))) == more.answer


def _averaged(_: Sheet, more: Question) -> None:
    three = [worked(text) for text in re.findall(NUMBER, more.text.partition(". Average")[0])]
    within = worked(re.findall(rf"within ({NUMBER})", more.text)[0])
    agree = [one for one in three if sum(abs(one - other) <= within * 1.000001 for other in three) > 1]
    number, _unit = valued(more.answer.rpartition("mean ")[2])
    assert number == pytest.approx(sum(agree) / len(agree), rel=printed_to(number))


def _planned(_: Sheet, more: Question) -> None:
    numbers = [worked(text) for text in re.findall(NUMBER, more.answer.replace(", ", " ; "))][:6]
    assert len(numbers) == 6
    assert len({round(b - a, 9) for a, b in pairwise(numbers)}) == 1, more


def _shape(_: Sheet, more: Question) -> None:
    x, y = (
        [worked(one) for one in re.findall(NUMBER, part)]
        for part in re.findall(r" = ([^=]+?)(?: gives|\. )", more.text)
    )
    ratios = [up / across for across, up in zip(x, y, strict=True)]
    rises = [b - a for a, b in pairwise(y)]
    if max(ratios) == pytest.approx(min(ratios)):
        assert more.answer in ("straight line through the origin", "yes", "proportional"), more
    elif rises[0] == pytest.approx(rises[-1]):
        assert "origin" not in more.answer.replace("not through the origin", ""), more
    else:
        assert more.answer not in ("straight line through the origin", "yes"), more


READERS: Mapping[str, Callable[[Sheet, Question], None]] = {
    "Other numbers: ": _other_numbers,
    "Another line of ": _line,
    "On another curve ": _curve,
    "The calculator shows ": _rounding,
    "The working says ": _swapped,
    "The scale is read ": _places,
    "Write ": _places,
    "Another set of readings ": _scale,
    "Another set: ": _shape,
    "Another one has ": _nearest,
    "Three more readings: ": _averaged,
    "Plan 6 values ": _planned,
}
IN_WORDS = ("Write down how ", "What do you read ", "Why should it ", "Which unit")
"""Tasks whose answer is no number."""


@pytest.mark.parametrize("name", TRIED)
def test_every_task_is_of_the_own_step_and_its_answer_is_right(name: str) -> None:
    """Made from the student's own formula, items and kind of slip; its answer follows from its printed text."""
    for sheet in sheets(name):
        point = points_to_mend(sheet.script, sheet.rubric)[0]
        assert next_one(sheet.script, sheet.rubric, point, "any").is_own, point
        more = sheet.more
        reader = next((read for start, read in READERS.items() if more.text.startswith(start)), None)
        if any(words in more.text for words in IN_WORDS):
            assert more.answer
            continue
        if "is worked out from" in more.text:
            assert more.answer == sheet.item.unit.symbol
            continue
        assert reader is not None or sheet.finding.reason in NO_STEP, more
        if reader is not None:
            reader(sheet, more)


@pytest.mark.parametrize("name", TRIED)
def test_the_list_of_answers_answers_everything(name: str) -> None:
    """What a sheet asks stands on the teacher's list with an answer; nobody is told to look it up in the work."""
    unanswered = []
    for script, rubric in scripts(name):
        task = task_for(script, rubric)
        assert task is not None
        unanswered += [one.text for one in task.questions if not one.answer.strip(" .")]
    assert not unanswered


# ---- the whole sheet -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TRIED)
def test_no_sheet_speaks_against_itself(name: str) -> None:
    """Nothing is said to stand that the same sheet mends; the answer that is asked for is not told."""
    against: Mapping[str, list[str]] = wording("against")
    for script, rubric in scripts(name):
        stands = " ".join(what_stands(script, rubric))
        mended = {(f.item, f.row): f for f in script.findings if f.outcome is Outcome.WITHHELD}
        for (item_name, _), finding in mended.items():
            item = rubric.items.get(item_name)
            if item is None or item.table is not None:
                continue
            said = re.search(rf"{re.escape(item.quantity)}: .* follows", stands, re.IGNORECASE)
            assert not said or finding.reason not in against["right"], (script.write_up.student.code, stands)
        assert not re.search(r"[5-9]\d\d(\.\d+)? % follows", stands)
        if any(finding.reason is Reason.CHOICE_UNCLEAR for finding in script.findings):
            assert "is what your points show" not in stands, script.write_up.student.code
        for point in points_to_mend(script, rubric):
            assert not re.match(r"criterion \w+$", point.quantity), "a code is no name"


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
        assert not re.search(r"\d[eE][-+]?\d|\^|\*\*|\w_\w|\bnan\b|\{|\bat\(|\bmin\(", text), text
        assert not re.search(r"[×÷+−±]$", text, re.MULTILINE), text
    assert statistics.median(words) <= MOST_WORDS

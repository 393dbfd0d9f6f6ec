"""Words chosen from a list, judged by the shape of the student's own points."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.answers import Proportion, proportions
from marking.checking.case import Case, Line, basic_facts
from marking.checking.fits import fit_lines
from marking.checking.uncertainty import coverage_factor
from marking.findings import Basis, Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.model import Choice, Criterion, Item

Values = NDArray[np.float64]

OFF_ZERO_ERRORS = 3.0
"""A line misses the origin by at least this many standard errors before 'not proportional' may be right."""
OFF_ZERO_SHARE = 0.03
"""And by this much of the largest reading: one and a half small squares of fifty."""
BEYOND_DOUBT = 0.999
"""An intercept outside this interval is not chance; one of this share of the largest reading is no zero error."""
MISSES_SHARE = 0.05
_FILLING = frozenset(("a", "an", "the", "it", "it's", "its", "is", "was", "that", "which", "this", "there"))
_REASON = re.compile(r"\s*(?:[,;:(]|[-–]\s|\b(?:because|since|as|so|cos)\b)\s*", re.IGNORECASE)
_TAKES_BACK = re.compile(r"\b(?:but|except|not|only|until|then|unless|apart|or|no|yes)\b|n['’]t\b", re.IGNORECASE)
"""Behind a comma these may make another answer of it, such as 'flat, then steep'."""
NEARLY_AS_NEAR = 0.25
"""A material that is not much farther off than the nearest stands too."""


def check_choice(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each question of the criterion."""
    for name in criterion.items:
        item = case.item(name)
        entry = case.entry(item, 1)
        if entry is None or entry.state is State.BLANK:
            yield _blank_line(case, item, entry)
        else:
            yield _choice_line(case, item, entry)


def check_nearest(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each item: whether the accepted value that is named is the nearest to the own result.

    A name whose range holds the result stands too; where two are about as near, the teacher looks.
    """
    for name in criterion.items:
        item = case.item(name)
        entry = case.entry(item, 1)
        if entry is None or entry.state is State.BLANK:
            yield _blank_line(case, item, entry)
            continue
        facts = basic_facts(item, None, entry) | {"choice": entry.raw.strip()}
        yield _nearest_line(case, item, entry, facts)


def _blank_line(case: Case, item: Item, entry: Entry | None) -> Line:
    line = case.blank_line(item, None, entry)
    offered = ", ".join(f"“{choice.word}”" for choice in item.choices)
    return replace(line, facts={**line.facts, "offered": offered})


def _nearest_line(case: Case, item: Item, entry: Entry, facts: dict[str, str]) -> Line:
    info, choice = case.rubric.result, find_choice(item, entry.raw)
    values = _own_results(case)
    if choice is None:
        return _line(item, entry, Outcome.FOR_TEACHER, Reason.CHOICE_NOT_KNOWN, facts)
    if info is None or not values:
        return _line(item, entry, Outcome.FOR_TEACHER, Reason.CHOICE_UNCLEAR, facts)
    named = [one for one in info.accepted if one.name == choice.word]
    for value in values:
        away = {one.name: max(0.0, abs(value - one.value) - one.uncertainty) for one in info.accepted}
        least = min(away.values())
        if named and away[choice.word] <= least * (1 + NEARLY_AS_NEAR) + 1e-12 * abs(value):
            return _line(item, entry, Outcome.AWARDED, Reason.CHOICE_RIGHT, facts)
        facts = facts | {"choice_expected": min(away, key=lambda one: away[one])}
    return _line(item, entry, Outcome.WITHHELD, Reason.NEAREST_OTHER, facts)


def _own_results(case: Case) -> list[float]:
    """Return the result as the student wrote it and as the readings lead to it, in the unit of the answer."""
    info = case.rubric.result
    if info is None or info.answer not in case.judged:
        return []
    item = case.item(info.answer)
    both = (case.judged[info.answer].own[case.student, 0], case.board.cells[info.answer].si[case.student, 0])
    return [float((one - item.unit.offset) / item.unit.factor) for one in both if np.isfinite(one)]


def find_choice(item: Item, text: str) -> Choice | None:
    """Return the choice that *text* stands for, or None.

    Spaces, capitals, stops and words such as 'it is a' do not count, nor does a reason that is given behind.
    """
    for words in dict.fromkeys((text, _without_reason(text))):
        wanted = _plain(words)
        for choice in item.choices:
            if wanted in {_plain(choice.word), *(_plain(other) for other in choice.also)}:
                return choice
    return None


def _without_reason(text: str) -> str:
    """Return what stands before a reason; the whole where what follows may take it back."""
    head, _, rest = _REASON.sub("\n", text, count=1).partition("\n")
    return text if _TAKES_BACK.search(rest) else head


def _plain(text: str) -> str:
    folded = unicodedata.normalize("NFKC", text).casefold().replace("potential difference", "p.d.").replace("’", "'")
    words = re.sub(r"[\s.,;:!\-–]+", " ", folded.replace("p.d.", "pd")).split()
    return " ".join([word for word in words if word not in _FILLING] or words)


def _choice_line(case: Case, item: Item, entry: Entry) -> Line:
    facts = basic_facts(item, None, entry)
    choice = find_choice(item, entry.raw)
    shape = _shape(case, item)
    told = _means_of_selected(case)
    right = next((one.word for one in item.choices if shape in one.means), "") if shape else ""
    facts |= {"choice": entry.raw.strip(), "choice_expected": right}
    if choice is None:
        return _line(item, entry, Outcome.FOR_TEACHER, Reason.CHOICE_NOT_KNOWN, facts)
    if shape is None and not told:
        return _line(item, entry, Outcome.FOR_TEACHER, Reason.CHOICE_UNCLEAR, facts)
    by_points = None if shape is None else shape in choice.means
    by_component = None if not told else bool(set(told) & set(choice.means))
    if by_points is None:
        # The points cannot tell, and the component alone only ever speaks for the student.
        outcome = Outcome.AWARDED if by_component else Outcome.FOR_TEACHER
    elif by_points:
        outcome = Outcome.AWARDED
    else:
        unsure = by_component or (shape == "proportional" and _misses_origin(case, item))
        unsure = unsure or (_asks_for_intercept(item) and not _clearly_misses(case, item, choice))
        outcome = Outcome.FOR_TEACHER if unsure else Outcome.WITHHELD
    reason = {
        Outcome.AWARDED: Reason.CHOICE_RIGHT,
        Outcome.WITHHELD: Reason.CHOICE_WRONG,
        Outcome.FOR_TEACHER: Reason.CHOICE_UNCLEAR,
    }[outcome]
    return _line(item, entry, outcome, reason, facts)


def _asks_for_intercept(item: Item) -> bool:
    return any("linear" in choice.means for choice in item.choices)


def _shape(case: Case, item: Item) -> str | None:
    """Return the shape of the points; between proportional and linear the intercept and its uncertainty decide."""
    if item.curve is None or not _asks_for_intercept(item):
        return case.shapes.get(item.curve) if item.curve else None
    x, y = _axes(case, item)
    return {Proportion.PROPORTIONAL: "proportional", Proportion.LINEAR_ONLY: "linear"}.get(proportions(x, y)[0])


def _axes(case: Case, item: Item) -> tuple[Values, Values]:
    """Return the two columns of one student, each as the readings lead to it, (1, rows)."""
    one = slice(case.student, case.student + 1)
    x, y = (
        case.judged[name].own[one] if name in case.judged else case.board.cells[name].si[one]
        for name in item.curve or ()
    )
    return x, y


def _clearly_misses(case: Case, item: Item, choice: Choice) -> bool:
    """Tell whether 'proportional' was said of a line that misses the origin beyond all doubt.

    A line through the origin is linear too, so 'linear' is never wrong beyond doubt.
    """
    if "proportional" not in choice.means:
        return False
    x, y = _axes(case, item)
    line = fit_lines(x, y)
    sure = coverage_factor(float(line.count[0, 0]) - 2.0, BEYOND_DOUBT) * float(line.intercept_error[0, 0])
    height = float(np.nanmax(np.abs(y)))
    return abs(float(line.intercept[0, 0])) > max(sure, MISSES_SHARE * height)


def _misses_origin(case: Case, item: Item) -> bool:
    """Tell whether the line through a student's own points clearly does not start at zero."""
    x, y = (case.board.cells[name].si[case.student : case.student + 1] for name in item.curve or ())
    line = fit_lines(x, y)
    height = np.nanmax(np.abs(y))
    limit = max(OFF_ZERO_ERRORS * float(line.intercept_error[0, 0]), OFF_ZERO_SHARE * float(height))
    return abs(float(line.intercept[0, 0])) > limit


def _means_of_selected(case: Case) -> tuple[str, ...]:
    if case.rubric.selector is None or case.selected is None:
        return ()
    for choice in case.item(case.rubric.selector).choices:
        if choice.word == case.selected:
            return choice.means
    return ()


def _line(item: Item, entry: Entry, outcome: Outcome, reason: Reason, facts: dict[str, str]) -> Line:
    found: tuple[Explanation, ...] = ()
    if outcome is Outcome.WITHHELD:
        found = (Explanation(cause=Cause.UNEXPLAINED, detail="another shape than the points show", probability=1.0),)
    basis = Basis.OWN_READINGS if outcome is not Outcome.FOR_TEACHER else Basis.NONE
    return Line(
        item=item.name,
        row=None,
        outcome=outcome,
        reason=reason,
        entry=entry,
        basis=basis,
        explanations=found,
        facts=facts,
    )

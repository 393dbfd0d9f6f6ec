"""The teacher's own ticks: columns and lines headed with the code of a criterion, 'tick V1' or plain 'V1'."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from marking.intake.entries.piles import Slot
from marking.intake.grids import fold
from marking.intake.remarks import Notebook, quote
from marking.write_up import Entry, State, Tick, Weight
from rubrics.build_questions import box_of_words
from rubrics.model import Choice, Criterion, Rubric

PREFIX = "tick "
"""Stands before a code in the heading of a tick, for V1 may be a voltage too."""
WHY = "why "
"""Stands before a code in the heading of the reason for a tick against what was worked out."""
_GIVEN = frozenset({"✓", "✔", "☑", "yes", "y", "true", "tick", "ticked"})
_NOT_GIVEN = frozenset({"x", "✗", "✘", "×", "no", "n", "false", "cross"})
_OFFERED = tuple(Choice(word=word, means=()) for word in ("✓", "x"))


def waiting_criteria(rubric: Rubric) -> tuple[Criterion, ...]:
    """Return the criteria that a teacher ticks."""
    return tuple(criterion for criterion in rubric.criteria if criterion.check.waits)


def tick_heading(criterion: Criterion) -> str:
    """Return the heading of the column with the ticks of a criterion."""
    return f"{PREFIX}{criterion.code}"


def with_ticks(rubric: Rubric) -> Rubric:
    """Return *rubric* as the reader of files knows it: with more items of words for the ticks of each criterion.

    Beside each tick may stand the reason for it. A bare code is a heading too, for a criterion that waits for a
    teacher, unless it names something else here.
    """
    names = {
        fold(name) for item in rubric.items.values() for name in (item.name, item.symbol, item.quantity, *item.headings)
    }
    ticks = {}
    for criterion in (*rubric.criteria, *rubric.unmarked):
        is_free = criterion.check.waits and fold(criterion.code) not in names
        heading = tick_heading(criterion)
        if fold(heading) not in names:
            ticks[heading] = box_of_words(
                heading, heading, headings=(criterion.code,) if is_free else (), choices=_OFFERED
            )
        reason = f"{WHY}{criterion.code}"
        if fold(reason) not in names:
            ticks[reason] = box_of_words(reason, reason)
    return replace(rubric, items={**rubric.items, **ticks})


def without_ticks(entries: Mapping[Slot, Entry]) -> dict[Slot, Entry]:
    """Return the entries that stand for no criterion."""
    return {slot: entry for slot, entry in entries.items() if not slot[0].startswith((PREFIX, WHY))}


def read_ticks(
    singles: Mapping[str, Entry], rubric: Rubric, student: str, notebook: Notebook
) -> tuple[dict[str, Entry], dict[str, Tick]]:
    """Return the entries that are no ticks, and the ticks by the code of their criterion.

    What cannot be read as a tick is told, and the mark waits.
    """
    criteria = {tick_heading(criterion): criterion for criterion in rubric.criteria}
    reasons = {f"{WHY}{criterion.code}" for criterion in rubric.criteria}
    ticks: dict[str, Tick] = {}
    for name, entry in singles.items():
        criterion = criteria.get(name)
        if criterion is None or entry.state not in (State.WORDS, State.BLANK):
            continue
        marks = marks_of(entry.raw, criterion.marks)
        if marks is not None:
            reason = singles.get(f"{WHY}{criterion.code}")
            ticks[criterion.code] = Tick(marks=marks, entry=entry, why=reason.raw.strip() if reason else "")
            continue
        if entry.state is State.BLANK:
            continue  # elsewhere an x means that nothing was given, so only here is it looked at first
        most = "1 or 0" if criterion.marks == 1 else f"a whole number up to {criterion.marks}"
        said = f"{quote(entry.raw)} is no tick for {criterion.code}; the mark waits"
        mend = f"Write ✓, x or {most}"
        notebook.tell(Weight.QUERY, said, mend, place=entry.place, student=student, item=criterion.code)
    return {name: entry for name, entry in singles.items() if name not in criteria and name not in reasons}, ticks


def marks_of(text: str, most: int) -> int | None:
    """Return the marks that a tick gives of *most*; None where it cannot be read as one."""
    word = fold(text)
    if word in _GIVEN:
        return most
    if word in _NOT_GIVEN:
        return 0
    # A spreadsheet may show 1 as 1.0.
    whole = word.removesuffix(".0")
    if whole.isascii() and whole.isdigit() and len(whole) <= 2 and int(whole) <= most:
        return int(whole)
    return None

"""How fair the marks of values are: right answers of many habits, and wrong ones that lie near.

    python -m tests.benchmarks.fairness [--right N] [--near N] [--seed S] [--practical ID]

*Right*: answers of careful students in every practical, whatever they keep, cut off, carry on and print. None may be
withheld, and one in two hundred at most be left to the teacher.

*Near*: one answer of a careful student made 1 to 6 % wrong and printed to three or four figures, every earlier step
standing beside it in writing, and 1 % at least from what the student had written. Numbers taken off a drawn line are
told apart: within a twentieth they stand, for the line is on paper.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random

from msgspec import Struct, field
from msgspec.structs import replace

from marking.checking.answers import is_drawn
from marking.findings import Finding, MarkedSet, Outcome
from marking.reasons import Reason
from rubrics.model.practical import CheckKind
from tests.benchmarks.careful_classes import CLASS, Page, careful_class, catalogue, mark_pages, sources

NEAREST, FARTHEST = 0.01, 0.06
SHOWN = 5
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?")


class Count(Struct, kw_only=True):
    """What became of some answers."""

    outcomes: Counter[Outcome] = field(default_factory=Counter)
    reasons: Counter[str] = field(default_factory=Counter)
    """Of those that wait for the teacher."""
    odd_ones: list[str] = field(default_factory=list)
    """Those that came out as they should not, told in a line each."""

    @property
    def total(self) -> int:
        """Return how many there were."""
        return self.outcomes.total()

    def share(self, outcome: Outcome) -> float:
        """Return a share in per cent."""
        return 100.0 * self.outcomes[outcome] / self.total if self.total else 0.0

    def add(self, finding: Finding, unwanted: Outcome) -> None:
        """Count one answer; *unwanted* is told."""
        self.outcomes[finding.outcome] += 1
        if finding.outcome is Outcome.FOR_TEACHER:
            self.reasons[finding.reason] += 1
        if finding.outcome is unwanted:
            self.odd_ones.append(told(finding))

    def join(self, other: Count) -> None:
        """Add what *other* counted."""
        self.outcomes.update(other.outcomes)
        self.reasons.update(other.reasons)
        self.odd_ones += other.odd_ones


def told(finding: Finding) -> str:
    """Return an answer in a line."""
    place = f"{finding.practical} {finding.student} {finding.item}" + (f" {finding.row}" if finding.row else "")
    return f"{place}: {finding.entry!r} {finding.unit!r}, expected {finding.expected} ({finding.reason})"


def values(marked: MarkedSet) -> Iterator[Finding]:
    """Yield the findings on values that were given, each answer once."""
    kinds = {criterion.code: criterion.check for criterion in marked.rubric.criteria}
    for script in marked.scripts:
        seen = set()
        for finding in script.findings:
            place = (finding.item, finding.row)
            if finding.reason == Reason.NOT_RECALCULABLE and marked.rubric.items[finding.item].repeats:
                continue  # a mean alone is a reading, and the teacher looks for its repeats
            if kinds.get(finding.criterion) is CheckKind.VALUE and finding.entry and place not in seen:
                seen.add(place)
                yield finding


def right_answers(practical: str, how: str, seed: str, size: int = CLASS) -> Count:
    """Return what becomes of the answers of a careful class."""
    count = Count()
    for finding in values(mark_pages(practical, careful_class(practical, how, seed, size))):
        count.add(finding, Outcome.WITHHELD)
    return count


def near_misses(practical: str, how: str, seed: str, size: int = CLASS) -> tuple[Count, Count]:
    """Return what becomes of one answer a student made 1 to 6 % wrong: those worked out, and those off a line."""
    chance = Random(f"near {practical} {how} {seed}")
    pages = careful_class(practical, how, seed, size)
    spoiled, where = [], {}
    by_student: dict[str, list[Finding]] = {}
    sheets = {page.student: page for page in pages}
    for finding in values(mark_pages(practical, pages)):
        is_right = finding.expected and finding.outcome is Outcome.AWARDED
        if is_right and _is_worked_out(practical, finding) and _has_steps(sheets[finding.student], practical, finding):
            by_student.setdefault(finding.student, []).append(finding)
    for page in pages:
        if page.student in by_student:
            finding = chance.choice(by_student[page.student])
            spoiled.append(_spoil(page, finding, chance))
            where[page.student] = (finding.item, finding.row)
    worked, drawn = Count(), Count()
    for finding in values(mark_pages(practical, spoiled)) if spoiled else ():
        if where[finding.student] == (finding.item, finding.row):
            formula = catalogue()[practical].items[finding.item].formula
            count = drawn if formula is not None and is_drawn(formula) else worked
            count.add(finding, Outcome.AWARDED)
    return worked, drawn


def _is_worked_out(practical: str, finding: Finding) -> bool:
    """Tell whether it has a formula, and earlier steps all in writing can be asked of it."""
    item = catalogue()[practical].items[finding.item]
    return item.formula is not None and not item.is_estimate and not item.repeats


def _has_steps(page: Page, practical: str, finding: Finding) -> bool:
    """Tell whether every earlier answer that the formula names stands on the page, of a column in every row."""
    items = catalogue()[practical].items
    item = items[finding.item]
    for name in item.formula.names if item.formula is not None else ():
        if name not in items or items[name].formula is None:
            continue
        wanted = {finding.row} if items[name].table == item.table else {None}
        if items[name].table is not None and item.table is None:
            wanted = {row for one, row in page.cells if row is not None and items[one].table == items[name].table}
        if any((name, row) not in page.cells for row in wanted):
            return False
    return True


def _spoil(page: Page, finding: Finding, chance: Random) -> Page:
    assert finding.expected is not None  # only those are chosen
    place = (finding.item, finding.row)
    entry, unit = page.cells[place]
    wrong = finding.expected * (1 + chance.choice((-1, 1)) * chance.uniform(NEAREST, FARTHEST))
    before = _NUMBER.match(entry)
    figures = chance.choice((3, 4))
    while _may_be_right(_as_text(wrong, figures), finding.expected) or (
        # With another g this is what stood there, and right.
        before is not None and abs(wrong - float(before[0])) < NEAREST * abs(wrong)
    ):
        wrong = finding.expected * (1 + chance.choice((-1, 1)) * chance.uniform(NEAREST, FARTHEST))
    # A unit that stood behind the number stays there.
    inside = entry[len(entry.rstrip("".join(set(entry) - set("0123456789")))) :] if not unit else ""
    text = _as_text(wrong, figures)
    return replace(page, cells={**page.cells, place: (f"{text}{inside if inside.strip() else ''}", unit)})


def _as_text(value: float, figures: int) -> str:
    return f"{value:.{figures - 1}e}" if not 1e-3 <= abs(value) < 1e6 else _plain(value, figures)


def _may_be_right(text: str, expected: float) -> bool:
    """Tell whether the zeros at the end of a whole number may only hold places: 180 for 182.7, to two figures."""
    zeros = len(text) - len(text.rstrip("0"))
    is_whole = "." not in text and "e" not in text
    return is_whole and zeros > 0 and abs(float(text) - expected) <= 0.5 * 10.0**zeros


def _plain(value: float, figures: int) -> str:
    mantissa, _, power = f"{value:.{figures - 1}e}".partition("e")
    return f"{float(mantissa) * 10 ** int(power):.{max(0, figures - 1 - int(power))}f}"


def run(right: int, near: int, seed: str, practicals: Sequence[str]) -> tuple[dict[str, tuple[Count, Count]], Count]:
    """Return by practical what became of right answers and near misses, and of those off a drawn line.

    Args:
        right: About how many right answers.
        near: About how many near misses.
        seed: Of the random numbers.
        practicals: Ids; empty for all.
    """
    chosen = [(name, how) for name, how in sources() if not practicals or name in practicals]
    found: dict[str, tuple[Count, Count]] = {name: (Count(), Count()) for name, _ in chosen}
    lines = Count()
    for name, how in chosen:
        own, wrong = Count(), Count()
        number = 0
        while own.total < right / len(chosen):
            own.join(right_answers(name, how, f"{seed} {number}"))
            number += 1
        number = 0
        while wrong.total < near / len(chosen) and number < 2 + 3 * near / len(chosen) / CLASS:
            worked, drawn = near_misses(name, how, f"{seed} near {number}")
            wrong.join(worked)
            lines.join(drawn)
            number += 1
        found[name][0].join(own)
        found[name][1].join(wrong)
    return found, lines


def main(arguments: Sequence[str] | None = None) -> int:
    """Print a line for each practical; return 1 where a right answer was withheld."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.fairness")
    parser.add_argument("--right", type=int, default=20000, help="about so many right answers in all")
    parser.add_argument("--near", type=int, default=4000, help="about so many near misses in all")
    parser.add_argument("--seed", default="1")
    parser.add_argument("--practical", action="append", default=[], help="may be given several times")
    chosen = parser.parse_args(arguments)
    found, lines = run(chosen.right, chosen.near, chosen.seed, chosen.practical)
    print("| practical | right: withheld | to the teacher | near: awarded | to the teacher | withheld |")
    print("| --- | --- | --- | --- | --- | --- |")
    whole = (Count(), Count())
    for name, (right, near) in sorted(found.items()):
        print(_line(name, right, near))
        whole[0].join(right)
        whole[1].join(near)
    print(_line("all", *whole))
    print(f"\nOff a drawn line, 1 to 6 % from the fitted one: {_shares(lines)}")
    print("\nRight answers that wait, by reason:", dict(whole[0].reasons.most_common()))
    for title, count in (("right and withheld", whole[0]), ("near and awarded", whole[1])):
        for one in count.odd_ones[: SHOWN * (4 if count is whole[1] else 8)]:
            print(f"    {title}: {one}")
    return 1 if whole[0].outcomes[Outcome.WITHHELD] else 0


def _line(name: str, right: Count, near: Count) -> str:
    cells = [
        f"{right.outcomes[Outcome.WITHHELD]} of {right.total:,}",
        f"{right.share(Outcome.FOR_TEACHER):.2f} %",
        f"{near.share(Outcome.AWARDED):.1f} % of {near.total:,}",
        f"{near.share(Outcome.FOR_TEACHER):.1f} %",
        f"{near.share(Outcome.WITHHELD):.1f} %",
    ]
    return f"| {name} | {' | '.join(cells)} |"


def _shares(count: Count) -> str:
    named = ((Outcome.AWARDED, "awarded"), (Outcome.FOR_TEACHER, "to the teacher"), (Outcome.WITHHELD, "withheld"))
    return ", ".join(f"{count.share(one):.1f} % {word}" for one, word in named) + f", of {count.total:,}"


if __name__ == "__main__":
    sys.exit(main())

"""What the program said of slips by another hand, and of the right answers around them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct, field

from marking.checking.marking_set import mark_set
from marking.findings import Finding, MarkedSet, Outcome
from marking.intake.read_inputs import read_inputs
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind
from tests.benchmarks.account import SURE
from tests.benchmarks.second_picture.true_slips import CLEAN, TRUTH_FILE, TrueSlip, true_slips

JUDGES_RIGHT = (CheckKind.VALUE, CheckKind.UNIT, CheckKind.METHOD)
"""Kinds of check that a right answer must not lose a mark by."""


class Said(Struct, frozen=True, kw_only=True):
    """One planted slip and the line that judges it."""

    slip: TrueSlip
    finding: Finding
    awarded: int
    """Of its lines, those that got the mark: of a column several, else at most one."""
    lines: int

    @property
    def first(self) -> str:
        """Return the first cause; what became of the mark where no cause is told."""
        return str(self.finding.cause) if self.finding.explanations else str(self.finding.outcome)

    @property
    def first_is_right(self) -> bool:
        """Tell whether the first cause is the one planted, or one of the two."""
        return self.first in self.slip.causes

    @property
    def is_within(self) -> bool:
        """Tell whether a planted cause is among those told."""
        return any(str(one.cause) in self.slip.causes for one in self.finding.explanations)

    @property
    def has_both(self) -> bool:
        """Tell whether the first explanation is made of the two slips that were planted."""
        if not self.finding.explanations:
            return False
        first = self.finding.explanations[0]
        return Counter([str(first.cause), first.facts.get("second", "")]) == Counter(self.slip.causes)

    @property
    def is_sure(self) -> bool:
        """Tell whether a cause is named as if it were known."""
        return self.first != "unexplained" and (self.finding.confidence or 0.0) >= SURE

    @property
    def was_let_pass(self) -> bool:
        """Tell whether the mark was given."""
        return self.awarded == self.lines


class Heard(Struct, frozen=True, kw_only=True):
    """Everything that was said of some write-ups."""

    said: list[Said] = field(default_factory=list)
    not_judged: list[TrueSlip] = field(default_factory=list)
    """Slips that no line is about."""
    students: int = 0
    right: int = 0
    """Lines about answers that are right."""
    lost: list[tuple[TrueSlip, Finding]] = field(default_factory=list)
    """Those of them that were withheld."""
    waiting: list[tuple[TrueSlip, Finding]] = field(default_factory=list)
    """Those of them that are left to the teacher."""


def hear(folders: Sequence[Path], practicals: Sequence[str]) -> Heard:
    """Return what is said of the write-ups in *folders*; of all practicals where none are named."""
    heard, rubrics, students = Heard(), load_catalogue(), 0
    for folder in folders:
        slips = true_slips(folder)
        for path in sorted(folder.glob("*.csv")):
            if path.name == TRUTH_FILE or (practicals and path.stem not in practicals):
                continue
            for class_set in read_inputs([path], rubrics):
                marked = mark_set(rubrics[class_set.practical], class_set)
                students += len(marked.scripts)
                right = _hear_set(heard, marked, slips)
                heard = Heard(
                    said=heard.said,
                    not_judged=heard.not_judged,
                    students=students,
                    right=heard.right + right,
                    lost=heard.lost,
                    waiting=heard.waiting,
                )
    return heard


def _hear_set(heard: Heard, marked: MarkedSet, slips: dict[str, TrueSlip]) -> int:
    kinds = {criterion.code: criterion.check for criterion in marked.rubric.criteria}
    right = 0
    for script in marked.scripts:
        slip = slips[script.write_up.student.code]
        for finding in script.findings:
            if kinds.get(finding.criterion) in JUDGES_RIGHT and _is_right(slip, finding):
                right += 1
                if finding.outcome is Outcome.WITHHELD:
                    heard.lost.append((slip, finding))
                elif finding.outcome is Outcome.FOR_TEACHER:
                    heard.waiting.append((slip, finding))
        if slip.kind == CLEAN:
            continue
        own = list(_lines_about(slip, script.findings))
        if own:
            heard.said.append(_said(slip, own))
        else:
            heard.not_judged.append(slip)
    return right


def _is_right(slip: TrueSlip, finding: Finding) -> bool:
    """Tell whether a line is about an answer that is there and that nothing was planted in."""
    if not finding.entry:
        return False
    return finding.item != slip.item or (slip.row is not None and finding.row is not None and finding.row != slip.row)


def _lines_about(slip: TrueSlip, findings: Sequence[Finding]) -> Iterator[Finding]:
    for finding in findings:
        is_its_row = slip.row is None or finding.row is None or finding.row == slip.row
        if finding.criterion == slip.criterion and finding.item in (slip.item, "") and is_its_row:
            yield finding


def _said(slip: TrueSlip, lines: Sequence[Finding]) -> Said:
    """Return what is said of a slip; of a whole column what is said of most rows that lost their mark."""
    awarded = sum(line.outcome is Outcome.AWARDED for line in lines)
    told = [line for line in lines if line.outcome is not Outcome.AWARDED and line.explanations]
    told = told or [line for line in lines if line.outcome is not Outcome.AWARDED] or list(lines)
    (most, _), *_ = Counter(line.cause for line in told).most_common(1)
    first = next(line for line in told if line.cause is most)
    return Said(slip=slip, finding=first, awarded=awarded, lines=len(lines))

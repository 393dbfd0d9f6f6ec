"""What was said of each planted slip, and of every right answer around it."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct, field

from marking.checking.marking_set import mark_set
from marking.findings import Finding, MarkedSet, Outcome
from marking.intake.read_inputs import read_inputs
from marking.reasons import Reason
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Rubric
from tests.apparatus import Key, write_tidy
from tests.apparatus.figures import figures_in
from tests.benchmarks.cohorts import Page
from tests.benchmarks.planting import Truth

LINE_OF_KIND = {
    "figures": CheckKind.FIGURES,
    "unit-missing": CheckKind.UNIT,
    "unit-wrong": CheckKind.UNIT,
}
"""Which line judges the slip; a value line for every other kind."""


TIED = 1 / 3
"""A cause that is at least so likely beside the first prints the same as it: shares alone say which comes first."""


class Score(Struct, frozen=True, kw_only=True):
    """One planted slip and what was said of it."""

    practical: str
    levelled: bool
    truth: Truth
    finding: Finding
    page: Page

    @property
    def said(self) -> str:
        """Return the first cause, or what stands in its place."""
        return str(self.finding.cause) if self.finding.explanations else str(self.finding.outcome)

    @property
    def first_is_right(self) -> bool:
        """Tell whether the first cause is the one planted, or one of the two."""
        return self.said in self.truth.causes

    @property
    def is_within(self) -> bool:
        """Tell whether a planted cause is among those given."""
        return any(str(one.cause) in self.truth.causes for one in self.finding.explanations)

    @property
    def is_tied(self) -> bool:
        """Tell whether a planted cause is nearly as likely as the first, so that shares alone put it behind."""
        chances: dict[str, float] = {}
        for one in self.finding.explanations:
            chances[str(one.cause)] = chances.get(str(one.cause), 0.0) + one.probability
        planted = max((chances.get(cause, 0.0) for cause in self.truth.causes), default=0.0)
        return bool(chances) and planted >= TIED * max(chances.values())

    @property
    def is_single(self) -> bool:
        """Tell whether this is one slip that shows and that nothing else prints."""
        return self.truth.kind == "slip" and not self.truth.rivals and not self.truth.could_pass

    @property
    def is_ambiguous(self) -> bool:
        """Tell whether another simple slip prints the same."""
        return self.truth.kind == "slip" and bool(self.truth.rivals) and not self.truth.could_pass

    @property
    def figures(self) -> int:
        """Return the significant figures of what was written, 2 to 4; more count as 4."""
        return min(4, max(2, figures_in(self.truth.text)[1]))


class Tally(Struct):
    """Everything counted over one practical."""

    practical: str
    scores: list[Score] = field(default_factory=list)
    students: int = 0
    right_values: int = 0
    right_units: int = 0
    lost_values: list[tuple[Finding, Page]] = field(default_factory=list)
    lost_units: list[tuple[Finding, Page]] = field(default_factory=list)
    not_judged: int = 0
    """Planted slips in boxes that no criterion judges for this student."""
    answers: int = 0
    reading_seconds: float = 0.0
    marking_seconds: float = 0.0


def score_set(tally: Tally, pages: Sequence[Page], *, levelled: bool) -> None:
    """Put one class through the main path and add what was said to *tally*."""
    rubrics = load_catalogue()
    with tempfile.TemporaryDirectory() as folder:
        path = write_tidy(Path(folder) / "set.csv", [page.sheet for page in pages])
        start = time.perf_counter()
        (class_set,) = read_inputs([path], rubrics)
        read = time.perf_counter()
        marked = mark_set(rubrics[class_set.practical], class_set)
        done = time.perf_counter()
    tally.reading_seconds += read - start
    tally.marking_seconds += done - read
    tally.students += len(pages)
    tally.answers += sum(len(page.sheet.answers) for page in pages)
    by_code = {page.sheet.student: page for page in pages}
    for script in marked.scripts:
        _score_page(tally, by_code[script.write_up.student.code], script.findings, marked, levelled=levelled)


def _score_page(tally: Tally, page: Page, findings: Sequence[Finding], marked: MarkedSet, *, levelled: bool) -> None:
    kinds = _kinds(marked.rubric)
    lines = {(kinds[one.criterion], Key(item=one.item, row=one.row)): one for one in findings if one.criterion}
    by_item = {key.item: key for key in page.sheet.answers}
    # The unit of a column is judged once.
    lines |= {(kind, by_item[key.item]): one for (kind, key), one in lines.items() if _is_column(kind, key, by_item)}
    for finding, is_value in _right_lines(page, lines):
        lost = tally.lost_values if is_value else tally.lost_units
        if finding.outcome is Outcome.WITHHELD:
            lost.append((finding, page))
        tally.right_values += is_value
        tally.right_units += not is_value
    if page.truth is None:
        return
    kind = LINE_OF_KIND.get(page.truth.kind, CheckKind.VALUE)
    line = lines.get((kind, page.truth.key)) or lines.get((kind, Key(item=page.truth.key.item)))
    if line is None:
        tally.not_judged += 1
        return
    score = Score(practical=tally.practical, levelled=levelled, truth=page.truth, finding=line, page=page)
    tally.scores.append(score)


def _right_lines(page: Page, lines: dict[tuple[CheckKind, Key], Finding]) -> Iterator[tuple[Finding, bool]]:
    """Yield the lines of right values (True) and right units (False)."""
    truth = page.truth
    for (kind, key), finding in lines.items():
        if key not in page.sheet.answers or kind not in (CheckKind.VALUE, CheckKind.UNIT):
            continue
        is_spoiled = truth is not None and key in truth.spoiled
        if kind is CheckKind.UNIT:
            # The right number beside another unit is one slip: it costs the unit's mark or the value's.
            is_its_slip = truth is not None and (truth.has_wrong_unit or finding.reason == Reason.UNIT_NOT_OF_NUMBER)
            if not (is_spoiled and is_its_slip):
                yield finding, False
        elif truth is None or not is_spoiled or truth.kind in LINE_OF_KIND or (truth.is_right and key == truth.key):
            yield finding, True


def _is_column(kind: CheckKind, key: Key, by_item: dict[str, Key]) -> bool:
    return kind is CheckKind.UNIT and key.row is None and key.item in by_item and by_item[key.item].row is not None


def _kinds(rubric: Rubric) -> dict[str, CheckKind]:
    return {criterion.code: criterion.check for criterion in rubric.criteria}


def calibration(scores: Sequence[Score]) -> tuple[list[tuple[int, float, float]], float]:
    """Return number, mean confidence and share right in ten bins, and the expected calibration error."""
    bins: list[list[Score]] = [[] for _ in range(10)]
    for score in scores:
        if score.finding.confidence is not None:
            bins[min(9, int(score.finding.confidence * 10))].append(score)
    rows = []
    error = 0.0
    total = sum(len(one) for one in bins)
    for one in bins:
        if not one:
            rows.append((0, 0.0, 0.0))
            continue
        mean = sum(score.finding.confidence or 0.0 for score in one) / len(one)
        right = sum(score.first_is_right for score in one) / len(one)
        rows.append((len(one), mean, right))
        error += len(one) / total * abs(mean - right)
    return rows, error

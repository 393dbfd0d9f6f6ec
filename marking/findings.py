"""What was found out: the records that pass from checking to reports, desk and moderation."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from msgspec import Struct, field

from marking.reasons import Reason
from marking.write_up import Place, Remark, Source, WriteUp
from rubrics.model import AcceptedValue, Criterion, Rubric


class Outcome(StrEnum):
    """What became of the thing checked."""

    AWARDED = "awarded"
    WITHHELD = "withheld"
    FOR_TEACHER = "for-teacher"


class Basis(StrEnum):
    """Which figures the expected value was worked out from."""

    OWN_READINGS = "own-readings"
    CARRIED_FORWARD = "carried-forward"
    NONE = ""


class Cause(StrEnum):
    """Stable words for what went wrong; never reused, never given a second meaning."""

    NONE = "none"
    UNIT_CONVERSION = "unit-conversion"
    REARRANGEMENT = "rearrangement"
    OPERATION_ORDER = "operation-order"
    WRONG_QUANTITY = "wrong-quantity"
    MISSING_FACTOR = "missing-factor"
    COMBINATION_RULE = "combination-rule"
    SIGN = "sign"
    GRADIENT_INVERTED = "gradient-inverted"
    ANOMALY_INCLUDED = "anomaly-included"
    POWER_OF_TEN = "power-of-ten"
    DIGITS_SWAPPED = "digits-swapped"
    COPYING = "copying"
    ROUNDED_EARLY = "rounded-early"
    SIGNIFICANT_FIGURES = "significant-figures"
    UNIT_MISSING = "unit-missing"
    UNIT_WRONG = "unit-wrong"
    UNEXPLAINED = "unexplained"


class Explanation(Struct, frozen=True, kw_only=True):
    """One cause that could have printed an answer."""

    cause: Cause
    detail: str
    """Which item, factor or formula: 'm: g for kg', 'E / m * dT'."""
    probability: float
    facts: Mapping[str, str] = field(default_factory=dict)
    """What the wording may quote; the keys of each cause stand in reports/wording/README of facts."""


class Finding(Struct, frozen=True, kw_only=True):
    """One thing that was checked; one line of findings.csv."""

    student: str
    practical: str
    item: str
    """Name of the item; empty where the criterion is about no single item."""
    row: int | None
    criterion: str
    """Code of the criterion in the rubric."""
    outcome: Outcome
    marks: int | None
    """Marks of the criterion, on the one line of the criterion that carries them; None while a teacher decides."""
    out_of: int
    """The criterion's marks on that same line; 0 on its other lines."""
    reason: Reason
    """Why, which picks the sentence."""
    entry: str = ""
    unit: str = ""
    expected: float | None = None
    """In the unit the student wrote."""
    basis: Basis = Basis.NONE
    explanations: tuple[Explanation, ...] = ()
    """Likeliest first; empty where nothing is wrong."""
    source: Place | None = None
    facts: Mapping[str, str] = field(default_factory=dict)
    told: str = ""
    """A teacher's words, in the place of the sentence that the wording has for this; empty where nobody mended it."""

    @property
    def cause(self) -> Cause:
        """Return the likeliest cause."""
        return self.explanations[0].cause if self.explanations else Cause.NONE

    @property
    def confidence(self) -> float | None:
        """Return the probability that the likeliest cause is right, in whichever way; None where nothing is wrong."""
        if not self.explanations:
            return None
        if len(self.explanations) == 1:
            return min(1.0, self.explanations[0].probability)
        return min(1.0, sum(one.probability for one in self.explanations if one.cause is self.cause))


class Ruling(Struct, frozen=True, kw_only=True):
    """What a person decided on the marks of one criterion, beside what the program made of it."""

    marks: int
    proposed: int | None
    """As worked out; None where the mark waited."""
    who: str
    """Empty for a tick in a workbook that is kept in no record."""
    when: str
    """UTC, as ISO 8601 text; empty as above."""
    why: str
    source: str
    """File, sheet and cell of a tick; empty for what was decided at the desk."""


class CriterionMark(Struct, frozen=True, kw_only=True):
    """What one criterion came to for one student."""

    criterion: Criterion
    outcome: Outcome
    marks: int | None
    """None while a teacher decides."""
    ruling: Ruling | None = None
    """Who decided, where a person has."""
    is_put_off: bool = False
    """A person has looked, and left it for later."""


class Plot(Struct, frozen=True, kw_only=True):
    """A student's data, ready to draw; nothing is worked out after this."""

    x_label: str
    """Quantity / unit, e.g. 'length L / m'."""
    y_label: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    odd_rows: tuple[int, ...] = ()
    """Positions in x and y of points that a stated test calls anomalous; the line leaves them out."""
    line: tuple[float, float] | None = None
    """Gradient and intercept in the units of the axes."""
    curve: tuple[tuple[float, float], ...] = ()
    """Points of a fitted curve where the graph is no straight line."""
    includes_origin: bool = False


class UncertaintyForm(StrEnum):
    """What the plus-or-minus of a result comes from, mostly."""

    READINGS = "readings"
    """Half a division of each reading, added up along the formula."""
    REPEATS = "repeats"
    """Half the range of repeated readings."""
    LINE = "line"
    """Half of what lies between the steepest and the shallowest line through the points."""


class Agrees(StrEnum):
    """Whether a result agrees with the accepted value within its uncertainty."""

    YES = "yes"
    NO = "no"
    EDGE = "edge"
    """Only just, or only just not: the two ways of working it out differ."""
    UNKNOWN = "unknown"
    """There is no accepted value."""


class ResultUncertainty(Struct, frozen=True, kw_only=True):
    """How well the final value is known from the student's own readings."""

    plus_minus: float
    """In the school's form, in the unit of the result."""
    form: UncertaintyForm
    as_percentage: bool
    """Whether the level asks for it in per cent of the result."""
    standard: float
    """Standard uncertainty after JCGM 100, same unit."""
    freedom: float
    """Its degrees of freedom."""
    agrees: Agrees
    direction: str = ""
    """'high' or 'low' where it does not agree."""
    usual_cause: str = ""
    """The rubric's sentence on a result that is off this way; empty where it agrees."""
    is_beyond: bool = False
    """Farther off than the practical's usual errors can do: a slip comes first."""


class Result(Struct, frozen=True, kw_only=True):
    """A student's final value beside nature's."""

    value: float
    """As the student's own readings lead to it, in the rubric's unit of the result."""
    written: float | None
    """As the student gave it, in the same unit; None where the answer is missing or unreadable."""
    unit: str
    accepted: AcceptedValue | None
    """The accepted value it is compared with; None where nature has none."""
    uncertainty: ResultUncertainty | None = None
    """None where the readings cannot tell."""


class Since(Struct, frozen=True, kw_only=True):
    """What became of one student's slips since an earlier practical."""

    before: str
    """Title of the last practical before this one."""
    mended: tuple[Cause, ...]
    """Slips of that one, where this time the same kind of check found everything right."""
    came_back: tuple[Cause, ...]
    """Slips of this practical that an earlier one had."""


class TrendPoint(Struct, frozen=True, kw_only=True):
    """How many students of a class made each kind of slip in one practical."""

    title: str
    day: str
    """On which it was first marked; empty where that is not known."""
    handed_in: int
    counts: Mapping[Cause, int]


class Moderated(Struct, frozen=True, kw_only=True):
    """What a department ruled on the marks of a whole class, as it comes out for one script."""

    total: int
    """What counts."""
    before: int
    """What the marks of the criteria come to."""
    number: int
    """Of the ruling, in the record of the department."""
    slope: float
    """New = slope × old + constant, on the marks that people gave."""
    constant: float
    who: str
    when: str
    """UTC, as ISO 8601 text."""
    why: str


class Script(Struct, frozen=True, kw_only=True):
    """One write-up, marked."""

    write_up: WriteUp
    findings: tuple[Finding, ...]
    criteria: tuple[CriterionMark, ...]
    """In the rubric's order, those that apply to this student; empty where nothing was handed in."""
    plot: Plot | None = None
    result: Result | None = None
    earlier: Script | None = None
    """The version before, where this one was handed in again."""
    comment: str = ""
    """A teacher's own words for the sheet."""
    found: tuple[Finding, ...] = ()
    """All findings as worked out, where a person decided otherwise; empty where ``findings`` are just that."""
    since: Since | None = None
    """None where no earlier practical is known, or nothing changed."""
    moderated: Moderated | None = None
    """What a department ruled on its total; None where nothing was, or marks still wait."""

    @property
    def eye(self) -> tuple[CriterionMark, ...]:
        """Return the marks that the program left to a person, and a person gave."""
        return tuple(mark for mark in self.criteria if mark.ruling is not None and mark.ruling.proposed is None)

    @property
    def total(self) -> int:
        """Return the total that counts: that of the criteria, adjusted where a department ruled so."""
        return self.awarded if self.moderated is None else self.moderated.total

    @property
    def as_found(self) -> tuple[Finding, ...]:
        """Return the findings as they were worked out, before anybody decided."""
        return self.found or self.findings

    @property
    def awarded(self) -> int:
        """Return the marks given so far."""
        return sum(mark.marks or 0 for mark in self.criteria)

    @property
    def pending(self) -> int:
        """Return the marks a teacher has still to decide."""
        return sum(mark.criterion.marks for mark in self.criteria if mark.marks is None)

    @property
    def out_of(self) -> int:
        """Return the marks that can be had."""
        return sum(mark.criterion.marks for mark in self.criteria)


class LearnedShare(Struct, frozen=True, kw_only=True):
    """How a set's own wrong answers moved the share that a cause starts with."""

    kind: str
    """Kind of answer, as in the table of starting shares."""
    cause: Cause
    before: float
    after: float


class MarkedSet(Struct, frozen=True, kw_only=True):
    """One practical's set, marked."""

    rubric: Rubric
    scripts: tuple[Script, ...]
    """One for each student of the set, those who handed nothing in among them."""
    remarks: tuple[Remark, ...]
    sources: tuple[Source, ...]
    learned: tuple[LearnedShare, ...] = ()
    """Empty where the set has too few wrong answers to learn from."""
    trend: tuple[TrendPoint, ...] = ()
    """The class's practicals up to this one, in order; empty where this is the first that is known."""

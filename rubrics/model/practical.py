"""What a practical is, once its rubric file has been read and found sound.

The file format is explained in ``rubrics/catalogue/README.md``; ``rubrics/load.py`` turns a file
into these records. Nothing here knows of students.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from msgspec import Struct

from rubrics.formulas import Formula
from rubrics.model.questions import Question
from rubrics.units import Unit


class Role(StrEnum):
    """Whether a student reads an item off an instrument or works it out."""

    READING = "reading"
    ANSWER = "answer"


class Blank(StrEnum):
    """What becomes of a criterion whose answer was not given."""

    WITHHELD = "withheld"
    TEACHER = "teacher"


class CheckKind(StrEnum):
    """The kinds of check a criterion may ask for; each is one file of ``marking/checking``."""

    READING = "reading"
    """Readings are there, with a unit of their quantity."""
    PLACES = "places"
    """Readings of one instrument keep the same decimal places."""
    ROWS = "rows"
    """A table has enough rows over a wide enough range."""
    VALUE = "value"
    """An answer follows from the student's own figures."""
    UNIT = "unit"
    """An answer has a unit of its quantity."""
    FIGURES = "figures"
    """An answer has a sensible number of significant figures."""
    METHOD = "method"
    """A step that a right answer proves and a wrong one leaves to the teacher."""
    CHOICE = "choice"
    """Words chosen from a list that the student's own points support."""
    NEAREST = "nearest"
    """The accepted value that is named is the one nearest to the student's own result."""
    IDEAS = "ideas"
    """Ideas sought in a short answer: proposed to the teacher, who decides."""
    SCALE = "scale"
    """The scales of the axes, as typed, are easy, and the points fill at least half of each."""
    LINE = "line"
    """Two points read off the drawn line lie on the line of the readings, at least half its length apart."""
    TEACHER = "teacher"
    """Only a teacher can see it: a drawing, an explanation, a way of working."""

    @property
    def waits(self) -> bool:
        """Tell whether criteria of this kind wait for a teacher's tick, whatever was written."""
        return self in (CheckKind.TEACHER, CheckKind.IDEAS)


class Choice(Struct, frozen=True, kw_only=True):
    """One of the words that an item asks for."""

    word: str
    means: tuple[str, ...]
    """Curve models this word stands for: proportional, linear (with an intercept), flattening, threshold."""
    also: tuple[str, ...] = ()
    """Other wordings that are read as this one."""


class Item(Struct, frozen=True, kw_only=True):
    """One thing that a student writes down."""

    name: str
    """As in files and formulas: T_start."""
    symbol: str
    """As printed for people: T₁, ρ, R₂."""
    quantity: str
    """In words: start temperature."""
    role: Role
    unit: Unit
    """The unit the mark scheme works in; for words a pure number."""
    recorded_in: tuple[Unit, ...]
    """Units it is often written in, *unit* among them; slips are sought in these."""
    table: str | None
    """Name of the table it is a column of; None for a single item."""
    limits: tuple[float, float] | None
    """What sound apparatus of this practical can give, in *unit*; settles unclear commas and units, never a mark."""
    instrument: str
    resolution: float | None
    """Smallest step of the instrument, in *unit*."""
    headings: tuple[str, ...]
    """Other headings that a sheet may have for it."""
    formula: Formula | None
    """How an answer follows from other items; None for readings and words."""
    also: tuple[Formula, ...]
    """Other right ways to the same answer, for the roundings that lie on them."""
    figures: tuple[int, int]
    """Usual fewest and most significant figures of an answer."""
    choices: tuple[Choice, ...]
    """Empty unless the item asks for words."""
    curve: tuple[str, str] | None
    """(x, y): the columns whose shape decides between the choices."""
    blank: Blank
    """What an answer that was not given does to its criteria."""
    may_stand_alone: bool = False
    """Whether an answer may be read straight off a meter, with none of what it is worked out from."""
    uncertainty: float | None = None
    """Plus-or-minus of one reading that the school quotes, in *unit*; None for half of the resolution."""
    uncertainty_of: str | None = None
    """Name of the item whose uncertainty this answer is: in per cent where its unit is %, else in the item's unit."""
    is_read_off: bool = False
    """Whether it is a coordinate of a point read off the drawn line."""
    turn_on: tuple[str, str] | None = None
    """(x, y): the columns whose curve starts to rise at this value of x."""
    question: Question | None = None
    """The ideas sought, where the item is a question answered in the student's own words."""
    part_of: str | None = None
    """The question that this box is a part of: its direction, or its reason."""
    is_random: bool = False
    """Whether it counts chance events, such as decays: uncertain by the root of the count."""
    counted: tuple[str, ...] = ()
    """Names of the things counted, which may stand beside a pure number: dice, throws."""
    repeats: tuple[str, ...] = ()
    """Names of the readings that it is the mean of; where none was taken down it is a reading itself."""
    repeat_of: str | None = None
    """The mean that this reading is one of the repeats of."""

    @property
    def is_whole_count(self) -> bool:
        """Tell whether it is counted, not measured: exact, whatever was counted."""
        is_pure = not self.unit.symbol and not any(self.unit.dimension)
        return self.role is Role.READING and is_pure and self.resolution is None and bool(self.counted)

    @property
    def is_estimate(self) -> bool:
        """Tell whether it is an answer that no formula gives exactly: judged by a range, from the student's figures."""
        return self.uncertainty_of is not None or self.turn_on is not None or self.is_read_off

    @property
    def is_words(self) -> bool:
        """Tell whether the item asks for words rather than a number."""
        return bool(self.choices) or self.question is not None or self.part_of is not None


class Constant(Struct, frozen=True, kw_only=True):
    """A number that every student is given, such as g; several values may be in use at one school."""

    name: str
    symbol: str
    quantity: str
    unit: Unit
    values: tuple[float, ...]
    """In *unit*; the first is the one to print, any of them may have been used."""
    source: str


class Criterion(Struct, frozen=True, kw_only=True):
    """One line of the mark scheme."""

    code: str
    point: str
    """What earns it, in the words of the scheme."""
    marks: int
    check: CheckKind
    items: tuple[str, ...]
    award: tuple[tuple[int, int], ...]
    """(lines that must stand, marks), best first; empty: all lines for all marks."""
    rows: int | None
    """Fewest rows of a table."""
    span: float | None
    """Fewest units of *items[0]* between the lowest and the highest reading."""
    each_way: int | None
    """Fewest readings on either side of zero."""
    near: tuple[float, float, int] | None
    """(low, high, count): fewest readings of *items[0]* between two values."""
    when: tuple[str, ...]
    """Choices of the rubric's selector that it applies to; empty: always."""
    within: float | None = None
    """Widest spread of the column: how close concordant readings are, in its unit."""
    on_paper: bool = False
    """Whether only the graph on paper shows it: left out where a set leaves the graph unmarked."""
    spares: tuple[str, ...] = ()
    """Named slips that another criterion is there for: an answer that is exactly that stands here."""
    least: tuple[tuple[str, float], ...] = ()
    """(item, least value in its unit): 'at least 30 m from the wall'."""
    decides: bool = False
    """Whether a short answer that is read for sure decides it; else a teacher does, with a proposal."""
    lost_by: tuple[str, ...] = ()
    """Slips that deny the step of the check ``method``: 'rearrangement', or 'unit-conversion of E' of one reading."""
    steps: bool = False
    """Whether each reading is a whole number of steps of its instrument: 23.05, not 23.07."""


class AcceptedValue(Struct, frozen=True, kw_only=True):
    """What nature or the maker says, with where it was read."""

    name: str
    value: float
    """In the unit of the result's answer."""
    uncertainty: float
    """Half the spread between respectable sources, same unit; 0 where none is stated."""
    source: str
    edition: str
    follows: str | None = None
    """Answer that gives this value for each student, from the conditions that they measured."""


class ResultInfo(Struct, frozen=True, kw_only=True):
    """How the final value stands beside the accepted one."""

    answer: str
    accepted: tuple[AcceptedValue, ...]
    """The first is taken unless the teacher names another."""
    expected: tuple[float, float] | None
    """Where careful results fall, relative to the accepted value: (+0.02, +0.25)."""
    stop: tuple[float, float] | None
    """Outside this, suspect a slip or the apparatus first; relative, or in the answer's unit if none is accepted."""
    too_high: str
    """The usual reason for a value above the accepted one."""
    too_low: str
    or_answers: tuple[str, ...] = ()
    """Other final answers: the first that a student's readings lead to is taken."""
    each: bool = False
    """Whether each student may have tested another one: then the nearest to the own result is taken."""
    use: str | None = None
    """Name of the accepted value that the class is compared with; None: chosen once from what it recorded."""


class GraphInfo(Struct, frozen=True, kw_only=True):
    """Which graph the practical asks for."""

    x: str
    y: str
    fit: str
    """'line' or 'curve'."""
    read_off: tuple[str, ...] = ()
    """Items of two points read off the drawn line: x, y, x, y; empty where none are asked for."""
    axes: tuple[str, ...] = ()
    """Items of the scales: start, end and large square of x, then of y; empty where they are not asked for."""
    is_straight_part: bool = False
    """Whether the line asked for is that of the straight part: points past its end are left out."""


class NamedSlip(Struct, frozen=True, kw_only=True):
    """A slip that the rubric's author knows of and no one-step change of the formula gives."""

    answer: str
    formula: Formula
    cause: str
    detail: str


class Apparatus(Struct, frozen=True, kw_only=True):
    """One line of the technician's list."""

    name: str
    range: str
    each: int
    """How many a bench needs, or the class where it is shared."""
    shared: bool = False
    """One lot serves all benches."""
    consumable: bool = False
    """It is used up: every bench needs it anew each lesson."""


class Worked(Struct, frozen=True, kw_only=True):
    """An example worked through by the author: what a student may write, and what is then right."""

    entries: Mapping[str, tuple[str, ...]]
    """Name of a reading to its texts, one for a single item and one a row for a column."""
    answers: Mapping[str, tuple[str, ...]]


class Rubric(Struct, frozen=True, kw_only=True):
    """A practical, whole."""

    id: str
    edition: int
    title: str
    level: str
    purpose: str
    """What it is for, one sentence to the student."""
    items: Mapping[str, Item]
    """In the order of the results sheet."""
    constants: Mapping[str, Constant]
    criteria: tuple[Criterion, ...]
    selector: str | None
    """Item whose choice tells which criteria apply."""
    graph: GraphInfo | None
    result: ResultInfo | None
    slips: tuple[NamedSlip, ...]
    cautions: tuple[str, ...]
    apparatus: tuple[Apparatus, ...]
    file: str
    """Name of the file it was read from."""
    sha256: str
    worked: tuple[Worked, ...] = ()
    most_rows: int = 200
    """Rows that a student's table may have; what stands in further ones is not read."""
    unmarked: tuple[Criterion, ...] = ()
    """Criteria that a set leaves unmarked: in no total, but a sheet may hold boxes for their ticks."""

    @property
    def singles(self) -> tuple[Item, ...]:
        """Return the items written once."""
        return tuple(item for item in self.items.values() if item.table is None)

    @property
    def columns(self) -> tuple[Item, ...]:
        """Return the items written once a row."""
        return tuple(item for item in self.items.values() if item.table is not None)

    @property
    def answers(self) -> tuple[Item, ...]:
        """Return the items that are worked out."""
        return tuple(item for item in self.items.values() if item.role is Role.ANSWER)

    @property
    def total(self) -> int:
        """Return the marks of the criteria that always apply (for a selector: of its first choice)."""
        first = self.items[self.selector].choices[0].word if self.selector else ""
        return sum(c.marks for c in self.criteria if not c.when or first in c.when)

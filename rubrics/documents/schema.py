"""What a rubric file may hold, key by key; pydantic finds every fault in one go.

The classes mirror the tables of the file. They hold text and plain numbers only: units and formulas
are understood in ``rubrics/load.py``, where one item can be judged beside another.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, FiniteFloat

Text = Annotated[str, Field(min_length=1, max_length=600)]
Cell = Annotated[str, Field(max_length=600)]
"""A box of a worked table, which may be empty."""
Word = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_]{0,39}$")]
Code = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9-]{0,39}$")]
CheckWord = Literal[
    "reading", "places", "rows", "value", "unit", "figures", "method", "choice", "nearest", "ideas", "scale", "line",
    "teacher",
]  # fmt: skip
Pair = Annotated[list[FiniteFloat], Field(min_length=2, max_length=2)]


class _Table(BaseModel):
    # A misspelt key would otherwise be passed over, and the default used in silence.
    model_config = ConfigDict(extra="forbid", strict=True)


class ChoiceTable(_Table):
    """One word of a list to choose from."""

    word: Text
    means: list[Literal["proportional", "linear", "flattening", "threshold"]] = []
    also: list[Text] = []


class ItemTable(_Table):
    """A reading: one thing that a student reads off an instrument, or is given."""

    quantity: Text
    symbol: Text | None = None
    unit: str = ""
    recorded_in: list[str] = []
    change: bool = False
    table: Word | None = None
    limits: Pair | None = None
    instrument: str = ""
    resolution: FiniteFloat | None = Field(default=None, gt=0)
    repeats: Annotated[int, Field(ge=2, le=9)] | None = None
    counted: list[Text] = []
    random: bool = False
    uncertainty: FiniteFloat | None = Field(default=None, gt=0)
    headings: list[Text] = []
    choices: list[ChoiceTable] = []


class AnswerTable(_Table):
    """Something that a student works out or decides."""

    quantity: Text
    symbol: Text | None = None
    unit: str = ""
    recorded_in: list[str] = []
    table: Word | None = None
    limits: Pair | None = None
    counted: list[Text] = []
    headings: list[Text] = []
    formula: Text | None = None
    also: list[Text] = []
    figures: Annotated[list[Annotated[int, Field(ge=1, le=9)]], Field(min_length=2, max_length=2)] = [2, 3]
    choices: list[ChoiceTable] = []
    curve: Annotated[list[Word], Field(min_length=2, max_length=2)] | None = None
    uncertainty_of: Word | None = None
    turn_on: Annotated[list[Word], Field(min_length=2, max_length=2)] | None = None
    blank: Literal["withheld", "teacher"] = "withheld"
    alone: bool = False


EvidenceWord = Literal["constant", "proportional", "inverse", "inverse-square", "above", "below", "alike", "scattered"]


class IdeaTable(_Table):
    """An idea, right or wrong, that an answer in words may hold."""

    id: Code
    says: Text
    wordings: Annotated[list[Text], Field(min_length=1)]
    evidence: (
        Literal["constant", "proportional", "inverse", "inverse-square", "above", "below", "alike", "scattered"] | None
    ) = None
    columns: Annotated[list[Word], Field(max_length=6)] = []


class SourceTable(_Table):
    """A source of error, with the direction that belongs to it and the reason."""

    id: Code
    says: Text
    moves: Literal["high", "low", "same", "either"]
    because: Text
    wordings: Annotated[list[Text], Field(min_length=1)]
    when: list[Text] = []


class QuestionTable(_Table):
    """A question answered in the student's own words."""

    prompt: Text
    headings: list[Text] = []
    parts: bool = False
    of: list[Text] = []
    through: dict[Text, Literal[1, -1]] = {}
    any_of: bool = False
    beside: Annotated[list[Word], Field(min_length=2, max_length=2)] | None = None
    need: Annotated[int, Field(ge=1)] = 1
    sources: list[SourceTable] = []
    ideas: list[IdeaTable] = []
    wrong: list[IdeaTable] = []
    ignore: list[Text] = []


class ConstantTable(_Table):
    """A number that every student is given."""

    quantity: Text
    symbol: Text | None = None
    unit: str = ""
    values: Annotated[list[FiniteFloat], Field(min_length=1)]
    source: Text


LOST_BY = (
    "^(unit-conversion|rearrangement|operation-order|wrong-quantity|missing-factor|combination-rule|sign"
    "|gradient-inverted)( of [A-Za-z][A-Za-z0-9_]*)?$"
)
"""A slip that denies a step, of any reading or of the one that is named."""


class CriterionTable(_Table):
    """One line of the mark scheme."""

    code: Code
    point: Text | None = None
    marks: Annotated[int, Field(ge=1, le=10)] = 1
    check: CheckWord
    items: list[Word] = []
    award: dict[Annotated[str, Field(pattern=r"^[1-9][0-9]?$")], Annotated[int, Field(ge=0)]] = {}
    rows: Annotated[int, Field(ge=1)] | None = None
    span: FiniteFloat | None = Field(default=None, gt=0)
    each_way: Annotated[int, Field(ge=1)] | None = None
    within: FiniteFloat | None = Field(default=None, gt=0)
    steps: bool = False
    decides: bool = False
    on_paper: bool = False
    spares: list[Text] = []
    least: dict[Word, FiniteFloat] = {}
    lost_by: list[Annotated[str, Field(pattern=LOST_BY)]] = []
    near: Annotated[list[FiniteFloat], Field(min_length=3, max_length=3)] | None = None
    when: list[Text] = []


class AcceptedTable(_Table):
    """A value that nature or a maker gives, with its source."""

    name: Text
    value: FiniteFloat
    uncertainty: Annotated[FiniteFloat, Field(ge=0)]
    source: Text
    edition: Text
    follows: Word | None = None


class ResultTable(_Table):
    """How the final value stands beside the accepted one."""

    answer: Word
    or_answers: list[Word] = []
    use: Text | None = None
    each: bool = False
    accepted: list[AcceptedTable] = []
    expected: Pair | None = None
    stop: Pair | None = None
    too_high: str = ""
    too_low: str = ""


class GraphTable(_Table):
    """The graph that the practical asks for."""

    x: Word
    y: Word
    fit: Literal["line", "curve"]
    points: bool = False
    axes: bool = False
    straight: bool = False
    read_off: Annotated[list[Word], Field(min_length=4, max_length=4)] | None = None


class SlipTable(_Table):
    """A slip that the author knows of."""

    answer: Word
    formula: Text
    cause: Literal[
        "unit-conversion",
        "rearrangement",
        "operation-order",
        "wrong-quantity",
        "missing-factor",
        "combination-rule",
        "sign",
    ]
    detail: Text


class ApparatusTable(_Table):
    """One line of the technician's list."""

    name: Text
    range: str = ""
    each: Annotated[int, Field(ge=1)] = 1
    shared: bool = False
    consumable: bool = False


class WorkedTable(_Table):
    """An example worked through by the author; each text as a student would write it, with its unit."""

    entries: Annotated[dict[Word, Text | list[Cell]], Field(min_length=1)]
    answers: Annotated[dict[Word, Text | list[Cell]], Field(min_length=1)]


class RubricTable(_Table):
    """The whole file."""

    format: Literal[1]
    id: Annotated[str, Field(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=60)]
    edition: Annotated[int, Field(ge=1)] = 1
    title: Text
    level: Text = "14 to 18"
    purpose: Text
    selector: Word | None = None
    cautions: list[Text] = []
    readings: Annotated[dict[Word, ItemTable], Field(min_length=1)]
    answers: dict[Word, AnswerTable] = {}
    questions: dict[Word, QuestionTable] = {}
    constants: dict[Word, ConstantTable] = {}
    criteria: Annotated[list[CriterionTable], Field(min_length=1)]
    graph: GraphTable | None = None
    result: ResultTable | None = None
    slips: list[SlipTable] = []
    apparatus: list[ApparatusTable] = []
    worked: list[WorkedTable] = []
    most_rows: Annotated[int, Field(ge=1, le=999)] = 200

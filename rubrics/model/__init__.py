"""What a practical is, as frozen records: items, criteria, questions, graph, result. Knows no file."""

from rubrics.model.practical import (
    AcceptedValue,
    Apparatus,
    Blank,
    CheckKind,
    Choice,
    Constant,
    Criterion,
    GraphInfo,
    Item,
    NamedSlip,
    ResultInfo,
    Role,
    Rubric,
    Worked,
)
from rubrics.model.questions import BECAUSE, WAY, ErrorSource, Evidence, Idea, Moves, Question
from rubrics.model.repeat_columns import plain_quantity, with_repeats
from rubrics.model.usual_points import CAUTION_END, usual_point

__all__ = [
    "BECAUSE",
    "CAUTION_END",
    "WAY",
    "AcceptedValue",
    "Apparatus",
    "Blank",
    "CheckKind",
    "Choice",
    "Constant",
    "Criterion",
    "ErrorSource",
    "Evidence",
    "GraphInfo",
    "Idea",
    "Item",
    "Moves",
    "NamedSlip",
    "Question",
    "ResultInfo",
    "Role",
    "Rubric",
    "Worked",
    "plain_quantity",
    "usual_point",
    "with_repeats",
]

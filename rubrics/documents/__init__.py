"""The forms a rubric may come in, TOML file or workbook: a file in, one checked document out, and back without loss.

``sheet_shape`` derives sheets and columns from ``schema``, so that a new key of the format needs nothing here.
"""

from rubrics.documents.rubric_files import Source, read_source
from rubrics.documents.schema import (
    AnswerTable,
    ChoiceTable,
    ConstantTable,
    CriterionTable,
    GraphTable,
    IdeaTable,
    ItemTable,
    QuestionTable,
    ResultTable,
    RubricTable,
    SourceTable,
)
from rubrics.documents.toml_text import toml_text
from rubrics.documents.write_book import workbook_bytes

__all__ = [
    "AnswerTable",
    "ChoiceTable",
    "ConstantTable",
    "CriterionTable",
    "GraphTable",
    "IdeaTable",
    "ItemTable",
    "QuestionTable",
    "ResultTable",
    "RubricTable",
    "Source",
    "SourceTable",
    "read_source",
    "toml_text",
    "workbook_bytes",
]

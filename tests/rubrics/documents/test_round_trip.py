"""From a rubric's document to a workbook and back, and to TOML and back: nothing is lost, whatever it holds."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import structs
from pydantic import BaseModel, Field

from rubrics.documents import sheet_shape as shape
from rubrics.documents.books import read_book
from rubrics.documents.schema import AnswerTable, CriterionTable, ItemTable, RubricTable
from rubrics.documents.toml_text import toml_text
from rubrics.documents.write_book import workbook_bytes
from rubrics.load import read_rubric
from tests.rubrics.documents.documents import documents

FOLDER = resources.files("rubrics") / "catalogue"
FILES = sorted(file.name for file in FOLDER.iterdir() if file.name.endswith(".toml"))


def there_and_back(document: dict[str, Any]) -> dict[str, Any]:
    """Return *document* by way of a workbook."""
    return read_book("rubric.xlsx", workbook_bytes(document))[0]


@pytest.mark.parametrize("name", FILES)
def test_every_practical_of_the_catalogue(name: str, tmp_path: Path) -> None:
    """TOML to workbook to TOML gives the same document, and the workbook the same rubric in the same order."""
    document = tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))
    (tmp_path / "as.xlsx").write_bytes(workbook_bytes(document))
    back = there_and_back(document)
    assert back == document
    assert tomllib.loads(toml_text(back)) == document
    by_sheet, by_text = read_rubric(tmp_path / "as.xlsx"), read_rubric(FOLDER / name)
    assert structs.replace(by_sheet, file="", sha256="") == structs.replace(by_text, file="", sha256="")
    assert list(by_sheet.items) == list(by_text.items)
    assert (by_sheet.file, len(by_sheet.sha256)) == ("as.xlsx", 64)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(documents(RubricTable))
def test_any_document_of_the_schema(document: dict[str, Any]) -> None:
    """Every sign in every text, empty texts and lists, numbers of any size: all of it comes back."""
    assert there_and_back(document) == document
    assert tomllib.loads(toml_text(document)) == document


class _Level(BaseModel):
    marks: int
    says: list[str] = Field(default=[])


class _Band(BaseModel):
    low: float
    why: str = ""
    levels: list[_Level] = Field(default=[])


class _MoreItem(ItemTable):
    band: _Band | None = None
    either: str | list[str] = ""
    lists: list[list[float]] = Field(default=[])


class _MoreCriterion(CriterionTable):
    levels: list[_Level] = Field(default=[])
    band: _Band | None = None
    mixed: float | str = 0


class _Hazard(BaseModel):
    says: str
    levels: list[_Level] = Field(default=[])


class _MoreRubric(RubricTable):
    readings: dict[str, _MoreItem]
    answers: dict[str, AnswerTable] = Field(default={})
    criteria: list[_MoreCriterion]
    hazards: dict[str, _Hazard] = Field(default={})
    bands: list[_Band] = Field(default=[])
    weights: dict[str, float] = Field(default={})
    words: dict[str, list[float]] = Field(default={})


@pytest.fixture(scope="module")
def wider_format() -> Iterator[None]:
    """Give the format tables inside tables, lists of lists, mixed keys and whole new parts."""
    caches = (shape.sheets, shape.single_parts, shape.has_rows)
    before = shape.RubricTable
    shape.RubricTable = _MoreRubric  # type: ignore[misc]
    for one in caches:
        one.cache_clear()
    yield
    shape.RubricTable = before  # type: ignore[misc]
    for one in caches:
        one.cache_clear()


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_a_format_with_more_in_it(wider_format: None, data: st.DataObject) -> None:  # noqa: ARG001
    """Keys and parts that the format may gain need no change of the workbook."""
    document = data.draw(documents(_MoreRubric))
    assert there_and_back(document) == document
    assert tomllib.loads(toml_text(document)) == document


def test_toml_is_written_in_the_manner_of_the_catalogue() -> None:
    """A file of the catalogue that orders its keys as the schema does comes back line for line."""
    text = (FOLDER / "pendulum-g.toml").read_text(encoding="utf-8")
    written = toml_text(tomllib.loads(text))
    own = [line for line in text.splitlines() if line and len(line) <= 118 and not {"[", "]"} & set(line)]
    assert [line for line in written.splitlines() if line in own] == own


def test_same_rubric_gives_the_same_bytes() -> None:
    """A workbook made twice is the same file."""
    document = tomllib.loads((FOLDER / "titration.toml").read_text(encoding="utf-8"))
    assert workbook_bytes(document) == workbook_bytes(document)

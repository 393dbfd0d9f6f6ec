"""The catalogue's tables as they were checked: current, equal to what a check yields, and passed over once stale."""

from __future__ import annotations

import subprocess
import sys
from importlib import resources

import pytest

from rubrics.checked_tables import checked_table, kept_text
from rubrics.documents import RubricTable, read_source
from rubrics.load import load_catalogue, read_rubric

FILES = {
    file.name: file for file in (resources.files("rubrics") / "catalogue").iterdir() if file.name.endswith(".toml")
}


@pytest.mark.parametrize("name", sorted(FILES))
def test_what_is_kept_is_what_a_check_yields(name: str) -> None:
    """After a change to the catalogue or to the format: ``python -m rubrics.checked_tables``."""
    data = FILES[name].read_bytes()
    kept = resources.files("rubrics") / "catalogue" / "checked" / name.replace(".toml", ".json")
    table = RubricTable.model_validate(read_source(name, data).document)
    assert kept.read_text(encoding="utf-8") == kept_text(table, data), "run python -m rubrics.checked_tables"
    assert load_catalogue()[name.removesuffix(".toml")] == read_rubric(FILES[name])


def test_nothing_is_kept_of_a_file_that_is_gone() -> None:
    """A practical that is taken out leaves nothing behind."""
    kept = (resources.files("rubrics") / "catalogue" / "checked").iterdir()
    assert {file.name for file in kept} == {name.replace(".toml", ".json") for name in FILES}


def test_a_changed_file_is_checked() -> None:
    """One sign more in the file, and what was kept of it is not used."""
    file = FILES["osmosis.toml"]
    assert checked_table(file, file.read_bytes()) is not None
    assert checked_table(file, file.read_bytes() + b"\n") is None


def test_a_practical_of_the_catalogue_loads_no_checker() -> None:
    """Neither the checker nor the reader of workbooks nor the library of units."""
    said = (
        "import sys; from rubrics.load import load_catalogue; load_catalogue()['osmosis']; "
        "print([one for one in ('pydantic', 'openpyxl', 'pint') if one in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True).stdout == "[]\n"

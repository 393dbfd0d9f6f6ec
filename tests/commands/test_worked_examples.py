"""rubric-check marks the worked examples of a rubric, and tells those that do not stand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands.running import run_here
from tests.rubrics.small_rubric import SOUND

WORKED = '\n[[worked]]\nentries = {{ m = "65.4 g", V = "24.2 cm³" }}\nanswers = {{ rho = "{rho}" }}\n'


@pytest.mark.parametrize(
    ("rho", "status", "told"),
    [
        pytest.param("2.70 g/cm³", 0, "Worked examples: 1, all of them stand.", id="right"),
        pytest.param("2700 kg/m³", 0, "Worked examples: 1, all of them stand.", id="another unit"),
        pytest.param("0.37 g/cm³", 2, "rho = 0.37 g/cm³ does not stand in F1 (wrong-value)", id="wrong"),
    ],
)
def test_a_worked_example_has_to_stand(tmp_path: Path, rho: str, status: int, told: str) -> None:
    """A right one is counted; a wrong one is a fault of the file, with its line."""
    file = tmp_path / "tube.toml"
    file.write_text(SOUND + WORKED.format(rho=rho), encoding="utf-8")
    done = run_here("rubric-check", str(file))
    assert done.status == status
    assert told in done.out + done.err

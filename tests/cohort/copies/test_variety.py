"""How often cells of two pages agree once others do."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from marking.cohort.copies import row_noise
from marking.cohort.copies.variety import Variety, agreeing, pairs_apart, variety_of
from marking.cohort.copies.written_cells import reading_pages
from marking.cohort.evidence import partners_in
from tests.cohort.dishonest import copied
from tests.cohort.honest import WAYS, combinations_of
from tests.cohort.simulated import rubric_of, simulate

COMBINATIONS = "resistor-combinations"


def test_a_current_set_in_steps_leaves_the_other_reading_settled() -> None:
    """Currents in steps of a tenth or a fiftieth: of pages with one p.d. nearly all have one current."""
    (way,) = (one for one in WAYS if str(one) == "V to 1, A to 3 decimals, current set, noise 0.004, parts 0.01")
    write_ups = simulate(COMBINATIONS, 1, set_up=combinations_of(way, (22.0, 33.0)))
    pages = reading_pages(rubric_of(COMBINATIONS), partners_in(rubric_of(COMBINATIONS), write_ups))
    first, second = pairs_apart(pages)
    same, _ = agreeing(pages, first, second)
    variety = variety_of(pages)
    volts, amps = (pages.cells.index((name, 1)) for name in ("V_1", "I_1"))
    both = same[same[:, volts] & same[:, amps]][:1]
    assert variety.ties[amps] < 0.3
    assert variety.tied_by(both, amps)[0] > 0.6


def test_a_copy_does_not_speak_for_itself() -> None:
    """Where nobody else agrees, that two pages agree in one cell says nothing of the next."""
    write_ups = list(simulate(COMBINATIONS, 11))
    write_ups[7] = copied(write_ups[2], write_ups[7].student, Random(1))
    pages = reading_pages(rubric_of(COMBINATIONS), partners_in(rubric_of(COMBINATIONS), write_ups))
    same, _ = agreeing(pages, np.array([2]), np.array([7]))
    assert same.all()
    variety = variety_of(pages)
    assert variety.tied_by(same, 0)[0] == 0.0
    for cell in range(1, len(pages.cells)):
        assert variety.tied_by(same, cell)[0] <= 3 * variety.ties[cell]


@pytest.mark.parametrize("practical", [COMBINATIONS, "wire-resistance"])
def test_it_is_the_same_however_few_pairs_are_looked_at_at_a_time(
    practical: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To the last bit: memory is bounded by it, and nothing else."""
    pages = reading_pages(rubric_of(practical), partners_in(rubric_of(practical), simulate(practical, 3)))
    whole = variety_of(pages)
    monkeypatch.setattr(row_noise, "PAIRS_AT_ONCE", 17)
    few = variety_of(pages)
    for name in Variety.__struct_fields__:
        assert np.array_equal(getattr(few, name), getattr(whole, name), equal_nan=True), name

"""One careless reading neither hides a bench that is off nor makes one."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from msgspec.structs import replace

from marking.cohort.benches.bench_notes import bench_notes
from marking.cohort.benches.careless_readings import without_careless
from tests.cohort.simulated import as_marked, simulate, written

BENCH_OF = np.array([0, 0, 0, 1, 1])


def test_a_value_that_stands_alone_is_left_out() -> None:
    """The first group's second value; what a neighbour has too is the bench's."""
    residuals = np.array([[0.01, -0.7], [0.02, 0.0], [0.01, 0.01], [0.2, 0.01], [0.2, 0.0]])
    kept = without_careless(residuals, np.ones(2), BENCH_OF)
    assert np.argwhere(np.isnan(kept)).tolist() == [[0, 1]]


def test_two_values_are_too_few_to_choose() -> None:
    """Of one group with two values nobody knows which went wrong."""
    residuals = np.array([[0.0, 0.5]])
    assert np.array_equal(without_careless(residuals, np.ones(2), np.array([0])), residuals)


@pytest.mark.parametrize("factor", [0.5, 1.4, 10.0])
def test_one_careless_reading_does_not_hide_a_bench(factor: float) -> None:
    """A voltmeter 10 % high at bench 5, where one student misread one p.d., is found in five classes of six or more."""
    found = 0
    for seed in range(6):
        write_ups = list(simulate("resistor-combinations", seed, faults={"5": {"voltmeter": 1.10}}))
        place = next(n for n, one in enumerate(write_ups) if one.student.bench == "5")
        item = Random(seed).choice(["V_1", "V_2", "V_series", "V_parallel"])
        entry = write_ups[place].singles[item]
        assert entry.value is not None
        misread = written((f"{entry.value * factor:.2f}", "V"))
        write_ups[place] = replace(write_ups[place], singles={**write_ups[place].singles, item: misread})
        notes = bench_notes([as_marked("resistor-combinations", write_ups)])
        found += any(note.bench == "5" for note in notes)
    assert found >= 5

"""Lines that a check has yielded, looked at once more, each by what only the second look asks.

In: one student and a line, or the lines of a criterion. Out: the same, or what stands in their place.
"""

from marking.checking.checks.second_looks.gradient_points import asks_for_gradient, gradient_line
from marking.checking.checks.second_looks.mark_codes import with_faulty_apparatus, with_given_readings
from marking.checking.checks.second_looks.means import asks_for_mean, mean_line
from marking.checking.checks.second_looks.spared_slips import asks_to_spare, spared_line

__all__ = [
    "asks_for_gradient",
    "asks_for_mean",
    "asks_to_spare",
    "gradient_line",
    "mean_line",
    "spared_line",
    "with_faulty_apparatus",
    "with_given_readings",
]

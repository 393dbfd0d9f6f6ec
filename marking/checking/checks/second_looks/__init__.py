"""Lines that a check has yielded, looked at once more, each by what only the second look asks.

In: one student and a line, or the lines of a criterion. Out: the same, or what stands in their place.
"""

from marking.checking.checks.second_looks.gradient_points import gradient_line
from marking.checking.checks.second_looks.mark_codes import with_faulty_apparatus, with_given_readings
from marking.checking.checks.second_looks.means import mean_line
from marking.checking.checks.second_looks.spared_slips import spared_line

__all__ = ["gradient_line", "mean_line", "spared_line", "with_faulty_apparatus", "with_given_readings"]

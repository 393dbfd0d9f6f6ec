"""Who marked which class, and whether the results that are there are those of the set."""

from marking.moderation.department.class_lines import ClassLine, read_department
from marking.moderation.department.results_check import check_results, marks_before

__all__ = ["ClassLine", "check_results", "marks_before", "read_department"]

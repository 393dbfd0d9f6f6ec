"""Workbooks that are handed out, ready to fill in: a rubric and a roster in, a workbook out."""

from marking.intake.blank.blank_workbook import write_class_workbook, write_student_workbook

__all__ = ["write_class_workbook", "write_student_workbook"]

"""From files to write-ups, as they were written."""

from marking.intake.blank_workbook import write_class_workbook, write_student_workbook
from marking.intake.reading import read_inputs
from marking.intake.rosters import read_roster

__all__ = ["read_inputs", "read_roster", "write_class_workbook", "write_student_workbook"]

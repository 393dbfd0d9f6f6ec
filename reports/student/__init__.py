"""What a student gets: their sheet, and the page that explains one mark."""

from reports.student.feedback import write_feedback, write_feedback_print
from reports.student.feedback_columns import MarksShown
from reports.student.one_mark import Told, explanation, explanation_data, explanation_lines, write_explanation
from reports.student.sheets_of_class import Printing, SheetsSet, set_sheets, sheet_jobs
from reports.student.spoken import Spoken, spoken

__all__ = [
    "MarksShown",
    "Printing",
    "SheetsSet",
    "Spoken",
    "Told",
    "explanation",
    "explanation_data",
    "explanation_lines",
    "set_sheets",
    "sheet_jobs",
    "spoken",
    "write_explanation",
    "write_feedback",
    "write_feedback_print",
]

"""What a student gets: their sheet, and the page that explains one mark."""

from reports.student.feedback import write_feedback, write_feedback_print
from reports.student.feedback_columns import MarksShown
from reports.student.one_mark import Told, explanation, explanation_data, explanation_lines, write_explanation
from reports.student.spoken import Spoken, spoken

__all__ = [
    "MarksShown",
    "Spoken",
    "Told",
    "explanation",
    "explanation_data",
    "explanation_lines",
    "spoken",
    "write_explanation",
    "write_feedback",
    "write_feedback_print",
]

"""Paper before and in the lesson: results sheets to write on, and the technician's list."""

from reports.lesson.kit import write_kit
from reports.lesson.results_sheet import write_results_sheets

__all__ = ["write_kit", "write_results_sheets"]

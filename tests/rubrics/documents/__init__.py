"""A rubric as a workbook."""

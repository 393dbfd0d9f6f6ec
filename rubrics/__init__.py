"""What a practical is: items, units, formulas, criteria, cautions. Knows nothing of students.

Import from the modules: ``rubrics.load`` reads rubric files, ``rubrics.model`` holds the records,
``rubrics.units`` the units, ``rubrics.faults`` what can go wrong.
"""

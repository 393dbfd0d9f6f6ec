"""Causes once more, on write-ups by another hand that never saw the program: a second picture of what students do.

The write-ups are tidy files, one a practical, beside a ``truth.csv`` that says what was planted. What made them stands
outside; here is only the tally. A program that was fitted to its own cohorts alone would show here.
"""

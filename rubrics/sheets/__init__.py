"""A rubric as a workbook: the same document as the TOML file, laid out in sheets and read back without loss.

``shape`` derives sheets and columns from ``rubrics/schema.py``, so that a new key of the format needs nothing
here; ``cells`` says how a value stands in a cell, ``layout`` which value goes where, ``writing`` and
``reading`` know the files.
"""

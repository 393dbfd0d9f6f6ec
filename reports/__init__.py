"""Findings to paper and workbooks; nothing is worked out here."""

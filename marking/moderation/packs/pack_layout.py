"""Where things stand in the workbook of a pack: known to who writes it and to who reads it back."""

MARKS, SCRIPTS, SCHEME, PACK = "Marks", "Scripts", "Scheme", "Pack"
"""Names of the sheets."""
HEAD_ROW = 2
"""Row of the headings on each sheet, counted from 0; above it stands what to do."""
CODE, REMARK = "script", "remark"
SCRIPT_COLUMNS = ("script", "item", "what it is", "row", "written")
PACK_KEYS = ("practical", "edition", "rubric", "pack", "second marker")
NOT_ASKED = "–"
"""Stands in cells of criteria that the program works out; a second marker may still put a mark there."""

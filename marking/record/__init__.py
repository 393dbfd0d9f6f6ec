"""What people decided, and when: a table that only grows; findings + decisions -> marks. Never knows a page."""

from marking.record.chain import breaks
from marking.record.decisions import (
    AppealAnswered,
    AppealAsked,
    Decision,
    MarkGiven,
    ModerationReopened,
    ModerationRuled,
    ModerationSigned,
    ModerationUndone,
    SetName,
)
from marking.record.erasing import erase_student
from marking.record.exchange import export_lines, import_lines
from marking.record.keeping import Maker, keep, mark_versions, name_set
from marking.record.opening import open_record
from marking.record.state import with_decisions
from marking.record.store import Record
from marking.record.tick_decisions import ticked

__all__ = [
    "AppealAnswered",
    "AppealAsked",
    "Decision",
    "Maker",
    "MarkGiven",
    "ModerationReopened",
    "ModerationRuled",
    "ModerationSigned",
    "ModerationUndone",
    "Record",
    "SetName",
    "breaks",
    "erase_student",
    "export_lines",
    "import_lines",
    "keep",
    "mark_versions",
    "name_set",
    "open_record",
    "ticked",
    "with_decisions",
]

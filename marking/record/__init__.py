"""What people decided, and when: a table that only grows; findings + decisions -> marks. Never knows a page."""

from marking.record.chain import breaks
from marking.record.decisions import (
    AppealAnswered,
    AppealAsked,
    CellMended,
    Closed,
    CommentWritten,
    Decision,
    Erased,
    MarkGiven,
    ModerationReopened,
    ModerationRuled,
    ModerationSigned,
    ModerationUndone,
    PutOff,
    Reopened,
    SetName,
    SetRead,
    Signed,
    TakenBack,
)
from marking.record.erasing import erase_student
from marking.record.exchange import export_lines, import_lines
from marking.record.keeping import Maker, keep, mark_versions, name_set, proposed_class
from marking.record.mending import cell_of, entries_of, slot_of
from marking.record.opening import open_record
from marking.record.state import seen, version_of, with_decisions
from marking.record.store import OvertakenError, Record, SetClosedError
from marking.record.tick_decisions import ticked

__all__ = [
    "AppealAnswered",
    "AppealAsked",
    "CellMended",
    "Closed",
    "CommentWritten",
    "Decision",
    "Erased",
    "Maker",
    "MarkGiven",
    "ModerationReopened",
    "ModerationRuled",
    "ModerationSigned",
    "ModerationUndone",
    "OvertakenError",
    "PutOff",
    "Record",
    "Reopened",
    "SetClosedError",
    "SetName",
    "SetRead",
    "Signed",
    "TakenBack",
    "breaks",
    "cell_of",
    "entries_of",
    "erase_student",
    "export_lines",
    "import_lines",
    "keep",
    "mark_versions",
    "name_set",
    "open_record",
    "proposed_class",
    "seen",
    "slot_of",
    "ticked",
    "version_of",
    "with_decisions",
]

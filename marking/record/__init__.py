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
    PackGivenBack,
    PackHandedIn,
    PutOff,
    Reopened,
    SecondMarkGiven,
    SecondRemarkWritten,
    SetName,
    SetRead,
    Signed,
    TakenBack,
    department_set,
)
from marking.record.erasing import erase_student
from marking.record.exchange import export_lines, import_lines
from marking.record.keeping import Kept, Maker, adjustment_in, keep, mark_versions, name_set, proposed_class
from marking.record.mending import cell_of, entries_of, slot_of
from marking.record.moderated import adjusted_mark, standing_rulings
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
    "Kept",
    "Maker",
    "MarkGiven",
    "ModerationReopened",
    "ModerationRuled",
    "ModerationSigned",
    "ModerationUndone",
    "OvertakenError",
    "PackGivenBack",
    "PackHandedIn",
    "PutOff",
    "Record",
    "Reopened",
    "SecondMarkGiven",
    "SecondRemarkWritten",
    "SetClosedError",
    "SetName",
    "SetRead",
    "Signed",
    "TakenBack",
    "adjusted_mark",
    "adjustment_in",
    "breaks",
    "cell_of",
    "department_set",
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
    "standing_rulings",
    "ticked",
    "version_of",
    "with_decisions",
]

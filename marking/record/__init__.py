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
    SentenceMended,
    SetName,
    SetRead,
    Signed,
    TakenBack,
    WorkMarked,
)
from marking.record.erasing import erase_student
from marking.record.exchange import export_lines, import_lines
from marking.record.keeping import Maker, keep, keep_works, mark_versions, name_set, proposed_class
from marking.record.mending import cell_of, entries_of, slot_of
from marking.record.opening import open_record
from marking.record.state import seen, sentence_of, version_of, with_decisions
from marking.record.store import OvertakenError, Record, SetClosedError
from marking.record.tick_decisions import ticked
from marking.record.works import Work, work_in, work_of

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
    "SentenceMended",
    "SetClosedError",
    "SetName",
    "SetRead",
    "Signed",
    "TakenBack",
    "Work",
    "WorkMarked",
    "breaks",
    "cell_of",
    "entries_of",
    "erase_student",
    "export_lines",
    "import_lines",
    "keep",
    "keep_works",
    "mark_versions",
    "name_set",
    "open_record",
    "proposed_class",
    "seen",
    "sentence_of",
    "slot_of",
    "ticked",
    "version_of",
    "with_decisions",
    "work_in",
    "work_of",
]

"""What people decided, and when: a table that only grows; findings + decisions -> marks. Never knows a page."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
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
        SentenceMended,
        SetName,
        SetRead,
        Signed,
        TakenBack,
        WorkMarked,
        department_set,
    )
    from marking.record.erasing import erase_student
    from marking.record.exchange import export_lines, import_lines
    from marking.record.keeping import Kept, Maker, adjustment_in, keep, keep_works, name_set, proposed_class
    from marking.record.mending import cell_of, entries_of, slot_of
    from marking.record.opening import open_record
    from marking.record.state import adjusted_mark, seen, sentence_of, standing_rulings, version_of, with_decisions
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
    "SentenceMended",
    "SetClosedError",
    "SetName",
    "SetRead",
    "Signed",
    "TakenBack",
    "Work",
    "WorkMarked",
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
    "keep_works",
    "name_set",
    "open_record",
    "proposed_class",
    "seen",
    "sentence_of",
    "slot_of",
    "standing_rulings",
    "ticked",
    "version_of",
    "with_decisions",
    "work_in",
    "work_of",
]

_FILES = {
    "AppealAnswered": "decisions",
    "AppealAsked": "decisions",
    "CellMended": "decisions",
    "Closed": "decisions",
    "CommentWritten": "decisions",
    "Decision": "decisions",
    "Erased": "decisions",
    "Kept": "keeping",
    "Maker": "keeping",
    "MarkGiven": "decisions",
    "ModerationReopened": "decisions",
    "ModerationRuled": "decisions",
    "ModerationSigned": "decisions",
    "ModerationUndone": "decisions",
    "OvertakenError": "store",
    "PackGivenBack": "decisions",
    "PackHandedIn": "decisions",
    "PutOff": "decisions",
    "Record": "store",
    "Reopened": "decisions",
    "SecondMarkGiven": "decisions",
    "SecondRemarkWritten": "decisions",
    "SentenceMended": "decisions",
    "SetClosedError": "store",
    "SetName": "decisions",
    "SetRead": "decisions",
    "Signed": "decisions",
    "TakenBack": "decisions",
    "Work": "works",
    "WorkMarked": "decisions",
    "adjusted_mark": "state",
    "adjustment_in": "keeping",
    "breaks": "chain",
    "cell_of": "mending",
    "department_set": "decisions",
    "entries_of": "mending",
    "erase_student": "erasing",
    "export_lines": "exchange",
    "import_lines": "exchange",
    "keep": "keeping",
    "keep_works": "keeping",
    "name_set": "keeping",
    "open_record": "opening",
    "proposed_class": "keeping",
    "seen": "state",
    "sentence_of": "state",
    "slot_of": "mending",
    "standing_rulings": "state",
    "ticked": "tick_decisions",
    "version_of": "state",
    "with_decisions": "state",
    "work_in": "works",
    "work_of": "works",
}


def __getattr__(name: str) -> object:
    """Fetch a name from its file when it is first asked for: without a record no library of databases is loaded."""
    if name not in _FILES:
        raise AttributeError(f"{__name__} has no {name}")
    value = globals()[name] = getattr(import_module(f"{__name__}.{_FILES[name]}"), name)
    return value

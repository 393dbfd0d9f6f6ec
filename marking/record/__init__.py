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
        PutOff,
        Reopened,
        SetName,
        SetRead,
        Signed,
        TakenBack,
    )
    from marking.record.erasing import erase_student
    from marking.record.exchange import export_lines, import_lines
    from marking.record.keeping import Maker, keep, name_set, proposed_class
    from marking.record.marked_versions import mark_versions
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

_FILES = {
    "AppealAnswered": "decisions",
    "AppealAsked": "decisions",
    "CellMended": "decisions",
    "Closed": "decisions",
    "CommentWritten": "decisions",
    "Decision": "decisions",
    "Erased": "decisions",
    "Maker": "keeping",
    "MarkGiven": "decisions",
    "ModerationReopened": "decisions",
    "ModerationRuled": "decisions",
    "ModerationSigned": "decisions",
    "ModerationUndone": "decisions",
    "OvertakenError": "store",
    "PutOff": "decisions",
    "Record": "store",
    "Reopened": "decisions",
    "SetClosedError": "store",
    "SetName": "decisions",
    "SetRead": "decisions",
    "Signed": "decisions",
    "TakenBack": "decisions",
    "breaks": "chain",
    "cell_of": "mending",
    "entries_of": "mending",
    "erase_student": "erasing",
    "export_lines": "exchange",
    "import_lines": "exchange",
    "keep": "keeping",
    "mark_versions": "marked_versions",
    "name_set": "keeping",
    "open_record": "opening",
    "proposed_class": "keeping",
    "seen": "state",
    "slot_of": "mending",
    "ticked": "tick_decisions",
    "version_of": "state",
    "with_decisions": "state",
}


def __getattr__(name: str) -> object:
    """Fetch a name from its file when it is first asked for: without a record no library of databases is loaded."""
    if name not in _FILES:
        raise AttributeError(f"{__name__} has no {name}")
    value = globals()[name] = getattr(import_module(f"{__name__}.{_FILES[name]}"), name)
    return value

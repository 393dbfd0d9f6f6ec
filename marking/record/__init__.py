"""Where decisions are kept: a table that only grows, in a file or on a server. Never knows a page."""

from marking.record.chain import (
    breaks,
)
from marking.record.erasing import (
    erase_student,
)
from marking.record.exchange import (
    export_lines,
    import_lines,
)
from marking.record.keeping import (
    Kept,
    Maker,
    adjustment_in,
    keep,
    keep_works,
    name_set,
    proposed_class,
)
from marking.record.opening import (
    open_record,
)
from marking.record.store import (
    OvertakenError,
    Record,
    SetClosedError,
    is_closed,
)

__all__ = [
    "Kept",
    "Maker",
    "OvertakenError",
    "Record",
    "SetClosedError",
    "adjustment_in",
    "breaks",
    "erase_student",
    "export_lines",
    "import_lines",
    "is_closed",
    "keep",
    "keep_works",
    "name_set",
    "open_record",
    "proposed_class",
]

"""Where results, workbooks and papers are put: whole or not at all, one writer at a time, nothing of a person's lost.

A name and what is to stand there go in; a folder or a file that is complete comes out. Never knows marks or students.
"""

from marking.outputs.folder_lock import held
from marking.outputs.folder_swap import KEPT, OURS, changed_by_hand, is_ours, replaced_folder, written_files
from marking.outputs.put_files import Put, put_all, put_file

__all__ = [
    "KEPT",
    "OURS",
    "Put",
    "changed_by_hand",
    "held",
    "is_ours",
    "put_all",
    "put_file",
    "replaced_folder",
    "written_files",
]

"""Records that are quick to make: dataclasses, frozen for whoever reads or checks the code, and plain at run time.

A class of 30 makes thousands of records and a year millions, and Python makes a frozen one by a call for each of its
fields, three times as slowly. So what keeps anybody from changing a record is the check of types, which sees the
dataclass of the standard library here, frozen as its decorator says. What every record would have of its own (how it is
shown, compared and hashed) is shared, since writing such functions anew for each of some 250 classes is most of what
loading them takes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass
else:
    from rubrics.records.quick_records import dataclass

__all__ = ["dataclass"]

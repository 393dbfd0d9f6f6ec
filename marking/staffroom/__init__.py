"""The desk that a department shares: sign-in, who sees what, second marking, moderation, signatures.

A record, accounts and folders go in; an application comes out. Pages about one class are those of the desk.
"""

from marking.staffroom.front_door import House
from marking.staffroom.served_app import ServedFolders, served_app

__all__ = ["House", "ServedFolders", "served_app"]

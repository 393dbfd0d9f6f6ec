"""What goes to a second marker and comes back: blind packs, their key, and the check that they are the same."""

from marking.moderation.packs import pack_layout
from marking.moderation.packs.blinding import Shown, names_to_hide
from marking.moderation.packs.key import EVERYBODY, Key, KeyLine, Person, key_lines, read_key, write_key
from marking.moderation.packs.pack_contents import Pack, PackScript, SchemeLine, common_pack, packs, scheme_hash
from marking.moderation.packs.returned import Returned, SecondMarks, read_packs
from marking.moderation.packs.sent_out import read_pack

__all__ = [
    "EVERYBODY",
    "Key",
    "KeyLine",
    "Pack",
    "PackScript",
    "Person",
    "Returned",
    "SchemeLine",
    "SecondMarks",
    "Shown",
    "common_pack",
    "key_lines",
    "names_to_hide",
    "pack_layout",
    "packs",
    "read_key",
    "read_pack",
    "read_packs",
    "scheme_hash",
    "write_key",
]

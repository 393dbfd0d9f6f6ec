"""Papers of moderation: packs for second markers, the report for the file, a page for each marker."""

from reports.moderation.pack_book import write_pack_book
from reports.moderation.pack_pages import write_pack_pages

__all__ = ["write_pack_book", "write_pack_pages"]

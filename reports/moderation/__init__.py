"""Papers of moderation: packs for second markers, the report for the file, a page for each marker, letters."""

from reports.moderation.agreement_words import (
    agreement_sentences,
    computed_sentence,
    criterion_sentence,
    joint_sentence,
)
from reports.moderation.appeal_letter import letter_sentences, write_appeal_letter
from reports.moderation.marker_page import write_marker_page
from reports.moderation.moderation_report import write_moderation_report
from reports.moderation.pack_book import write_pack_book
from reports.moderation.pack_pages import write_pack_pages
from reports.moderation.ruling_words import (
    asked_ruling_words,
    effect_sentences,
    proposal_sentence,
    ruling_sentences,
    ruling_words,
    signature_sentences,
)
from reports.moderation.together_page import write_together_page

__all__ = [
    "agreement_sentences",
    "asked_ruling_words",
    "computed_sentence",
    "criterion_sentence",
    "effect_sentences",
    "joint_sentence",
    "letter_sentences",
    "proposal_sentence",
    "ruling_sentences",
    "ruling_words",
    "signature_sentences",
    "write_appeal_letter",
    "write_marker_page",
    "write_moderation_report",
    "write_pack_book",
    "write_pack_pages",
    "write_together_page",
]

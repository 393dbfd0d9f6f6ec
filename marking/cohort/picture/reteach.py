"""Who to teach what again: the commonest causes of the class, as notes for the teacher."""

from __future__ import annotations

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture.class_picture import Band, SharedCause, picture
from marking.findings import MarkedSet

_WORDS = {
    Band.RETEACH: "Teach again to all",
    Band.GROUP: "Take aside as a group",
}


def group_notes(marked: MarkedSet) -> tuple[ClassNote, ...]:
    """Return one note for each cause that is common enough for a group, the commonest first."""
    return tuple(
        ClassNote(
            kind=NoteKind.GROUP,
            practical=marked.rubric.id,
            students=shared.students,
            items=shared.items,
            message=(
                f"{_WORDS[shared.band]}: {shared.cause}{_detail(shared)} in {', '.join(shared.items)}, "
                f"{len(shared.students)} students ({shared.share:.0%} of those who handed in)."
            ),
        )
        for shared in picture(marked).causes
        if shared.band in _WORDS
    )


def _detail(shared: SharedCause) -> str:
    """Return what tells a slip from another of the same cause: ' (V * I)'."""
    detail = next((one.detail for one in shared.shown.explanations if one.cause is shared.cause), "")
    return f" ({detail})" if shared.slip and detail else ""

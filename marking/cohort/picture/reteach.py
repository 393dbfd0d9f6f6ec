"""Who to teach what again: the commonest causes of the class, as notes for the teacher."""

from __future__ import annotations

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture.class_picture import Band, picture
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
                f"{_WORDS[shared.band]}: {shared.cause} in {', '.join(shared.items)}, "
                f"{len(shared.students)} students ({shared.share:.0%} of those who handed in)."
            ),
        )
        for shared in picture(marked).causes
        if shared.band in _WORDS
    )

"""The class at a glance: marked write-ups in, shared causes, bands of results and groups to teach again out."""

from marking.cohort.picture.class_picture import (
    BY_FORMULA,
    FEWEST_SHARING,
    PLACES,
    Band,
    ClassPicture,
    CriterionPicture,
    SharedCause,
    StudentResult,
    Waiting,
    named_cause,
    picture,
    slip_of,
)
from marking.cohort.picture.item_statistics import item_statistics
from marking.cohort.picture.reteach import group_notes
from marking.cohort.picture.whole_class import class_notes

__all__ = [
    "BY_FORMULA",
    "FEWEST_SHARING",
    "PLACES",
    "Band",
    "ClassPicture",
    "CriterionPicture",
    "SharedCause",
    "StudentResult",
    "Waiting",
    "class_notes",
    "group_notes",
    "item_statistics",
    "named_cause",
    "picture",
    "slip_of",
]

"""Headings of the columns that say who it is, and the other columns that are about no item."""

from __future__ import annotations

import re
from enum import StrEnum


class Meaning(StrEnum):
    """What a column holds."""

    STUDENT = "student"
    NAME = "name"
    FIRST_NAME = "first name"
    SURNAME = "surname"
    BENCH = "bench"
    ABSENT = "absent"
    PAPER = "paper"
    MARK_CODE = "mark code"
    MATERIAL = "material"
    GRAPH = "graph"
    PRACTICAL = "practical"
    ROW = "row"
    VALUE = "value"
    UNIT = "unit"
    UNKNOWN = ""


PEOPLE_WORDS = {
    "student": Meaning.STUDENT,
    "student code": Meaning.STUDENT,
    "pupil": Meaning.STUDENT,
    "pupil code": Meaning.STUDENT,
    "pupil number": Meaning.STUDENT,
    "pupil no.": Meaning.STUDENT,
    "pupil id": Meaning.STUDENT,
    "pupil name": Meaning.NAME,
    "learner": Meaning.STUDENT,
    "first name": Meaning.FIRST_NAME,
    "forename": Meaning.FIRST_NAME,
    "given name": Meaning.FIRST_NAME,
    "surname": Meaning.SURNAME,
    "last name": Meaning.SURNAME,
    "family name": Meaning.SURNAME,
    "student id": Meaning.STUDENT,
    "student number": Meaning.STUDENT,
    "code": Meaning.STUDENT,
    "candidate": Meaning.STUDENT,
    "student no.": Meaning.STUDENT,
    "candidate number": Meaning.STUDENT,
    "candidate no.": Meaning.STUDENT,
    "candidate code": Meaning.STUDENT,
    "name": Meaning.NAME,
    "student name": Meaning.NAME,
    "full name": Meaning.NAME,
    "bench": Meaning.BENCH,
    "bench number": Meaning.BENCH,
    "station": Meaning.BENCH,
    "absent": Meaning.ABSENT,
    "paper": Meaning.PAPER,
    "reader": Meaning.PAPER,
    "mark code": Meaning.MARK_CODE,
    "mark codes": Meaning.MARK_CODE,
    "practical": Meaning.PRACTICAL,
    "row": Meaning.ROW,
    "row number": Meaning.ROW,
    "reading number": Meaning.ROW,
}
"""Headings, folded, of the columns that are about no item."""

WHO = (Meaning.STUDENT, Meaning.NAME, Meaning.FIRST_NAME, Meaning.SURNAME)
_RANKS = {word: rank for rank, word in enumerate(PEOPLE_WORDS)}
_SOMEBODY = frozenset(
    {"student", "students", "pupil", "pupils", "learner", "learners", "candidate", "candidates", "cand"}
)
_NAMING = frozenset({"name", "names"})
_PART_OF = frozenset(
    re.findall(
        "[a-z]+",
        "s of the your a and or no nr num number code codes id ids identifier ref reference key initials index",
    )
)
WEAK = 2000
"""Ranks from here on say who it is only where no other heading does."""
_WEAK_WORDS = {
    **dict.fromkeys(
        ("id", "initials", "reg no.", "reg. no.", "registration number", "roll no.", "roll number"), Meaning.STUDENT
    ),
    **dict.fromkeys(("admission no.", "admission number", "username", "user name", "user", "login"), Meaning.STUDENT),
    **dict.fromkeys(("email", "e-mail", "email address", "e-mail address"), Meaning.STUDENT),
}
_OF_FORMS = {
    **dict.fromkeys(("your code", "your id", "your number"), Meaning.STUDENT),
    **dict.fromkeys(("your name", "your full name"), Meaning.NAME),
}
_COUNTED = len(PEOPLE_WORDS)
_LAST = 2 * WEAK


def person_called(word: str) -> Meaning | None:
    """Return what a folded heading says of people: 'name of student' is a name; None for any other."""
    return PEOPLE_WORDS.get(word) or _by_its_words(word) or _OF_FORMS.get(word) or _WEAK_WORDS.get(word)


def rank_of(word: str) -> int:
    """Return how plainly a folded heading says it, 0 the plainest: 'student', then 'candidate no.', then 'id'."""
    if word in _RANKS:
        return _RANKS[word]
    if _by_its_words(word) is not None or word in _OF_FORMS:
        return _COUNTED
    return WEAK + list(_WEAK_WORDS).index(word) if word in _WEAK_WORDS else _LAST


def names_student(word: str) -> bool:
    """Tell whether a folded heading says who a row is about."""
    return person_called(word) in WHO


def _by_its_words(word: str) -> Meaning | None:
    words = set(re.findall(r"[a-z]+", word.replace("\u2019", "'")))
    if not words & _SOMEBODY or words - _SOMEBODY - _NAMING - _PART_OF:
        return None
    is_name = bool(words & _NAMING) and not words & {"code", "id", "number", "no"}
    return Meaning.NAME if is_name else Meaning.STUDENT

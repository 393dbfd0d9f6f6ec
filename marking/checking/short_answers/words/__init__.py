"""The words of a short answer, and where wordings of a rubric stand in them."""

from marking.checking.short_answers.words.own_words import (
    OwnWords,
    denied_in,
    names_of,
    own_words,
    places_in,
    plain_wording,
)
from marking.checking.short_answers.words.reading_words import (
    Direction,
    Word,
    direction_of,
    is_two_ways,
    known_groups,
    known_words,
    opposites_of,
    phrases_in,
    read_words,
)
from marking.checking.short_answers.words.wordings_found import Match, all_matches, places_of, read_as_one_word

__all__ = [
    "Direction",
    "Match",
    "OwnWords",
    "Word",
    "all_matches",
    "denied_in",
    "direction_of",
    "is_two_ways",
    "known_groups",
    "known_words",
    "names_of",
    "opposites_of",
    "own_words",
    "phrases_in",
    "places_in",
    "places_of",
    "plain_wording",
    "read_as_one_word",
    "read_words",
]

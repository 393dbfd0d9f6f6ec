"""What an answer says of directions: the text and its words in, claims out; never which of them earns a mark."""

from marking.checking.short_answers.directions.claims import Claim, Directions, read_directions
from marking.checking.short_answers.directions.compared_numbers import way_of_arrival

__all__ = ["Claim", "Directions", "read_directions", "way_of_arrival"]

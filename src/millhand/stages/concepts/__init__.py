"""Which ways to load the machines are looked at."""

from millhand.stages.concepts.build import as_today, cell_concept, concepts, dropped, how_many, wanted_by, wished_away
from millhand.stages.concepts.choices import CHOICES, Choices, combinations, first_rule, fits, plain_words
from millhand.stages.concepts.words import inquiry_words

__all__ = [
    "CHOICES",
    "Choices",
    "as_today",
    "cell_concept",
    "combinations",
    "concepts",
    "dropped",
    "first_rule",
    "fits",
    "how_many",
    "inquiry_words",
    "plain_words",
    "wanted_by", "wished_away",
]  # fmt: skip

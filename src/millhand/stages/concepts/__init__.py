"""Which ways to load the machines are looked at."""

from millhand.stages.concepts.build import cell_concept, concepts, dropped
from millhand.stages.concepts.choices import CHOICES, Choices, combinations, first_rule, fits, plain_words
from millhand.stages.concepts.words import inquiry_words

__all__ = [
    "CHOICES", "Choices", "cell_concept", "combinations", "concepts", "dropped", "first_rule", "fits", "inquiry_words",
    "plain_words",
]  # fmt: skip

"""Which ways to load the machines are looked at."""

from millhand.stages.concepts.build import cell_concept, concepts, dropped
from millhand.stages.concepts.choices import CHOICES, Choices, combinations
from millhand.stages.concepts.words import inquiry_words

__all__ = ["CHOICES", "Choices", "cell_concept", "combinations", "concepts", "dropped", "inquiry_words"]

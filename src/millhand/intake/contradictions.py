"""The shop's figures against each other: what cannot be is an error in words, what is odd is a question."""

from millhand.errors import InputError
from millhand.model.inquiry import Inquiry


def contradictions(inquiry: Inquiry) -> tuple[InputError, ...]:
    """Every pair of figures that cannot both be right."""
    return ()

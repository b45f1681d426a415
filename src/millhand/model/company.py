"""Whose paper a proposal is written on: all of it the company's own words, and none of it needed."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Logo:
    """A picture of the company, read and checked: PNG or JPEG."""

    data: bytes
    form: str  # png, jpg


@dataclass(frozen=True, slots=True, kw_only=True)
class Company:
    """The head of the paper, what identifies this proposal, and the company's own text blocks."""

    name: str = ""
    address: tuple[str, ...] = ()
    contact: tuple[str, ...] = ()
    number_prefix: str = ""  # of the numbers that the desk gives, such as P-
    number: str = ""  # of this proposal
    revision: str = ""
    prices: str = ""  # as of when the prices are
    valid_days: int | None = None
    delivery: str = ""
    milestones: str = ""
    warranty: str = ""
    service: str = ""
    closing: str = ""
    logo: Logo | None = None

"""How a proposal is asked for: language, form, whose paper it is, and the date on it."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from millhand.model.company import Company

Form = Literal["short", "long"]
NOBODY = Company()
FORMS: tuple[Form, ...] = ("short", "long")


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """One wish for a proposal."""

    on: date
    language: str = "en"
    form: Form = "short"
    company: Company = NOBODY
    internal: bool = False  # for the house: with cost and margin


def numbered(letter: Letter, number: str, revision: str) -> Letter:
    """The same under a number and a revision of its own; what is empty stays as the company says it."""
    company = letter.company
    own = replace(company, number=number or company.number, revision=revision or company.revision)
    return replace(letter, company=own)

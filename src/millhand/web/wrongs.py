"""What is wrong with an inquiry, for somebody who has no file before him: by the name of its field, with a link."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from millhand.errors import InputError
from millhand.intake.fields import MISSING, Paper, Section
from millhand.intake.form import Word
from millhand.web.sheet import called, form_of, shown_on_sheet

PLACE = re.compile(r"\binquiry\.yaml(:\d+)*(:\s*|\b)")
KEY = re.compile(r"\b[a-z]+(_[a-z0-9]+)+\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """One error: what its field is called and where that is (the end of its address in the inquiry), '' where it
    belongs to no field alone."""

    words: str
    at: str
    read: str
    write: str


def wrongs(paper: Paper, *, sheet: bool = True) -> tuple[Wrong, ...]:
    """Every error but those of what is not there yet, which the list of what is needed names."""
    return tuple(wrong(each, paper, sheet=sheet) for each in paper.errors if each.code != MISSING)


def wrong(error: InputError, paper: Paper, *, sheet: bool) -> Wrong:
    """An error by its field."""
    own = next((each for each in paper.all_fields() if error in each.errors), None)
    if own is not None:
        here = sheet and own.path in {each.path for each in shown_on_sheet(paper)}
        of_form = {each.path for each in paper.fields()}
        page = "" if here else form_of(own, paper) if own.path in of_form else "?"
        words = own.entry.help if isinstance(own.entry, Word) else called(own.fact)
        return Wrong(words=words, at=f"{page}#field-{own.path}", read=plainly(error.read), write=plainly(error.write))
    section = next((each for each in sections_in(paper.sections) if error in each.errors), None)
    if section is None:
        return Wrong(words="", at="", read=plainly(error.read), write=plainly(error.write))
    first = section.path.partition(".")[0]
    return Wrong(words=called(section.path) or section.title, at=f"/form?of={first}", read=error.read,
                 write=plainly(error.write))  # fmt: skip


def sections_in(sections: tuple[Section, ...]) -> Iterator[Section]:
    """Sections and all that stand below them."""
    for each in sections:
        yield each
        yield from sections_in(each.below)


def plainly(words: str) -> str:
    """A sentence without the place in a file that nobody has before him, keys of the file as people read them.

    >>> plainly("inquiry.yaml:22:10: read '3 kg'; write parts_per_cycle where several are made")
    "read '3 kg'; write parts per cycle where several are made"
    """
    return KEY.sub(lambda each: each[0].replace("_", " "), PLACE.sub("", words))

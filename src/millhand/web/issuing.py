"""A proposal gets its number and goes out: made, kept with its files as they are, and listed for good."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection

from millhand.errors import ToolError
from millhand.model.company import Company
from millhand.report.proposal.letter import Letter, numbered
from millhand.store import work
from millhand.store.companies import details
from millhand.store.inquiries import STATES, Kept, kept, mark
from millhand.store.issued import PAPER, Issued, Number, Paper, issue, next_number
from millhand.store.revisions import files_of
from millhand.web.company import company_of
from millhand.web.desk import Desk
from millhand.web.kept_record import is_record
from millhand.web.papering import Wanted
from millhand.web.worker import COPIES

CUSTOMER = COPIES[1]
PAGES, REPORT = "pages/", "report.html"
TRIES = 3  # somebody else may take the number between


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How a proposal is wanted. `inside`: for the house, with cost and margin."""

    language: str
    form: Any
    on: date
    inside: bool = False

    @property
    def plain(self) -> Mapping[str, str]:
        """As it is kept and as it stands in addresses."""
        return {"language": self.language, "form": self.form, "on": self.on.isoformat()}


def company_for(desk: Desk, inquiry: str) -> tuple[Company, bool]:
    """Whose paper the proposals of an inquiry are on, and whether a file of the inquiry says so."""
    with desk.store.reading() as connection:
        files = files_of(connection, inquiry, kept(connection, inquiry).revision)
        own = details(connection)
    return company_of(desk.reader, files, own)


def letter_of(asked: Asked, company: Company) -> Letter:
    """The wish as the proposal takes it."""
    return Letter(on=asked.on, language=asked.language, form=asked.form, company=company, internal=asked.inside)


def number_for(connection: Connection, inquiry: str, company: Company) -> Number:
    """What the next paper would go by; InputError for a number of the company file that another inquiry has."""
    return next_number(connection, inquiry, prefix=company.number_prefix, given=company.number)


def send_out(desk: Desk, piece: work.Work, asked: Asked, who: str) -> Issued:
    """Make the customer's copy under the next number and keep it; the inquiry is proposed from then on."""
    company, _ = company_for(desk, piece.inquiry)
    for _ in range(TRIES):
        with desk.store.reading() as connection:
            number = number_for(connection, piece.inquiry, company)
        letter = numbered(letter_of(asked, company), number.number, str(number.revision))
        wanted = Wanted(piece.id, CUSTOMER, letter)
        pdf, drawn = desk.papering.pdf(wanted), desk.papering.pages(wanted)
        pages = {f"{PAGES}{place:02d}.png": page for place, page in enumerate(drawn, start=1)}
        other = asked.language != piece.wishes.get("language", "en")  # the study was written in another one
        anew = {REPORT: desk.papering.report(wanted)} if other else {}
        with desk.store.writing() as connection:
            own = kept(connection, piece.inquiry)
            if number_for(connection, piece.inquiry, company) != number:
                continue
            files = {PAPER: pdf, **pages, **delivered(connection, piece), **anew}
            paper = Paper(inquiry=own.id, work=piece.id, name=own.name, asked=asked.plain, files=files)
            proposed(connection, own, who)
            return issue(connection, paper, number, who)
    raise ToolError("others issue proposals at the same moment; issue it again.", code="number_busy")


def delivered(connection: Connection, piece: work.Work) -> dict[str, bytes]:
    """The files of the customer's copy that go with the paper: all but its pages and the study's own proposal."""
    names = work.delivered(connection, piece.id, CUSTOMER)
    return {
        name: work.file_of(connection, piece.id, CUSTOMER, name)
        for name in names
        if not name.startswith(PAGES) and name != PAPER and not is_record(name)
    }


def proposed(connection: Connection, own: Kept, who: str) -> None:
    """An open inquiry is proposed now."""
    if own.state == STATES[0]:
        mark(connection, own.id, who, state=STATES[1], tags=own.tags)

"""Issued proposals: numbers and revisions count on, files stay as they were, and nothing takes one away."""

from pathlib import Path

import pytest

import millhand.store.issued as module
from millhand.errors import InputError
from millhand.store import work
from millhand.store.companies import Details, details, keep_details
from millhand.store.issued import Issued, Number, Paper, all_issued, issue, issued_file, issued_names, next_number
from millhand.store.opening import Store
from tests.store.desk import a_store, one


def goes_out(store: Store, inquiry: str, pdf: bytes, **asked: str) -> Issued:
    """Issue a paper of an inquiry under its next number."""
    with store.writing() as connection:
        piece = work.ask(connection, inquiry, 1, {}, "me")
        number = next_number(connection, inquiry, **asked)
        paper = Paper(inquiry=inquiry, work=piece.id, name="a", asked={"on": "2027-01-31"},
                      files={"proposal.pdf": pdf, "drawings/x.svg": b"<svg/>"})  # fmt: skip
        return issue(connection, paper, number, "me")


def test_each_inquiry_has_its_number_and_its_revisions(tmp_path: Path) -> None:
    """A new inquiry the next number, the same inquiry the next revision; a company file's number goes first."""
    with a_store(tmp_path) as store:
        first, second = one(store).id, one(store).id
        made = [goes_out(store, each, b"%PDF", prefix="P-") for each in (first, second, first)]
        given = goes_out(store, second, b"%PDF", given="X 9")

        assert [(each.number, each.revision) for each in made] == [("P-0001", 1), ("P-0002", 1), ("P-0001", 2)]
        assert (given.number, given.revision) == ("X 9", 1)
        assert goes_out(store, second, b"%PDF", given="X 9").revision == 2
        with store.reading() as connection:
            assert next_number(connection, first) == Number(counter=1, number="P-0001", revision=3)
            with pytest.raises(InputError, match="write a number that no other inquiry's proposal has"):
                next_number(connection, first, given="X 9")


def test_a_number_given_by_a_file_is_never_counted_to(tmp_path: Path) -> None:
    """The desk's own count passes it by."""
    with a_store(tmp_path) as store:
        taken, fresh = one(store).id, one(store).id
        goes_out(store, taken, b"%PDF", given="P-0002")

        assert goes_out(store, fresh, b"%PDF", prefix="P-").number == "P-0003"


def test_an_older_revision_stays_as_it_went_out(tmp_path: Path) -> None:
    """Each revision gives its own bytes; no function of the store changes or takes away one."""
    with a_store(tmp_path) as store:
        inquiry = one(store).id
        old, new = goes_out(store, inquiry, b"%PDF old"), goes_out(store, inquiry, b"%PDF new")
        with store.reading() as connection:
            assert issued_file(connection, old.id, "proposal.pdf") == b"%PDF old"
            assert issued_file(connection, new.id, "proposal.pdf") == b"%PDF new"
            assert issued_names(connection, old.id) == ("drawings/x.svg", "proposal.pdf")
            assert [each.revision for each in all_issued(connection, inquiry)] == [2, 1]
            with pytest.raises(KeyError):
                issued_file(connection, old.id, "none")
    words = Path(module.__file__).read_text(encoding="utf-8")
    assert not any(each in words for each in ("delete(", "update(", ".delete", ".update"))


def test_details_of_the_company_are_kept_one_beside_the_other(tmp_path: Path) -> None:
    """The last count; the same again are no change."""
    with a_store(tmp_path) as store, store.writing() as connection:
        assert details(connection) == Details()
        first = keep_details(connection, Details(text="name: A\n"), "me")
        same = keep_details(connection, Details(text="name: A\n"), "me")
        logo = keep_details(connection, Details(text="name: A\n", logo=b"dots", form="png"), "me")

        assert (first.number, same.number, logo.number) == (1, 1, 2)
        assert details(connection) == Details(number=2, text="name: A\n", logo=b"dots", form="png")

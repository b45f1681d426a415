"""The money of an inquiry: its terms, how equipment is written off, where the money comes from; others' figures."""

from dataclasses import replace
from typing import Any

from millhand.intake.form import Group
from millhand.intake.form_claims import CLAIMS
from millhand.intake.form_money import BOOKS, FINANCING, MONEY
from millhand.intake.inquiry_groups import Spot, entries_at, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.model.claims import Claims
from millhand.model.fact import Fact
from millhand.model.money import Books, Financing, Terms

OPEN_IN_BOOKS = ("quarter", "other_money", "other_last_money", "shares")
OPEN_IN_FINANCING = ("payment_per_y", "end_money")
NEAR_ONE = 0.005


def money_of(top: Spot, opened: Opened) -> Terms:
    """All of it; the books only where there is tax to pay."""
    spot = spot_of(MONEY, top, opened)
    found = entries_at(money_form(opened).entries, spot, opened)
    books = books_of(spot, opened, taxed=found["tax"] is not None)
    return Terms(**found, books=books, financing=financing_of(spot, opened))


def money_form(opened: Opened) -> Group:
    """The form of money; while the currency itself is not known, nothing is said about its exchange rate."""
    if opened.manner.currency:
        return MONEY
    open_rate = (replace(entry, gap="none") if entry.key == "exchange_rate" else entry for entry in MONEY.entries)
    return replace(MONEY, entries=tuple(open_rate))


def books_of(above: Spot, opened: Opened, *, taxed: bool) -> Books | None:
    """How equipment is written off; told without a tax, it says what is missing."""
    spot = spot_of(BOOKS, above, opened)
    if not taxed:
        if spot.table is not None:
            opened.bad(spot.where, "money.books", "a tax too, such as tax: 25 %", "books_without_tax")
        return None
    found = entries_at(BOOKS.entries, spot, opened)
    found["shares"] = shares_of(found, spot, opened)
    return Books(**found) if complete(found, OPEN_IN_BOOKS) else None


def shares_of(found: dict[str, Any], spot: Spot, opened: Opened) -> tuple[Fact, ...]:
    """The shares of a table of the shop's own: they add up to all of it."""
    texts = [text for text in found["shares"] if text]
    way = found["way"]
    node = child(spot.table, "shares")
    where = node.where if node is not None else spot.where
    if way is not None and (way.value == "table") != bool(texts):
        write = "way: table with shares: [20 %, 32 %, ...], or neither of the two"
        opened.bad(where, f"way: {way.value}", write, "books_table")
        return ()
    shares = tuple(
        Fact(
            id=f"money.books.shares.{number}", value=float(text.rstrip(" %").replace(",", ".")) / 100.0, unit="1",
            basis="given", source=where, title=f"written off in year {number}",
        )
        for number, text in enumerate(texts, start=1)
    )  # fmt: skip
    total = sum(fact.value for fact in shares)
    if shares and abs(total - 1.0) > NEAR_ONE:
        opened.bad(where, f"shares of {100.0 * total:g} % together", "shares that add up to 100 %", "books_shares")
    return shares


def financing_of(above: Spot, opened: Opened) -> Financing | None:
    """A loan or a lease; None where none is told."""
    spot = spot_of(FINANCING, above, opened)
    if spot.table is None:
        return None
    found = entries_at(FINANCING.entries, spot, opened)
    return Financing(**found) if complete(found, OPEN_IN_FINANCING) else None


def claims_of(top: Spot, opened: Opened) -> Claims | None:
    """What somebody else's calculation says; None where nothing is told."""
    spot = spot_of(CLAIMS, top, opened)
    return None if spot.table is None else Claims(**entries_at(CLAIMS.entries, spot, opened))


def complete(found: dict[str, Any], may_lack: tuple[str, ...]) -> bool:
    """Whether nothing is missing that has to be there."""
    return all(value is not None for name, value in found.items() if name not in may_lack)

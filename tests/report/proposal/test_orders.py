"""What a proposal, the report and the terminal say of fewer orders, in each case that a study may find."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from millhand.model.decision import Orders
from millhand.model.fact import Fact
from millhand.report.html import report_html
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.letter import FORMS, Form
from millhand.report.proposal.orders import cases, orders, turning
from millhand.report.proposal.records import Paragraph, Table
from tests.report.fixture_study import ARM, study
from tests.report.proposal.told_proposal import base, proposed, teller


def told(form: Form, language: str = "en", *, values: Mapping[str, float] | None = None, **changed: str | None) -> str:
    """The paragraph of the fixture, with some fields of its record or some values changed."""
    ground = base(form)
    known = {**ground.facts, **{key: replace(ground.facts[key], value=each) for key, each in (values or {}).items()}}
    record = replace(kept(ground), **changed)  # type: ignore[arg-type]
    decided = replace(ground.study.decision, orders=record)
    ground = replace(ground, study=replace(ground.study, decision=decided), facts=known)
    says = replace(teller(language, form), facts=known)
    items = [each.item for each in orders(ground) if isinstance(each, Paragraph)]
    return " ".join(says.plain(each) for each in items).replace("\u202f", " ")


def kept(ground: Ground) -> Orders:
    """The record of the fixture."""
    assert ground.study.decision.orders is not None
    return ground.study.decision.orders


@pytest.mark.parametrize("form", FORMS)
def test_both_forms_say_what_a_quarter_fewer_brings_and_where_it_turns(form: Form) -> None:
    """Months, whether the hurdle is met, and the number of orders; the long form the hours that are freed then."""
    words = told(form)

    assert "If orders fall by 25 %, to 39 000 parts a year, the money is back after 27 months" in words
    assert "is then missed. The hurdle would be missed below 41 200 parts a year; 52 000 are ordered." in words
    assert ("Work that is freed then: 940 h a year." in words) == (form == "long")


def test_german_says_the_same() -> None:
    """The same figures in German words."""
    assert "Fallen die Aufträge um 25 % auf 39 000 Teile im Jahr, dauert der Rückfluss 27 Monate" in told("short", "de")
    assert "Verfehlt wäre die Hürde unter 41 200 Teilen im Jahr; bestellt sind 52 000." in told("short", "de")


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"payback_months": None}, "the money does not come back within the 8 years counted."),
        ({"hurdle_balance": "decision.orders.npv"}, "is then met."),
        ({"turns_at": None, "change": None}, "The hurdle is met at every number of orders that was looked at"),
    ],
)
def test_each_case_has_its_words(changed: dict[str, str | None], words: str) -> None:
    """Never back, met all the same, met at any number of orders."""
    assert words in told("long", **changed)


@pytest.mark.parametrize(
    ("turns_at", "words"),
    [
        ("decision.orders.turns_at", "The hurdle would be met below 41 200 parts a year; 52 000 are ordered."),
        ("decision.orders.npv", "The hurdle would be met above 118 000 parts a year; 52 000 are ordered."),
        (None, "More or fewer orders alone do not let the hurdle be met; 52 000 are ordered."),
    ],
)
def test_a_way_that_misses_the_hurdle_says_from_where_it_would_meet_it(turns_at: str | None, words: str) -> None:
    """The balance below nought as things are: above or below so many orders, or at none that was looked at."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.case is not None
    balance = ground.subject.case.hurdle_balance
    assert words in told("long", turns_at=turns_at, values={balance: -1.0})


def drawn(known: Mapping[str, float], form: Form = "long", language: str = "en") -> str:
    """The paragraph with more facts: those of the draws."""
    ground = base(form)
    record = kept(ground)
    units = {"payback": "months", "npv": "money"}
    more = {
        name: Fact(
            id=name, value=value, unit=units.get(name.rpartition(".")[2], "1"), basis="computed", source="a test"
        )
        for name, value in known.items()
    }
    assert record.payback_months is not None
    back = replace(ground.facts[record.payback_months], low=20.0, high=61.0, shape="triangular")
    ground = replace(ground, facts={**ground.facts, **more, back.id: back})
    says = replace(teller(language, form), facts=ground.facts)
    items = [each.item for each in orders(ground) if isinstance(each, Paragraph)]
    rows = [cell for each in cases(ground) if isinstance(each, Table) for line in each.rows for cell in line]
    return " ".join(says.plain(each) for each in (*items, *rows)).replace("\u202f", " ")


LESS = {"decision.orders.middle.payback": 42.0, "decision.orders.middle.npv": 110_000.0,
        "decision.orders.hurdle_chance": 0.2}  # fmt: skip
ALL = {f"concepts.{ARM}.case.middle.payback": 33.0, f"concepts.{ARM}.case.middle.npv": 150_000.0}


def test_the_middle_with_fewer_orders_stands_beside_that_at_all_orders() -> None:
    """Drawn: rows with months, their range, the chance in words and the worth, for all orders and for fewer."""
    for form in FORMS:
        rows = drawn({**LESS, **ALL}, form)
        assert "39 000 a year 27 months 42 months 20 to 61 about 1 in 5 110 000 USD" in rows
        assert "33 months" in rows.partition("fewer are ordered")[0]
        assert "150 000 USD" in rows.partition("fewer are ordered")[0]
    assert "39 000 im Jahr 27 Monate 42 Monate 20 bis 61 etwa 1 von 5" in drawn({**LESS, **ALL}, "short", "de")


def test_where_no_middle_is_known_none_is_compared() -> None:
    """Never back in half of the draws is said in words."""
    never = {"decision.orders.hurdle_chance": 0.1}

    assert "39 000 a year 27 months not in 8 years 20 to 61 about 1 in 10 –" in drawn(never)


ALONE = {
    f"concepts.{ARM}.case.without_alone.{name}": value
    for name, value in (("middle.payback", 75.0), ("middle.npv", -21_000.0), ("hurdle_chance", 0.3))
}


def test_the_case_with_no_hour_alone_is_a_row_beside_that_with_fewer_orders() -> None:
    """Where hours alone are counted and were drawn without; nothing of it, and no table, where none of both was."""
    words = drawn({**LESS, **ALL, **ALONE})

    assert "all is ordered, hours alone are run" in words
    assert "no hour alone is run not in 8 years 75 months – about 1 in 3 −21 000 USD" in words
    late = {**ALONE, f"concepts.{ARM}.case.without_alone.middle.payback": 121.0}
    assert "no hour alone is run not in 8 years not in 8 years – about 1 in 3" in drawn({**LESS, **ALL, **late})
    assert "hours alone" not in drawn({**LESS, **ALL})
    assert list(cases(base("long"))) == []
    assert "no hour alone" in drawn({**LESS, **ALL, **ALONE}, "short")


def test_two_pages_say_once_at_which_orders_it_turns() -> None:
    """In the table of what turns the answer; by itself where that table does not name orders."""
    ground = base("short")
    told_alone = [teller("en", "short").plain(each.item) for each in turning(ground) if isinstance(each, Paragraph)]

    assert [each.replace("\u202f", " ") for each in told_alone] == [
        "The hurdle would be missed below 41 200 parts a year; 52 000 are ordered."
    ]


def test_of_another_concept_nothing_is_said() -> None:
    """The record belongs to the concept that the paper is about, or stays silent."""
    assert told("long", concept="by_hand-second_vise") == ""


def test_the_report_says_it_beside_what_would_change_the_answer() -> None:
    """A heading of its own with the sentences of the study."""
    page = report_html(study())

    assert "When fewer or more are ordered" in page
    assert "fewer orders the money is back after" in page


def test_a_study_without_it_shows_no_heading() -> None:
    """An older file has none."""
    done = proposed()
    assert "When fewer or more" not in report_html(replace(done, decision=replace(done.decision, orders=None)))

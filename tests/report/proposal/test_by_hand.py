"""The paper of a change by hand and the one that proposes nothing: their own sections, with the study's figures."""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.report.proposal.alone import nobody_alone
from millhand.report.proposal.build import told
from millhand.report.proposal.by_hand import duty_rows
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.hand_risks import RULES, remaining
from millhand.report.proposal.introduced import by_year, hours, standby, training
from millhand.report.proposal.letter import Form
from millhand.report.proposal.money import measures
from millhand.report.proposal.records import Say
from millhand.report.proposal.risks import rules
from millhand.report.proposal.short import payback_figure
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import tongue
from tests.report.fixture_study import ARM, VISE, study
from tests.report.proposal.told_proposal import letter, proposed
from tests.stages.brought_in import brought, changed, result, sheet_of


def advising(change: str) -> Study:
    """The fixture study, which advises this change by hand."""
    advised, sheet = changed(change), sheet_of()
    made = brought(advised, sheet)
    others = tuple(each for each in study().results if each.concept.id not in (ARM, VISE))
    return replace(
        study(), facts=sheet.facts, results=(*others, advised),
        decision=replace(
            study().decision, answer="by_hand", winner=VISE, second=None, introduction=made,
            ranking=tuple(each for each in study().decision.ranking if each.concept != ARM),
        ),
    )  # fmt: skip


@cache
def sections(change: str, language: str = "en", form: Form = "long") -> dict[str, str]:
    """Each section of its paper as one text, by its heading."""
    return texts(advising(change), language, form)


def texts(done: Study, language: str = "en", form: Form = "long") -> dict[str, str]:
    """The same of any study."""
    made = told(done, letter(language, form), text="a study")
    return {each["title"]: " ".join(words(each["blocks"])).replace("\u202f", " ") for each in made["sections"]}


def words(data: Any) -> Iterator[str]:
    """All text that the template is given."""
    if isinstance(data, dict):
        if data.get("kind") != "picture":
            yield from (each for key, value in data.items() for each in words(value) if key not in ("kind", "align"))
    elif isinstance(data, list):
        if data and all(isinstance(each, dict) and "text" in each for each in data):
            yield "".join(each["text"] for each in data)
        else:
            yield from (each for value in data for each in words(value))
    elif isinstance(data, str):
        yield data


def plain(base: Ground, *items: object, language: str = "en") -> str:
    """Items as text."""
    teller = Teller(tongue=tongue(language), facts=base.facts, currency="USD", pictures={})
    return " ".join(teller.plain(each) for each in items).replace("\u202f", " ")  # type: ignore[arg-type]


TOLD = {
    "How it comes into your shop": ("9 weeks 4 to 18 weeks", "1 day 0.5 to 3 days", "24 h 12 to 60 h",
                                    "the business case counts it"),
    "The people at the changed work": ("with 8 kg of parts in a full box", "the lifting equation gives",
                                       "shown the changed work for 2 h (1 to 6 h)",
                                       "Who measures", "is out of order, the machines are tended as today"),
    "Risks that remain, who owns them, and the answer": ("May parts fall and touch each other", "A jam: somebody"),
    "What moves, and how people are kept from it": ("draws fingers, sleeves and hair in", "for slots of 20 mm",
                                                    "ISO 13857:2019 120 mm",
                                                    "ISO 13854:2017 100 mm", "licensed or authorised"),
    "What it has to show before it is taken over": ("100 parts in a row within", "16 in a row at which nobody",
                                                    "with 80 % confidence, one-sided, that no more than 10 %"),
    "Who does what": ("guards and stops of what moves", "risk assessment of the changed workplace", "declaration"),
    "Terms": ("carries the warranty of its supplier",),
}  # fmt: skip


@pytest.mark.parametrize("title", TOLD)
def test_a_change_by_hand_has_its_own_sections(title: str) -> None:
    """When it runs, what people do, what moves, what remains, what it has to show, who does what."""
    assert [each for each in TOLD[title] if each not in sections("drop_and_boxes")[title]] == []


def test_it_carries_the_same_figures_in_german() -> None:
    """Told from the same records."""
    german = sections("drop_and_boxes", "de")

    assert "9 Wochen 4 bis 18 Wochen" in german["Wie es in Ihren Betrieb kommt"]
    assert "zieht Finger, Ärmel und Haare ein" in german["Was sich bewegt, und was Menschen davon fernhält"]
    assert len(german) == len(sections("drop_and_boxes"))


def test_the_short_paper_says_when_it_comes() -> None:
    """Delivery, standing machines and own work stand on the two pages as well."""
    assert "9 weeks" in sections("drop_and_boxes", form="short")["How it comes into your shop"]


def test_where_nothing_moves_no_distance_and_no_filling_is_told() -> None:
    """Another order of work is not delivered either, and its own work is in its price."""
    made = sections("staggered_breaks")

    assert "Nothing that moves by power" in made["What moves, and how people are kept from it"]
    assert "ISO" not in made["What moves, and how people are kept from it"]
    assert "confidence" not in made["What it has to show before it is taken over"]
    assert "weeks" not in made["How it comes into your shop"]
    assert "is in the price" in made["How it comes into your shop"]
    assert "brought and fitted" not in made["How it comes into your shop"]
    assert "supplier" not in made["The people at the changed work"]
    assert "declaration" not in made["Who does what"]


def test_the_answer_does_not_say_by_hand_twice() -> None:
    """The sentence has it, and the title of the change begins with it."""
    assert sections("powered_door")["In short"].startswith(
        f"For {study().inquiry.name} we propose a change to the work by hand before any robot: a powered door."
    )


def test_boxes_above_what_lifting_allows_are_said_to_be_too_heavy() -> None:
    """At a limit below the box the sentence turns."""
    done = advising("drop_and_boxes")
    heavy = replace(done.facts["introduction.box_limit"], value=5.0)
    made = texts(replace(done, facts={**done.facts, heavy.id: heavy}))["The people at the changed work"]

    assert "gives no more than 5 kg" in made
    assert "without lifting" in made


def test_a_cell_has_none_of_it() -> None:
    """Its own sections say it; and a cell that is not advised has no word on training and loading by hand."""
    base = ground(proposed(), long=True)

    assert remaining(base) is None
    assert list(training(base)) == list(hours(base)) == list(standby(base)) == []


def advised_cell() -> Ground:
    """The fixture's cell with its introduction."""
    sheet = sheet_of()
    made = brought(result(ARM), sheet)
    care = Fact(id="care.tools", value=0.25, unit="h", basis="given", source="a test")
    kept = replace(made, care=(replace(brought(timed_people(), sheet_of()).care[0], kind="tools", hours=care.id),))
    done = replace(study(), facts={**sheet.facts, care.id: care},
                   decision=replace(study().decision, introduction=kept))  # fmt: skip
    return ground(done, long=True)


def timed_people() -> Result:
    """The fixture's cell with the people's time of today."""
    cell, today = result(ARM), result("today")
    assert cell.performance is not None
    assert today.performance is not None
    return replace(cell, performance=replace(cell.performance, people=today.performance.people))


def test_the_hours_of_a_year_stand_by_kind_and_add_up() -> None:
    """Refills, work on the parts and changeovers come to all hours that are counted; else there is no such table."""
    base, top = advised_cell(), f"concepts.{ARM}.performance"
    assert base.subject is not None
    assert base.subject.performance is not None
    whole = base.value(base.subject.performance.operator_h_per_y)
    told = {
        "introduction.year.refill_h": whole - 300.0, "introduction.year.parts_h": 162.0,
        f"{top}.changeovers_h": 138.0, f"{top}.tended_parts_per_y": 60_000.0,
    }  # fmt: skip
    known = {
        name: Fact(id=name, value=value, unit="h/y", basis="given", source="a test") for name, value in told.items()
    }
    (table,) = by_year(replace(base, facts={**base.facts, **known}))
    rows = [plain(replace(base, facts={**base.facts, **known}), *row) for row in table.rows]

    assert [row.rpartition(" ")[2] for row in rows[1:3]] == ["162", "138"]
    assert rows[-1].startswith("all of it")
    less = {**known, f"{top}.changeovers_h": replace(known[f"{top}.changeovers_h"], value=10.0)}
    assert list(by_year(replace(base, facts={**base.facts, **less}))) == []


def test_a_cell_says_who_is_trained_how_long_and_how_it_is_loaded_by_hand() -> None:
    """Hours of training, minutes to change over, today's output, the guard, and who decides."""
    base = advised_cell()
    taught, by_hand = plain(base, *training(base)), plain(base, *standby(base))

    assert "8 h (4 to 16 h) at the cell" in taught
    assert "32 h (16 to 60 h)" in taught
    assert "worn tools 15 min" in plain(base, *hours(base))
    assert "15 min (5 to 45 min)" in by_hand
    assert "at most 128 good parts a shift" in by_hand
    assert "the gate is open and the arm locked off" in by_hand
    assert "Whoever leads the shift decides" in by_hand


def test_a_shop_that_wants_no_hours_alone_is_told_so() -> None:
    """Of a cell what ends a stretch besides; by hand what fills up; where wished, that it fails."""
    base = ground(advising("drop_and_boxes"), long=True)
    unwished = replace(base.study.inquiry.wishes.unattended_s, value=0.0)
    wishes = replace(base.study.inquiry.wishes, unattended_s=unwished)
    none = replace(base, study=replace(base.study, inquiry=replace(base.study.inquiry, wishes=wishes)))

    assert [each.key for each in nobody_alone(base) if isinstance(each, Say)] == ["alone.not_met", "alone.boxes"]
    assert [each.key for each in nobody_alone(none) if isinstance(each, Say)] == ["alone.not_wished", "alone.boxes"]
    assert list(nobody_alone(ground(study(), long=True))) == []


def declined(*, turns: bool) -> dict[str, str]:
    """The paper that proposes nothing; a figure turns the answer alone, or none does."""
    facts = dict(study().facts)
    if turns:
        name = f"decision.meets_hurdle.{ARM}.people.wage.turns_at"
        facts[name] = Fact(id=name, value=55.0, unit="money/h", basis="computed", source="a test",
                           inputs=(("", "people.wage"),))  # fmt: skip
    return texts(
        replace(study(), facts=facts, decision=replace(study().decision, answer="no", winner="today", second=ARM))
    )


def test_where_nothing_is_proposed_the_paper_says_what_does_not_arise() -> None:
    """Delivery, training, guarding, acceptance; and what would have to change, alone or together."""
    title = "What does not arise, and what would have to change"
    none, one = declined(turns=False)[title], declined(turns=True)[title]

    assert "nothing is taken over, so nothing has to be shown" in none
    assert "no single figure that was looked at is enough" in none
    assert "each of these figures alone" in one
    assert "55 USD" in one
    assert title not in sections("drop_and_boxes")


def test_where_nothing_is_proposed_nobody_orders_pays_or_is_named() -> None:
    """No day until which a price holds, no terms of the company, nothing ordered first, nobody named before it."""
    done = replace(study(), decision=replace(study().decision, answer="no", winner="today", second=ARM))
    made = told(done, letter("en", "long"), text="a study")
    text = " ".join(words(made["sections"]))

    assert "valid until" not in str(made["head"])
    assert "valid until" in str(told(proposed(), letter("en", "long"), text="a study")["head"])
    assert "Nothing is offered" in declined(turns=False)["Terms"]
    for each in ("$x^2$ months", "Ordered on the first day", "named before the order",
                 "trained before hand-over, and so", "To be confirmed point by point"):  # fmt: skip
        assert each not in text


@pytest.mark.parametrize(("language", "told_so"), [("en", "not in 8 years"), ("de", "auf 8 Jahre nicht")])
def test_money_that_does_not_come_back_says_within_how_many_years(language: str, told_so: str) -> None:
    """On the first page and in the case, the same horizon."""
    base = ground(study(), long=True)
    assert base.subject is not None
    assert base.subject.case is not None
    horizon = base.study.inquiry.money.horizon_y.id
    base = replace(
        base, facts={**base.facts, horizon: replace(base.facts[horizon], value=8.0)},
        subject=replace(base.subject, case=replace(base.subject.case, payback_months=None)),
    )  # fmt: skip
    first = payback_figure(base, None)
    row = next(item for name, item, _ in measures(base) if name == "payback")

    assert plain(base, first.figure, language=language) == told_so
    assert re.findall(r"8 \w+", told_so)[0] in plain(base, row, language=language)


def test_rows_of_duties_and_risks_have_their_words() -> None:
    """A letter for each act, and a text for each thing, risk and answer, in both languages."""
    lengths = {len(letters) for rows in duty_rows().values() for letters in rows.values()}
    wanted = {f"doing.{thing}" for rows in duty_rows().values() for thing in rows}
    wanted |= {f"remain.{each.id}{end}" for each in rules(RULES) for end in ("", "_answer")}

    assert lengths == {6}
    assert not [key for language in ("en", "de") for key in sorted(wanted) if key not in tongue(language).texts]


def test_what_stays_open_of_a_change_has_its_owner_and_what_holds_until_then() -> None:
    """A device that moves: mass with its range, levels, stops, running cost, the next job; each with who answers."""
    told_of = sections("drop_and_boxes")
    opened = told_of["What stays open about the change"]

    assert "as assumed for such a change 250 kg 80 to 800 kg" in told_of["How it comes into your shop"]
    for said in ("Which safety functions does it have", "Which emergency stops stop it", "no running cost",
                 "it serves the parts of this job alone", "the shop names the parts"):  # fmt: skip
        assert said in opened
    assert "competent persons decide" in opened


def test_an_arrangement_leaves_only_the_next_parts_open() -> None:
    """Nothing is delivered and nothing moves, so that nothing is asked about mass, stops or upkeep."""
    opened = sections("relief_in_breaks")["What stays open about the change"]

    assert "Which of the next parts does the change serve" in opened
    assert "emergency stops" not in opened
    assert "weigh" not in opened

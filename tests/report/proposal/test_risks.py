"""Risks with their owners: checks that hold with little room are named with what is left of their limits."""

from dataclasses import replace
from importlib.resources import files

import pytest

from millhand.model.fact import Fact
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Say, Table
from millhand.report.proposal.risks import met, risks, rules, tried
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import tongue
from tests.report.proposal.told_proposal import base


def told(ground: Ground, language: str) -> str:
    """The rows as plain text."""
    section = risks(ground)
    assert section is not None
    says = Teller(tongue=tongue(language), facts=ground.facts, currency="USD", pictures={})
    tables = (block for block in section.blocks if isinstance(block, Table))
    return "\n".join(says.plain(cell) for table in tables for row in table.rows for cell in row).replace("\u202f", " ")


@pytest.mark.parametrize(
    ("language", "words"),
    [("en", "little room: Reach of the arm (1.1 % left: "),
     ("de", "halten: Reichweite des Roboters (1,1 % frei: ")],
)  # fmt: skip
def test_checks_with_little_room_are_named_with_it(language: str, words: str) -> None:
    """The least first; all of a count that is there is no little room, nor is a tenth and more."""
    ground = base("long")
    assert ground.subject is not None
    payload, reach, separation = ground.subject.verdicts
    two = Fact(id="two", value=2.0, unit="1", basis="given", source="a test")
    none = replace(two, id="none", value=0.0)
    counted = replace(separation, check="interface", demand=two.id, limit=two.id, margin=none.id)
    seen = replace(ground.subject, verdicts=(payload, reach, separation, counted))
    moved = {payload.margin: 0.08, reach.margin: 0.0113}
    facts = {name: replace(ground.facts[name], value=value, low=None, high=None) for name, value in moved.items()}
    near = replace(ground, subject=seen, facts={**ground.facts, **facts, two.id: two, none.id: none})
    roomy = replace(near, facts={**near.facts, **{name: ground.facts[name] for name in moved}})

    assert words in told(near, language)
    assert ("little room" in told(roomy, "en"), "knapp" in told(roomy, "de")) == (False, False)


@pytest.mark.parametrize(
    ("language", "who"),
    [("en", "one in each shift, and one more who stands in for any of them"),
     ("de", "in jeder Schicht einer, und einer mehr, der jeden von ihnen vertritt")],
)  # fmt: skip
def test_who_looks_after_the_cell_is_one_statement_wherever_it_is_said(language: str, who: str) -> None:
    """In what people do, at their training, and against one person who alone knows the cell."""
    texts = tongue(language).texts
    said = [texts[key] for key in ("people.duties", "intro.training_attends", "risk.one_person_answer")]

    assert [who.lower() in each.lower() for each in said] == [True, True, True]


@pytest.mark.parametrize(
    ("language", "brigade", "data"),
    [("en", "fire brigade", ("safety.toml", "assumptions.csv")), ("de", "Feuerwehr", ())],
)
def test_who_agrees_to_hours_alone_is_one_list(language: str, brigade: str, data: tuple[str, ...]) -> None:
    """Every text takes it from one place, and questions that are kept as data name the same."""
    texts = tongue(language).texts
    agreed = texts["list.agree_alone"]
    taking = {key for key, text in texts.items() if "{agree_alone}" in text}
    kept = [(files("millhand.catalogue.data") / name).read_text(encoding="utf-8") for name in data]
    lines = [line for text in kept for line in text.splitlines() if brigade in line]

    assert [key for key, text in texts.items() if brigade in text] == ["list.agree_alone"]
    assert taking == {
        "answer.without_alone", "answer.without_alone_never", "caution.alone", "excluded.who_fire",
        "nights.longer_over", "risk.fire_answer", "run_alone.caution",
    }  # fmt: skip
    assert all(agreed in line for line in lines)
    assert len(lines) == len(data)


def test_what_a_risk_promises_to_try_is_a_row_of_the_acceptance_tests() -> None:
    """Each risk with a test says acceptance in its answer, and has its row where it says; no other promises one."""
    texts = tongue("en").texts
    kinds = {each.id: each.test for each in rules() if each.test}
    promised = {each.id: texts[f"risk.{each.id}_answer"] for each in rules() if "acceptance" in
                texts[f"risk.{each.id}_answer"] and each.id != "raw_parts"}  # fmt: skip
    rows = list(tried(base("long")))

    assert promised.keys() == kinds.keys()
    assert all((" on site" if kinds[name] == "site" else " before shipping") in text for name, text in promised.items())
    assert {f"accept.risk_{name}{end}" for name in kinds for end in ("", "_goal")} <= texts.keys()
    yes, no = Say(key="accept.yes"), Say(key="page.none")
    places = {"before": (yes, no), "site": (no, yes)}
    assert len(rows) > 1
    assert rows == [
        (Say(key=f"accept.risk_{each.id}"), *places[each.test], Say(key=f"accept.risk_{each.id}_goal"))
        for each in met(base("long"))
        if each.test
    ]

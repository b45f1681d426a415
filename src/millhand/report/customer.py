"""The customer's copy of a study: one record without what is internal, from which every file is then written."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeVar

from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result, Study
from millhand.model.walk import with_facts
from millhand.report.study_json import all_choices, all_facts

Kind = TypeVar("Kind", Fact, Choice)
LEFT_OUT = "left out by hand"  # whose wish it is, and why, is internal
PAST = "money.past."  # figures of past jobs


def for_customer(study: Study) -> Study:
    """Without cost, margin, what past jobs say, and the notes of whoever wrote the inquiry.

    A figure that only those rest on (the share of the margin, each past job) is left out with them, and so is what
    would follow from them. Prices, lines and everything else stay as they are.
    """
    facts, choices = all_facts(study), all_choices(study)
    hidden = internal(facts, set(_seeds(study)))
    away = {each.name for each in study.inquiry.concepts if not each.is_kept}  # a kept one falls by a rule's own words
    plain = {key: _plain(fact) for key, fact in facts.items()}
    words = {key: _plain(choice) for key, choice in choices.items()}
    new: Mapping[str, Fact | Choice] = {**plain, **words}
    return replace(
        study,
        inquiry=with_facts(_without_reasons(study.inquiry), new),
        dropped=tuple(replace(each, words=LEFT_OUT) if each.wish in away else each for each in study.dropped),
        facts={key: plain[key] for key in study.facts if key not in hidden},
        choices={key: words[key] for key in study.choices},
        results=tuple(_result(each, new) for each in study.results),
        copy="customer",
    )


def internal(facts: Mapping[str, Fact], seeds: set[str]) -> frozenset[str]:
    """The seeds, all that follows from them, and all that nothing but these rests on."""
    hidden = set(seeds)
    for fact in facts.values():  # each fact stands behind its inputs
        if any(source in hidden for _, source in fact.inputs):
            hidden.add(fact.id)
    users: dict[str, set[str]] = {}
    for fact in facts.values():
        for _, source in fact.inputs:
            users.setdefault(source, set()).add(fact.id)
    for fact in reversed(tuple(facts.values())):
        if users.get(fact.id, set()) and users[fact.id] <= hidden:
            hidden.add(fact.id)
    return frozenset(hidden)


def _seeds(study: Study) -> Iterator[str]:
    """Cost and margin of every estimate, and what was found of past jobs. Whoever builds for himself has no margin, and
    his cost is the price itself."""
    for result in study.results:
        estimate = result.estimate
        if estimate is not None:
            yield from {estimate.cost, estimate.margin} - {"", estimate.installed}
    yield from (name for name in study.facts if name.startswith(PAST))


def _without_reasons(inquiry: Inquiry) -> Inquiry:
    """The same without who wishes for a concept, and why."""
    return replace(inquiry, concepts=tuple(replace(each, by="", reason="") for each in inquiry.concepts))


def _plain(fact: Kind) -> Kind:
    """The same without its note."""
    return replace(fact, note=None)


def _result(result: Result, new: Mapping[str, Fact | Choice]) -> Result:
    """One result without what is internal."""
    estimate = result.estimate
    if estimate is not None:
        lines = tuple(line for line in estimate.lines if not line.internal)
        estimate = with_facts(replace(estimate, cost="", margin="", past="", lines=lines), new)
    return replace(result, concept=with_facts(result.concept, new), estimate=estimate)

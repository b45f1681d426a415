"""What must hold in every study, whatever was asked: figures that are figures, and none that physics forbids."""

import io
import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest.mock import patch

import jsonschema
from rich.console import Console

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.model.study import Result, Study
from millhand.report.html import report_html
from millhand.report.study_json import all_facts, study_as_json
from millhand.report.study_schema import study_schema
from millhand.report.terminal import show, study_parts
from millhand.report.terminal_today import today_parts
from millhand.study import study
from tests.few_draws import FEW_DRAWS
from tests.house.test_report_digits import digits_of, unresolved
from tests.stages.short_road import catalogue

YEAR_H = 366.0 * 24.0
TOLERANCE, SLACK = 1.0 + 1e-9, 1.02  # counts of one week's simulation scatter
FROM_ZERO = (
    "bound_per_h", "cycle_per_h", "attended_per_h", "unattended_per_h", "parts_per_shift", "attended_h_per_y",
    "unattended_h_per_y", "autonomy_s", "parts_per_y", "operator_h_per_y", "parts_alone",
)  # fmt: skip
PAYBACKS = ("payback_months", "payback_from_order_months", "discounted_payback_months", "naive_payback_months")


def asked(text: str) -> Inquiry:
    """The inquiry of a text."""
    return inquiry_of(tree_of(text.encode("utf-8"), "inquiry.yaml"), Path(), assumptions())


def studied(text: str, *, simulated: bool = False) -> Study:
    """The study of an inquiry's text, every concept at its load bound where it is not to be simulated."""
    inquiry = asked(text)
    if simulated:
        return study(inquiry, catalogue(), asked=FEW_DRAWS)
    with patch("millhand.study.simulated", return_value={}):
        return study(inquiry, catalogue(), asked=FEW_DRAWS)


def wrongs(found: Study) -> list[str]:
    """Everything that cannot be in a study's records."""
    facts = all_facts(found)
    words = [each for fact in facts.values() for each in wrong_fact(fact)]
    words += [each for result in found.results for each in wrong_result(result, found, facts)]
    if [each.concept.kind for each in found.results].count("today") != 1:
        words.append("today is not there once")
    if found.decision.winner not in {each.concept.id for each in found.results}:
        words.append(f"the winner {found.decision.winner} is no concept")
    return words


def wrong_fact(fact: Fact) -> Iterator[str]:
    """A number without a value, or whose range does not enclose anything."""
    ends = [end for end in (fact.low, fact.high) if end is not None]
    if not all(map(math.isfinite, (fact.value, *ends))):
        yield f"{fact.id} = {fact.value} ({fact.low} to {fact.high})"
    if len(ends) == 2 and ends[0] > ends[1]:
        yield f"{fact.id}: P10 {ends[0]} above P90 {ends[1]}"


def wrong_result(result: Result, whole: Study, facts: dict[str, Fact]) -> Iterator[str]:
    """Output, people and money of one concept."""
    own = result.performance
    if own is not None:
        yield from wrong_output(own, facts)
        most = machine_limit_per_h(whole) / cutting_factor(result, facts)
        for name in ("attended_per_h", "bound_per_h"):
            fact_id = getattr(own, name)
            if fact_id and facts[fact_id].value > most * SLACK:
                yield f"{fact_id}: {facts[fact_id].value} an hour, and the machines make {most}"
        alone_h = whole.inquiry.wishes.unattended_s.value / 3600.0
        if own.parts_alone and facts[own.parts_alone].value > most * alone_h * SLACK:
            yield f"{own.parts_alone}: {facts[own.parts_alone].value} in {alone_h} h, machines make {most} an hour"
    if result.estimate is not None:
        lines = [facts[line.amount.id] for line in result.estimate.lines]
        yield from (f"{each.id} = {each.value}: a price below nothing" for each in lines if each.value < 0.0)
    case = result.case
    if case is not None:
        for name in PAYBACKS:
            fact_id = getattr(case, name)
            if fact_id and facts[fact_id].value < 0.0:
                yield f"{fact_id} = {facts[fact_id].value}: a payback below nothing"
            if fact_id is None and name not in case.reasons:
                yield f"{result.concept.id}: no {name}, and no reason"
        if case.hurdle_chance and not 0.0 <= facts[case.hurdle_chance].value <= 1.0:
            yield f"{case.hurdle_chance} = {facts[case.hurdle_chance].value}: no chance"


def cutting_factor(result: Result, facts: dict[str, Fact]) -> float:
    """What a change by hand makes of the machining time of a part; 1 for every other way."""
    factor = facts.get(f"catalogue.{result.concept.change}.process")
    return factor.value if factor is not None else 1.0


def wrong_output(own: Performance, facts: dict[str, Fact]) -> Iterator[str]:
    """Output and hours below nothing, or more hours than a year has."""
    for name in FROM_ZERO:
        fact_id = getattr(own, name)
        if fact_id and facts[fact_id].value < 0.0:
            yield f"{fact_id} = {facts[fact_id].value}: below nothing"
    hours = facts[own.attended_h_per_y].value + facts[own.unattended_h_per_y].value
    if hours > YEAR_H * TOLERANCE:
        yield f"{own.concept}: {hours} h a year"


def machine_limit_per_h(whole: Study) -> float:
    """Parts an hour that the narrowest machine group can make of its quickest part, with no exchange at all."""
    limits = []
    for machine in whole.inquiry.machines:
        loads = [
            (op.time_s.value if op.time_s.low is None else op.time_s.low) / op.parts_per_cycle.value
            for part in whole.inquiry.parts
            for op in part.operations
            if op.machine == machine.name
        ]
        skipped = any(machine.name not in {op.machine for op in part.operations} for part in whole.inquiry.parts)
        limits += [machine.count.value * 3600.0 / min(loads)] if loads and not skipped else []
    return min(limits)


def wrong_faces(whole: Study) -> list[str]:
    """What is wrong with the study's JSON, page and terminal."""
    text = study_as_json(whole)
    written = json.loads(text)
    schema = jsonschema.Draft202012Validator(study_schema())
    found = [f"schema: {error.json_path} {error.message[:200]}" for error in schema.iter_errors(written)]
    found += [f"JSON holds {word}" for word in ("NaN", "Infinity") if word in text]
    found += wrong_page(report_html(whole, text=text), written)
    for parts in (study_parts, today_parts):
        screen = io.StringIO()
        show(parts(whole), Console(file=screen, width=80, highlight=False))
        shown = screen.getvalue()
        found += [f"terminal: {word}" for word in ("nan", " inf", "None") if word in shown.split()]
    return found


def wrong_page(html: str, written: dict[str, Any]) -> list[str]:
    """Digits of the page that lead nowhere."""
    shown = digits_of(html)
    hashes = {result["cell"]["hash"] for result in written["results"] if result["cell"]}
    hashes |= {each["cell"]["hash"] for each in (written["tending"] or {"cells": ()})["cells"]}
    hashes |= {each["cell"]["hash"] for each in (written["safeguarding"] or {"simulated": ()})["simulated"]}
    ids = {name for each in shown if each.mark == "data-fact" for name in each.value.split()}
    found = [f"page, line {each.line}: {each.text[:60]}" for each in shown if each.mark is None]
    found += sorted({words for name in ids for words in unresolved(name, written["facts"], hashes)})
    return found + [f"page shows {word}" for word in (">nan<", ">inf<", ">None<") if word in html]

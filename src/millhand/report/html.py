"""report.html: one file that opens anywhere, offline; every figure in it leads to its fact in the appendix."""

import base64
import hashlib
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from millhand.formulas import REGISTER
from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.report import (
    by_hand,
    cash,
    cycle,
    half,
    missed,
    part_mix,
    people_words,
    placed,
    safeguarding,
    safety,
    servicing,
    tending_words,
    two_ways,
)
from millhand.report.activity import WORDS, chart_of
from millhand.report.activity_picture import activity_picture
from millhand.report.activity_svg import PATTERNS, swatch
from millhand.report.between_visits import caution, lines
from millhand.report.citations import cited, listed_sources
from millhand.report.comparison import (
    ANSWERS,
    IN_SIGHT,
    broken_today,
    doubt_words,
    fallen,
    in_sight,
    killers,
    living,
    load_sums,
    looked_at,
    loss_key,
    loss_words,
    meanwhile,
    measure,
    moving,
    opening,
    result_of,
    spoken,
    subject,
    title,
    today_figures,
    today_of,
    usual_ends,
)
from millhand.report.drawing_svg import legend_swatch, patterns
from millhand.report.in_price import in_price
from millhand.report.in_turn import rows as rows_in_turn
from millhand.report.marks import (
    Marks,
    anchor,
    given_words,
    marks_of,
    meta_words,
    name_words,
    near_name,
    place,
    source_words,
)
from millhand.report.measured import FENCES, FIT_RULE, measured_rows
from millhand.report.origins import assumptions, behind, cautions, cell_origins, formulas_used, groups
from millhand.report.pictures import cash_picture, driver_picture, worth_picture
from millhand.report.rates import above_bound, above_cycle, rate_picture, rates
from millhand.report.shared_people import CAUTION as SHARED_CAUTION
from millhand.report.shared_people import shared_words
from millhand.report.study_json import study_as_json
from millhand.report.sureness import outlook_rows
from millhand.report.told_in import told_in
from millhand.report.tradeoff import funnel_rows, trade_picture, traded_rows
from millhand.report.view import listed, listed_span

ALONE_CAUTION = REGISTER["expected_unattended_parts"].caution
MARKED = re.compile(r'data-fact="([^"]*)"')


@cache
def environment() -> Environment:
    """The templates of this package: everything escaped, an unknown name is an error."""
    made = Environment(
        loader=PackageLoader("millhand.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters |= {
        "spoken": spoken,
        "title_of": title,
        "measure": measure,
        "opening": opening,
        "told_as": told_as,
    }
    made.globals |= {
        "source": source_words, "meta": meta_words, "given": given_words, "called": name_words, "anchor": anchor,
        "meanwhile": meanwhile, "loss_words": loss_words, "loss_key": loss_key, "place": place,
        "usual_ends": usual_ends, "swatch": swatch, "patterns": PATTERNS, "register": REGISTER, "doing_words": WORDS,
        "people_words": people_words, "servicing": servicing, "by_hand": by_hand, "load_sums": load_sums,
        "tending_words": tending_words, "cycle": cycle, "miss": missed, "placed": placed, "look": legend_swatch,
        "fillings": patterns, "near_name": near_name, "safeguarding": safeguarding,
        "safety": safety,
        "listed": listed, "listed_span": listed_span, "mixed": part_mix, "two_ways": two_ways,
    }  # fmt: skip
    return made


def told_as(words: str, marks: Marks) -> Markup:
    """The study's own words in the language of the page, for each of a list."""
    return marks.words(words)


def report_html(study: Study, *, text: str = "", language: str = "en") -> str:
    """The whole page; the same study gives the same bytes. `text`: its study.json, where that is at hand already."""
    marks = marks_of(study, told_in(study, language))
    known = {"study": study, "inquiry": study.inquiry, "m": marks} | head(study, text or study_as_json(study))
    main = rendered("body.html.j2", known | body(study, marks))
    shown = {name for ids in MARKED.findall(main) for name in ids.split()}
    shown |= {machine.count.id for machine in study.inquiry.machines}  # in the head of the page
    facts = appendix(rest_on(study, marks.facts, shown), marks)
    known |= {"style": style(), "script": script(), "script_hash": script_hash()}
    known |= {"main": Markup(in_reach(str(main))), "appendix": Markup(in_reach(str(facts)))}
    return rendered("report.html.j2", known)


def in_reach(page: str) -> str:
    """A page whose wide tables are moved sideways by the keyboard too."""
    return page.replace('<div class="table', '<div tabindex="0" class="table')


def rendered(name: str, known: dict[str, Any]) -> Markup:
    """One template filled in; what it gives is escaped already. Sources are told as its marks tell them."""
    if isinstance(marks := known.get("m"), Marks):
        known = {"source": marks.source} | known
    return Markup(environment().get_template(name).render(known))


def rest_on(study: Study, facts: Mapping[str, Fact], shown: set[str]) -> dict[str, Fact]:
    """The shown facts and all that those of today and of the answer rest on, in the order of the study's map."""
    near = {"today", study.decision.winner, *(each.concept.id for each in (subject(study),) if each)}
    others = {f"concepts.{result.concept.id}." for result in study.results if result.concept.id not in near}
    if study.safeguarding is not None:
        others |= {f"concepts.{each.name}." for each in study.safeguarding.simulated}
    deep = {name for name in shown if not name.startswith(tuple(others))}
    reached = shown | behind(facts, deep, cell_origins(study))
    reached |= {facts[name].instead_of or name for name in reached}
    return {name: fact for name, fact in facts.items() if name in reached}


@cache
def script() -> Markup:
    """The script that reads out the charts, which stands inside the page; without it the page lacks nothing else."""
    return Markup((files("millhand.report") / "templates" / "charts.js").read_text(encoding="utf-8"))


def script_hash() -> str:
    """By which the page's own policy lets this one script run, and no other."""
    return base64.b64encode(hashlib.sha256(script().encode("utf-8")).digest()).decode("ascii")


def style() -> Markup:
    """The style sheet, which stands inside the page."""
    return rendered("style.css", {})


def head(study: Study, text: str) -> dict[str, Any]:
    """What identifies the study, and its answer."""
    return {
        "answer": ANSWERS[study.decision.answer],
        "hash": hashlib.sha256(text.encode("utf-8")).hexdigest()[:16],
        "winner": result_of(study, study.decision.winner),
        "subject": subject(study),
        "killers": killers(study),
        "doubt": doubt_words(study),
        "cell": cycle.cell_of(study),
        "missed": missed.nearest_miss(study),
        "apart": half.apart(study, study.facts),
        "broken": broken_today(study),
    }


def body(study: Study, marks: Marks) -> dict[str, Any]:
    """The sections from today's process to the questions."""
    today, made = today_of(study), rates(study, marks)
    between, near = lines(study, marks.facts), missed.nearest_miss(study)
    return {
        "living": living(study),
        "in_sight": in_sight(study),
        "few": IN_SIGHT,
        "fallen": fallen(study),
        "looked_at": (*((near,) if near else ()), *(each for each in looked_at(study) if each is not near)),
        "today": today,
        "views": placed.views(cycle.cell_of(study) or near, marks),
        "today_figures": today_figures(study, today),
        "between_visits": between,
        "bound_caution": caution(between),
        "use_source": listed_sources()["iso22400"].words,
        "timed": measured_rows(study),
        "timed_rules": (FENCES, FIT_RULE),
        "activity": activity_of(study, today, marks),
        "worth": worth_picture(study, marks),
        "rates": rate_picture(made, marks),
        "above_cycle": above_cycle(made),
        "above_bound": above_bound(made),
        "in_turn": tuple(rows_in_turn(study)),
        "moving": moving(study),
        "drivers": driver_picture(study, marks),
        "cash": cash_picture(study, marks),
        "flows": cash,
        "further": cash.further_rows(subject(study)),
        "outlooks": outlook_rows(study),
        "traded": traded_rows(study),
        "trade": trade_picture(study, marks),
        "funnel": funnel_rows(study, marks),
        "assumptions": assumptions(study),
        "in_price": in_price(study, marks),
        "alone_caution": ALONE_CAUTION,
        "shared_words": lambda result: shared_words(result, marks.facts),
        "shared_caution": SHARED_CAUTION,
        "cautions_of": lambda ids: cautions(marks.facts, ids),
    }


def appendix(facts: Mapping[str, Fact], marks: Marks) -> Markup:
    """Every fact that the page rests on, every formula behind it, and the sources of these."""
    formulas = formulas_used(facts)
    known = {
        "here": facts,
        "m": marks,
        "groups": groups(facts),
        "formulas": formulas,
        "sources": cited(formulas),
        "choices": marks.choices,
    }
    return rendered("appendix.html.j2", known)


def activity_of(study: Study, today: Result | None, marks: Marks) -> Any:
    """Today's activity chart, resting on the elements, the walk and the machining times that the inquiry gives."""
    if today is None:
        return None
    inquiry = study.inquiry
    facts = [element.time_s.id for element in inquiry.today.elements]
    facts += [
        inquiry.today.walk_s.id,
        *(operation.time_s.id for part in inquiry.parts for operation in part.operations),
    ]
    return activity_picture(chart_of(today), facts, marks)

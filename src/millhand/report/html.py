"""report.html: one file that opens anywhere, offline; every figure in it leads to its fact in the appendix."""

import hashlib
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from millhand.formulas import REGISTER
from millhand.model.study import Result, Study
from millhand.report.activity import WORDS
from millhand.report.activity_svg import swatch
from millhand.report.comparison import (
    ANSWERS,
    fact_by_formula,
    killers,
    label,
    measure,
    result_of,
    rows,
    spoken,
    subject,
    today_of,
)
from millhand.report.marks import Marks, anchor, given_words, marks_of, meta_words, name_words, source_words
from millhand.report.origins import assumptions, cautions, formulas_used, groups
from millhand.report.pictures import activity_picture, cash_picture, driver_picture, worth_picture
from millhand.report.study_json import study_as_json

ALONE_CAUTION = REGISTER["expected_unattended_parts"].caution
LIFTING_CAUTION = REGISTER["lifting_index"].caution


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
    made.filters |= {"spoken": spoken, "label": label, "measure": measure}
    made.globals |= {
        "source": source_words, "meta": meta_words, "given": given_words, "called": name_words, "anchor": anchor,
        "swatch": swatch, "register": REGISTER, "doing_words": WORDS,
    }  # fmt: skip
    return made


def report_html(study: Study) -> str:
    """The whole page; the same study gives the same bytes."""
    marks = marks_of(study)
    return environment().get_template("report.html.j2").render(
        study=study, inquiry=study.inquiry, m=marks, style=style(), **head(study), **body(study, marks),
        **appendix(study, marks),
    )  # fmt: skip


def style() -> Markup:
    """The style sheet, which stands inside the page."""
    return Markup(environment().get_template("style.css").render())


def head(study: Study) -> dict[str, Any]:
    """What identifies the study, and its answer."""
    return {
        "answer": ANSWERS[study.decision.answer],
        "hash": hashlib.sha256(study_as_json(study).encode("utf-8")).hexdigest()[:16],
        "winner": result_of(study, study.decision.winner),
        "subject": subject(study),
        "killers": killers(study),
    }


def body(study: Study, marks: Marks) -> dict[str, Any]:
    """The sections from today's process to the questions."""
    today = today_of(study)
    return {
        "rows": rows(study),
        "today": today,
        "today_figures": today_figures(study, today),
        "activity": activity_of(study, today, marks),
        "worth": worth_picture(study, marks),
        "drivers": driver_picture(study, marks),
        "cash": cash_picture(study, marks),
        "cash_lines": cash_lines(subject(study)),
        "assumptions": assumptions(study),
        "alone_caution": ALONE_CAUTION,
        "lifting_caution": LIFTING_CAUTION,
        "cautions_of": lambda ids: cautions(marks.facts, ids),
    }


def appendix(study: Study, marks: Marks) -> dict[str, Any]:
    """Every fact and every formula."""
    return {"groups": groups(marks.facts), "formulas": formulas_used(marks.facts), "choices": marks.choices}


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
    return activity_picture(today.schedule, facts, marks)


def today_figures(study: Study, today: Result | None) -> dict[str, str | None]:
    """What today's process has beside its record: modelled and shipped output, the loss between, cost of a part."""
    if today is None:
        return {}
    concept = today.concept.id
    loss = fact_by_formula(study, concept, "unexplained_loss_share")
    inputs = dict(study.facts[loss].inputs) if loss else {}
    return {
        "loss": loss,
        "modelled": inputs.get("modelled_parts"),
        "shipped": inputs.get("shipped_parts"),
        "cost": fact_by_formula(study, concept, "cost_per_part_money"),
    }


def cash_lines(result: Result | None) -> tuple[str, ...]:
    """The names of all lines that stand in some year of a case, in the order they first appear."""
    if result is None or result.case is None:
        return ()
    return tuple(dict.fromkeys(name for row in result.case.rows for name in row.amounts))

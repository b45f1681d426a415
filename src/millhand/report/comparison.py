"""What every face compares: one row a concept, in the order of the ranking, each figure a fact id."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from millhand.intake.today_held import MORE_THAN_MADE
from millhand.model.decision import Ask, Driver
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result, Study
from millhand.model.verdict import Verdict

ANSWERS = {
    "cell": "Load by a cell",
    "by_hand": "Change the manual work first",
    "no": "Do not automate now",
}
MEASURES = {
    "payback_months": "Payback",
    "payback_from_order_months": "Payback from the order",
    "discounted_payback_months": "Discounted payback",
    "naive_payback_months": "Naive payback",
    "plain_ratio_y": "Price over yearly saving",
    "hurdle_chance": "Chance of meeting the hurdle",
    "npv": "Net present worth",
    "irr": "Internal rate",
}
UNIT_ENDING = re.compile(r"_(s|h|d|m|m2|kg|n|parts|money|months)$")  # the figure shows its unit itself
ORDINARY_LOSS = 0.25  # share: what waiting and first pieces take at most (common practice, from memory)
CHECKS = {  # whose own names say too little
    "reach": "reach of the arm",
    "joint_room": "room at the joints",
    "arm_gap": "gap beside the arm",
    "way_joined": "a way of the joints",
    "way_gap": "gap on the arm's ways",
    "people_way": "people's ways",
    "standing_clear": "no two pieces in one place",
    "over_fence": "over the fence",
    "track_travel": "travel of the track",
    "track_drive": "drive of the track",
    "track_duty": "heat in the drive of the track",
    "two_apart": "room for two arms side by side",
}
IN_FULL, IN_SIGHT = 4, 8  # concepts shown with all their checks and prices; rows in sight
KINDS = {"today": "as today", "by_hand": "by hand", "cell": "cell"}

SUMS = {  # of one load today, with allowance
    "outside_by_hand": "hands while the machine stands, with allowance",
    "inside_by_hand": "hands while it runs, with allowance",
    "travel": "ways",
    "work": "people's work on one load",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One concept beside the others; a figure that does not exist is None."""

    concept: str
    title: str
    kind: str
    wish: str  # name under which the inquiry keeps it
    place: int | None
    words: str
    fell: str | None
    attended: str | None  # parts a shift
    alone: str | None  # parts an hour with nobody there
    alone_h: str | None  # hours a year with nobody there
    alone_run: str | None  # parts of one run with nobody there
    price: str | None
    payback: str | None
    no_payback: str  # why there is none
    npv: str | None
    at_bound: bool  # not simulated: its figures are those of its load bound, so at most


def rows(study: Study) -> tuple[Row, ...]:
    """All concepts: the ranked ones by place, then those that fell, as the decision lists them."""
    results = {result.concept.id: result for result in study.results}
    ranked = sorted(study.decision.ranking, key=lambda each: (each.place is None, each.place or 0))
    return tuple(row(results[each.concept], each.place, each.fell, each.words) for each in ranked)


def living(study: Study) -> tuple[Row, ...]:
    """The concepts that can work, by place."""
    return tuple(row for row in rows(study) if row.fell is None)


def in_sight(study: Study, count: int = IN_SIGHT) -> tuple[str, ...]:
    """The concepts that a comparison shows first: the best ones, and in any case the answer, today, one by hand, and
    those that the inquiry keeps."""
    alive = living(study)
    wanted = [row.concept for row in alive[:count]]
    wanted += [study.decision.winner, "today", *(row.concept for row in alive if row.kind == "by hand")][:3]
    wanted += [row.concept for row in alive if row.wish]
    return tuple(row.concept for row in alive if row.concept in wanted)


def fallen(study: Study) -> tuple[tuple[Row, Verdict | None], ...]:
    """The concepts that cannot work, each with the verdict that ended it."""
    results = {result.concept.id: result for result in study.results}
    return tuple((row, killed_by(results[row.concept], row.fell)) for row in rows(study) if row.fell is not None)


def looked_at(study: Study) -> tuple[Result, ...]:
    """The concepts that a report shows in full: today, the winner, the second, the next ones by place, and what the
    inquiry keeps."""
    near = [row.concept for row in living(study)[:IN_FULL]]
    subjects = (each.concept.id for each in (subject(study),) if each)
    kept = (row.concept for row in living(study) if row.wish)
    names = dict.fromkeys([study.decision.winner, *subjects, study.decision.second, *near, *kept, "today"])
    found = (result_of(study, name) for name in names)
    return tuple(result for result in found if result is not None)


def row(result: Result, place: int | None, fell: str | None, words: str) -> Row:
    """One concept's row."""
    performance, case, bought = result.performance, result.case, result.concept.kind != "today"
    return Row(
        concept=result.concept.id,
        title=result.concept.title,
        kind=KINDS[result.concept.kind],
        wish=result.concept.wish,
        place=place,
        words=words,
        fell=fell,
        attended=performance.parts_per_shift if performance else None,
        alone=performance.unattended_per_h if performance else None,
        alone_h=performance.unattended_h_per_y if performance and performance.unattended_per_h else None,
        alone_run=performance.parts_alone if performance and performance.unattended_per_h else None,
        price=result.estimate.installed if result.estimate and bought else None,
        payback=case.payback_months if case else None,
        no_payback=case.reasons.get("payback_months", "never") if case and not case.payback_months and bought else "",
        npv=case.npv if case and bought else None,
        at_bound=at_bound(result),
    )


def at_bound(result: Result) -> bool:
    """Whether a cell has an output that nobody simulated: then its load bound stands for it, and all figures on it."""
    performance = result.performance
    return result.concept.kind == "cell" and performance is not None and performance.output is None


def heading_words(inquiry: Inquiry) -> str:
    """What the job is called, with the shop where its name is known."""
    return f"{inquiry.name} ({inquiry.shop.name})" if inquiry.shop.name else inquiry.name


def loss_words(share: float) -> str:
    """What an unexplained loss outside the ordinary means; nothing where it lies inside.

    >>> loss_words(0.1), loss_words(-0.2)
    ('', 'More is shipped than the times given here can make: one of them is wrong, or not all work is in them.')
    """
    if share < 0.0:
        return MORE_THAN_MADE
    if share > ORDINARY_LOSS:
        return "This loss is larger than waiting and first pieces explain: ask what else stops the machines."
    return ""


def loss_key(share: float) -> str:
    """Which words a loss is told with: below nothing it is none, but more shipped than the model makes.

    >>> loss_key(0.1), loss_key(-0.28)
    ('loss', 'surplus')
    """
    return "loss" if share >= 0.0 else "surplus"


def doubt_words(study: Study) -> str:
    """What to clear up before anything is believed: the shop's own figures and the model of its work disagree."""
    loss = today_figures(study, today_of(study)).get("loss")
    return loss_words(study.facts[loss].value) if loss else ""


def broken_today(study: Study) -> tuple[Verdict, ...]:
    """The checks that today's own work does not pass: they count whatever the money says."""
    today = today_of(study)
    return tuple(verdict for verdict in (today.verdicts if today else ()) if not verdict.holds)


def moving(study: Study) -> tuple[Driver, ...]:
    """The drivers that move the payback itself; a hurdle only moves what it is held against."""

    def months(fact_id: str | None) -> float | None:
        return study.facts[fact_id].value if fact_id else None

    return tuple(each for each in study.decision.drivers if months(each.at_low) != months(each.at_high))


def result_of(study: Study, concept: str | None) -> Result | None:
    """The result of one concept."""
    return next((result for result in study.results if result.concept.id == concept), None)


def subject(study: Study) -> Result | None:
    """The concept whose money is looked at closely: the winner, or where that is today the best one with a case."""
    order = [study.decision.winner, study.decision.second, *(row.concept for row in rows(study))]
    found = (result_of(study, concept) for concept in order)
    return next((result for result in found if result and result.case and result.concept.kind != "today"), None)


def usual_ends(facts: Mapping[str, Fact], result: Result) -> tuple[str, ...]:
    """Between which prices such an estimate ends as a rule, low and high: said wherever a price stands alone. The
    range of the draws, which tables have, is that of its lines. Nothing where nothing is bought."""
    top = f"concepts.{result.concept.id}.estimate"
    ends = (f"{top}.usual_low", f"{top}.usual_high")
    return ends if all(each in facts for each in ends) else ()


def today_of(study: Study) -> Result | None:
    """What the shop does now."""
    return next((result for result in study.results if result.concept.kind == "today"), None)


def killers(study: Study) -> tuple[Ask, ...]:
    """The three questions whose answers could end the job."""
    return tuple(ask for ask in study.decision.asks if ask.kills)[:3]


def meanwhile(study: Study, ask: Ask) -> str:
    """The fact that is counted with while a question is open: of a reading of a time, the time, which spans both."""
    time = ask.fact.removesuffix("_is")
    return time if time in study.facts else ask.fact


def killed_by(result: Result, check: str | None) -> Verdict | None:
    """The verdict of the check that ended a concept."""
    return next((verdict for verdict in result.verdicts if verdict.check == check), None)


def spoken(name: str) -> str:
    """A record's word as a reader says it.

    >>> spoken("capacity_night")
    'Capacity night'
    >>> spoken("joint_room")
    'Room at the joints'
    """
    return opening(CHECKS.get(name, name.replace("_", " ")))


def opening(words: str) -> str:
    """The same words as the beginning of a sentence."""
    return words[:1].upper() + words[1:]


def fact_by_formula(study: Study, concept: str, formula: str) -> str | None:
    """The first fact of a concept that a certain formula gave: what has no field of its own in a record."""
    top = f"concepts.{concept}."
    return next((key for key, fact in study.facts.items() if key.startswith(top) and fact.formula == formula), None)


def measure(name: str) -> str:
    """What a measure of a case is called."""
    return MEASURES.get(name, spoken(name))


def label(fact_id: str) -> str:
    """A fact's id as words, without the concept it belongs to.

    >>> label("people.share_usable"), label("concepts.today.timing.gap"), label("catalogue.cell_changeover_s")
    ('People: share usable', 'Timing: gap', 'Catalogue: cell changeover')
    """
    parts = [UNIT_ENDING.sub("", part.replace("_per_y", "_a_year")) for part in fact_id.split(".")]
    return spoken(": ".join(parts[2:] if parts[0] == "concepts" and len(parts) > 2 else parts))


def title(fact: Fact) -> str:
    """What a fact is called before a reader: its own title, or its path in words; the first letter large."""
    words = fact.title or label(fact.id)
    return words[0].upper() + words[1:]


def today_figures(study: Study, today: Result | None) -> dict[str, str | None]:
    """What today's process has beside its record: modelled and shipped output, the loss between, cost of a part."""
    if today is None:
        return {}
    concept = today.concept.id
    loss = fact_by_formula(study, concept, "unexplained_loss_share")
    inputs = dict(study.facts[loss].inputs) if loss else {}
    cost = fact_by_formula(study, concept, "labour_money_per_part")
    paid = dict(study.facts[cost].inputs) if cost else {}
    return {
        "loss": loss,
        "modelled": inputs.get("modelled_parts"),
        "shipped": inputs.get("shipped_parts"),
        "cost": cost,
        "hour_cost": paid.get("money_per_h"),
        "parts_per_y": paid.get("parts_per_y"),
    }


def load_sums(study: Study) -> tuple[tuple[str, str, str], ...]:
    """What the elements of one load come to at each operation, allowance included: operation where there are several,
    words, fact."""
    operations = [each.name for part in study.inquiry.parts[:1] for each in part.operations]
    found = []
    for name in operations:
        which = name.replace("_", " ") if len(operations) > 1 else ""
        own = f"concepts.today.timing.{name}."
        found += [(which, words, own + key) for key, words in SUMS.items() if own + key in study.facts]
    return tuple(found)

"""Changes of the work by hand: which apply here, and each as a concept."""

from millhand.model.catalogue import Catalogue, HandChange, share_of_steps
from millhand.model.concept import BY_HAND, Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.part import Operation
from millhand.stages.concepts.choices import Words, first_rule

LIFT_FIGURES = ("lift_horizontal_m", "lift_travel_m", "lift_twist_rad", "lift_coupling", "lifts_per_part")


def hand_concept(change: HandChange, catalogue: Catalogue) -> Concept:
    """One change of the manual process as a concept."""
    return Concept(
        id=f"{BY_HAND}{change.id}", kind="by_hand", title=f"by hand: {change.title}", change=change.id,
        assumes=change.when, question=change.question,
        facts=(change.price, *change.effects.values(), *lift_facts(catalogue)),
    )  # fmt: skip


def lift_facts(catalogue: Catalogue) -> tuple[Fact, ...]:
    """The catalogue's figures that the check on lifting needs."""
    return tuple(catalogue.figures[name] for name in LIFT_FIGURES)


def why_not_by_hand(change: HandChange, inquiry: Inquiry, words: Words, catalogue: Catalogue) -> str | None:
    """Why a change by hand does not apply here; None where it does."""
    if words["kind"] not in change.kinds:
        return f"is a change for {', '.join(change.kinds)}"
    rule = first_rule({**words, **change_words(change, inquiry)}, catalogue.rules)
    return rule.words if rule is not None else None


def change_words(change: HandChange, inquiry: Inquiry) -> dict[str, str]:
    """What rules may ask about a change by hand here."""
    outside = [each for each in inquiry.today.elements if each.side.value == "outside"]
    able = any(each.place == "bench" or share_of_steps(each.name, change.steps) > 0.0 for each in outside)
    return {"change": change.id, "to_move": "yes" if able else "no", "for_helper": work_for_one(change, inquiry)}


def work_for_one(change: HandChange, inquiry: Inquiry) -> str:
    """Whether a helper has anything to do, and no more than one person does while his machines cut."""
    machines, part = change.effects.get("machines_per_helper"), inquiry.parts[0]
    work_s = sum(
        each.time_s.value / each.every_n.value * (1.0 + (each.allowance or inquiry.people.allowance).value)
        for operation in part.operations
        for each in inquiry.today.elements
        if each.side.value == "inside" and each.operation in (None, operation.name)
    )  # fmt: skip
    if machines is None or work_s <= 0.0:
        return "nothing"
    return "too_much" if work_s * machines.value > sum(alone_s(each) for each in part.operations) else "fits"


def alone_s(operation: Operation) -> float:
    """Machine time of one load, of all cycles from one visit to the next."""
    cycles = operation.cycles_per_visit.value if operation.cycles_per_visit is not None else 1.0
    return operation.time_s.value * cycles

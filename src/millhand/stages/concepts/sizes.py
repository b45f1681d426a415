"""Which arms are of the right size for the load: of those that hold it the smallest of each class."""

from millhand.formulas.feasibility import mass_of_hands_kg
from millhand.formulas.hand_load import hand_inertia_kg_m2, hand_lever_m, static_moment_nm
from millhand.formulas.hands import payload_at_lever_kg
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.stages.concepts.choices import of_kind


def arm_sizes(inquiry: Inquiry, catalogue: Catalogue) -> dict[tuple[str, ...], str]:
    """Of each arm and gripper: right, ample (a smaller arm of its class holds the load too), or hopeless (none of its
    class does, and there is a larger one).

    Whether it reaches is for the layout to say: of those that hold the load, the smallest that works is kept.
    """
    arms, grippers = of_kind(catalogue, "arm"), of_kind(catalogue, "gripper")
    found: dict[tuple[str, ...], str] = {}
    for gripper in grippers:
        enough = [arm for arm in arms if holds_load(arm, gripper, inquiry, catalogue)]
        found |= {(arm.id, gripper.id): arm_size(arm, arms, enough) for arm in arms}
    return found


def arm_size(arm: Component, arms: list[Component], enough: list[Component]) -> str:
    """What an arm is among those of its class, of which some hold the load."""
    alike = [other for other in arms if kind_of(other) == kind_of(arm)]
    doing = [other for other in alike if other in enough]
    if any(lighter(other, arm) for other in doing):
        return "ample"
    return "hopeless" if not doing and any(lighter(arm, other) for other in alike) else "right"


def kind_of(arm: Component) -> tuple[str, str]:
    """What makes arms alike but for their size: how they keep from people, and their form."""
    return arm.words["class"], arm.words.get("form", "six_axes")


def lighter(arm: Component, other: Component) -> bool:
    """Whether an arm carries less than another."""
    return arm.figures["payload_kg"].value < other.figures["payload_kg"].value


def holds_load(arm: Component, gripper: Component, inquiry: Inquiry, catalogue: Catalogue) -> bool:
    """Whether the load is within the payload at its lever, and its moment and inertia within the best of the class."""
    part = max(inquiry.parts, key=lambda each: max(each.raw_mass_kg.value, each.finished_mass_kg.value))
    length, width = (gripper.figures.get(name, catalogue.figures[f"hand_{name}"]) for name in ("length_m", "width_m"))
    hands, gripper_kg = gripper.figures["hands"].value, gripper.figures["mass_kg"].value
    fingers_kg = mass_of_hands_kg(gripper.figures["fingers_kg"].value, hands=hands)
    heaviest_kg = max(part.raw_mass_kg.value, part.finished_mass_kg.value)
    parts_kg = mass_of_hands_kg(heaviest_kg, hands=parts_in_gripper(inquiry, hands))
    masses = {"fingers_kg": fingers_kg, "parts_kg": parts_kg}
    lever_m = hand_lever_m(gripper_kg, length_m=length.value, hands=hands, **masses)
    inertia = hand_inertia_kg_m2(
        gripper_kg, length_m=length.value, width_m=width.value,
        sides_m=(part.raw.length_m.value, part.raw.width_m.value, part.raw.height_m.value), **masses,
    )  # fmt: skip
    load_kg, rated = gripper_kg + fingers_kg + parts_kg, arm.figures.get("payload_lever_m")
    payload_kg = arm.figures["payload_kg"].value
    if rated is not None:
        payload_kg = payload_at_lever_kg(payload_kg, lever_m=lever_m, rated_lever_m=rated.value)
    return (
        load_kg <= payload_kg
        and within_class(static_moment_nm(load_kg, lever_m=lever_m), arm.figures.get("moment_nm"))
        and within_class(inertia, arm.figures.get("inertia_kg_m2"))
    )


def within_class(value: float, limit: Fact | None) -> bool:
    """Whether a value keeps within the best of a class; a limit that nobody knows is kept."""
    return limit is None or value <= (limit.high if limit.high is not None else limit.value)


def parts_in_gripper(inquiry: Inquiry, hands: float) -> float:
    """Parts that hang on the arm at once: one in each hand, of a mould all parts of a shot."""
    if inquiry.machines[0].kind.value == "moulding":
        return max(operation.parts_per_cycle.value for operation in inquiry.parts[0].operations)
    return hands

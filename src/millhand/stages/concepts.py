"""Which ways to load the machines are looked at: as today, better by hand, every cell that the rules let through."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from millhand.catalogue.only import is_meant, why_not_meant
from millhand.formulas.feasibility import mass_of_hands_kg
from millhand.formulas.hand_load import hand_inertia_kg_m2, hand_lever_m, static_moment_nm
from millhand.formulas.hands import payload_at_lever_kg
from millhand.model.catalogue import Catalogue, HandChange, Rule, share_of_steps
from millhand.model.concept import CellOption, Component, Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry, Only
from millhand.model.part import Operation
from millhand.model.shop import Shift

CHOICES = ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding")
# Which choices stand behind the words that rules ask for.
BEHIND: Mapping[str, tuple[str, ...]] = {
    **{choice: (choice,) for choice in CHOICES},
    "arm_class": ("arm",),
    "arm_form": ("arm",),
    "arm_size": ("arm", "gripper"),
    "jaws": ("gripper",),
    "hands": ("gripper",),
}
SLENDER = 2.0  # a round part longer than so many diameters is held across
LIGHT_KG = 0.9  # held by the strongest adaptive fingers of the class when a fenced arm stops hard (judged)
LONG_M = 0.25  # a longer part has no second one beside it on the table of a usual mill (judged)
LIFT_FIGURES = ("lift_horizontal_m", "lift_travel_m", "lift_twist_rad", "lift_coupling", "lifts_per_part")
ARM_FIGURES = (
    "grip_factor", "shoulder_m", "arm_clearance_m", "walk_width_m", "joint_room_rad", "joint_room_m", "jaw_clearance_m",
    "arm_speed_near_people_m_s", "contact_force_n", "contact_stiffness_n_m", "contact_body_kg", "fence_height_m",
    "floor_level_m",
)  # fmt: skip
HAND_FIGURES = (
    "arm_ramp_s", "jaws_parallel", "jaws_centric", "jaws_inside", "jaws_adaptive", "magnet_gap_m",
    "v_half_angle_rad", "friction_cups", "vacuum_open_m3_s",
    "vacuum_gap_m2", "air_density_kg_m3", "hand_length_m", "hand_width_m", "door_clearance_m", "finger_thick_m",
    "finger_width_m", "finger_contact_m", "clamp_depth_m", "chuck_jaws", "chuck_jaw_width_m", "grip_gap_m",
    "pocket_play_m", "grip_scatter_m", "tilt_rad", "docking_m", "stand_factor", "moving_centre_share", "floor_friction",
)  # fmt: skip
TRACK_FIGURES = (
    "track_speed_m_s", "track_speed_near_people_m_s", "track_accel_m_s2", "track_friction", "track_slope_rad",
    "arm_whole_over_moving",
)  # fmt: skip
RUN_FIGURES = (
    "tray_mass_kg", "lift_without_frequency", "drawer_rolling", "drawer_start", "drawer_accel_m_s2",
    "gauge_waiting_places", "gauge_since_parts", "old_control_y", "chip_box_m3", "chip_fill_share", "chip_bulk_broken",
    "chip_bulk_curly", "refill_visit_s", "refill_part_s", "coolant_usable_m3", "coolant_loss_m3_per_h",
    "hopper_usable_share", "hopper_residue_parts",
)  # fmt: skip
BEAM_FIGURES = ("above_beam_m", "moving_load_factor")
Words = Mapping[str, str]
NAMED = {"inserts": ("insert",), "degating": ("degat", "gate", "sprue", "trim"), "gauging": ("gaug", "measur")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """One component for each part of a cell."""

    presenter: Component
    outfeed: Component
    mount: Component
    arm: Component
    gripper: Component
    safeguarding: Component


def concepts(inquiry: Inquiry, catalogue: Catalogue) -> tuple[Concept, ...]:
    """Today first, then changes by hand that apply, then all cells that no rule drops."""
    words, sizes = inquiry_words(inquiry), arm_sizes(inquiry, catalogue)
    today = Concept(id="today", kind="today", title="as today", facts=lift_facts(catalogue))
    by_hand = [
        hand_concept(change, catalogue)
        for change in catalogue.hand_changes
        if why_not_by_hand(change, inquiry, words, catalogue) is None
    ]
    cells = [
        cell_concept(choices, inquiry, catalogue)
        for choices in combinations(catalogue, inquiry.only)
        if first_rule(choice_words(choices, sizes) | words, catalogue.rules) is None
    ]
    return (today, *by_hand, *cells)


def dropped(inquiry: Inquiry, catalogue: Catalogue) -> tuple[tuple[str, str], ...]:
    """What is not looked at, and why: the choices that made the rule fit, joined, and the rule's words.

    Every combination is either a concept or holds all the choices of at least one entry.
    """
    words, sizes = inquiry_words(inquiry), arm_sizes(inquiry, catalogue)
    found: dict[str, str] = {}
    for change in catalogue.hand_changes:
        why = why_not_by_hand(change, inquiry, words, catalogue)
        if why is not None:
            found[f"by_hand-{change.id}"] = why
    for kind in CHOICES:
        apart = [each for each in of_kind(catalogue, kind) if not is_meant(inquiry.only, each)]
        found |= {each.id: why_not_meant(inquiry.only, each) for each in apart}
    for choices in combinations(catalogue, inquiry.only):
        rule = first_rule(choice_words(choices, sizes) | words, catalogue.rules)
        if rule is not None:
            found.setdefault(guilty(choices, rule), rule.words)
    return tuple(found.items())


def combinations(catalogue: Catalogue, only: Only | None = None) -> Iterator[Choices]:
    """Every combination of one component for each part of a cell, in the catalogue's order; of those that are meant."""
    meant = ([each for each in of_kind(catalogue, kind) if is_meant(only, each)] for kind in CHOICES)
    for picked in product(*meant):
        yield Choices(**dict(zip(CHOICES, picked, strict=True)))


def inquiry_words(inquiry: Inquiry) -> dict[str, str]:
    """What rules may ask about the inquiry; of the parts the first family counts, of the machines the first kind."""
    part, machine = inquiry.parts[0], inquiry.machines[0]
    count = sum(each.count.value for each in inquiry.machines)
    tended = inquiry.people.machines_per_operator.value
    slender = part.raw.length_m.value > SLENDER * part.raw.width_m.value
    return {
        "kind": machine.kind.value,
        "shape": part.shape.value,
        "material": part.material.value,
        "bore": "none" if part.raw.bore_m is None else "yes",
        "light": "yes" if heaviest_kg(inquiry) <= LIGHT_KG else "no",
        "slender": "yes" if slender else "no",
        "condition": part.condition.value,
        "film": part.film.value,
        "arrives": part.arrives.value,
        "leaves": part.leaves.value,
        "delicate": part.delicate.value,
        "machines": "one" if count == 1 else "several",
        "must_move": inquiry.wishes.must_move.value,
        "from_above": "yes" if all(each.inside.from_above.value == "yes" for each in inquiry.machines) else "no",
        "extra": machine.extra.value,
        "clamping": machine.clamping.value.partition("_")[0],
        "door": machine.door.value,
        "spare_machines": "yes" if count > tended else "no",
        "operations": "one" if len(part.operations) == 1 else "several",
        "sides": part.operations[0].sides.value,
        "per_load": "one" if part.operations[0].parts_per_cycle.value <= 1.0 else "several",
        "feeds": "no" if part.operations[0].cycles_per_visit is None else "yes",
        **{word: named_so(inquiry, stems) for word, stems in NAMED.items()},
        "long": "yes" if max(part.raw.length_m.value, part.raw.width_m.value) > LONG_M else "no",
        "lots": "one" if part.families.value <= 1.0 else "several",
        **people_words(inquiry),
    }


def heaviest_kg(inquiry: Inquiry) -> float:
    """The heaviest part of all families, raw or finished."""
    return max(max(each.raw_mass_kg.value, each.finished_mass_kg.value) for each in inquiry.parts)


def named_so(inquiry: Inquiry, stems: tuple[str, ...]) -> str:
    """Whether the name of an element of today's work begins a word with one of these."""
    names = (f"_{each.name}" for each in inquiry.today.elements)
    return "yes" if any(f"_{stem}" in name for name in names for stem in stems) else "no"


def choice_words(choices: Choices, sizes: Mapping[tuple[str, ...], str]) -> dict[str, str]:
    """What rules may ask about a combination."""
    return plain_words(choices) | {"arm_size": sizes[choices.arm.id, choices.gripper.id]}


def plain_words(choices: Choices) -> dict[str, str]:
    """What a combination is by itself."""
    return {choice: getattr(choices, choice).id for choice in CHOICES} | {
        "arm_class": choices.arm.words["class"],
        "arm_form": choices.arm.words.get("form", "six_axes"),
        "jaws": choices.gripper.words["jaws"],
        "hands": choices.gripper.words["hands"],
    }


def first_rule(words: Words, rules: tuple[Rule, ...]) -> Rule | None:
    """The first rule that fits: each word that it names has one of its values."""
    return next((rule for rule in rules if fits(rule.when, words)), None)


def fits(when: Mapping[str, tuple[str, ...]], words: Words) -> bool:
    """Whether each word that is asked for has one of its values."""
    return all(words.get(key) in values for key, values in when.items())


def guilty(choices: Choices, rule: Rule) -> str:
    """The choices that a rule looked at, joined as in a concept's id."""
    looked = {choice for key in rule.when for choice in BEHIND.get(key, ())}
    return "-".join(getattr(choices, choice).id for choice in CHOICES if choice in looked)


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


def of_kind(catalogue: Catalogue, kind: str) -> list[Component]:
    """All components of a kind, in the catalogue's order."""
    return [each for each in catalogue.components.values() if each.kind == kind]


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


def people_words(inquiry: Inquiry) -> dict[str, str]:
    """What rules may ask about the people and their hours."""
    manned = [shift for shift in inquiry.shifts if shift.manned.value == "yes"]
    late = max(manned, key=lambda shift: shift.start_s.value + shift.length_s.value, default=None)
    several_late = late is not None and late.operators.value > 1.0
    return {
        "operators": "one" if inquiry.people.operators.value <= 1.0 else "several",
        "breaks": "yes" if any(shift.breaks for shift in manned) else "no",
        "own_machines": own_machines(inquiry, manned),
        "break_cover": inquiry.people.break_cover.value,
        "shifts": "one" if len(manned) == 1 else "several",
        "late_heads": "several" if several_late else "one",
    }


def own_machines(inquiry: Inquiry, manned: list[Shift]) -> str:
    """Whether each operator has machines of his own: where they and the shifts come out even, as in today's cell."""
    people, machines = inquiry.people, sum(round(each.count.value) for each in inquiry.machines)
    heads = {max(1, math.ceil(shift.operators.value)) for shift in manned}
    even = heads == {machines / max(1, round(people.machines_per_operator.value))}
    own = people.tend.value == "own" and people.break_cover.value != "each_other"
    return "yes" if own and even and len(inquiry.parts[0].operations) == 1 else "no"


def hand_concept(change: HandChange, catalogue: Catalogue) -> Concept:
    """One change of the manual process as a concept."""
    return Concept(
        id=f"by_hand-{change.id}", kind="by_hand", title=f"by hand: {change.title}", change=change.id,
        assumes=change.when, question=change.question,
        facts=(change.price, *change.effects.values(), *lift_facts(catalogue)),
    )  # fmt: skip


def options(choices: Choices, inquiry: Inquiry, catalogue: Catalogue) -> Iterator[CellOption]:
    """What the cell needs besides its choices: at each machine by its own kind, clamping and door, or once."""
    words = plain_words(choices) | inquiry_words(inquiry)
    own = {
        machine.name: words | {
            "kind": machine.kind.value, "clamping": machine.clamping.value.partition("_")[0],
            "door": machine.door.value,
        }
        for machine in inquiry.machines
    }  # fmt: skip
    for rule in catalogue.options:
        fitting = tuple(name for name, each in own.items() if fits(rule.when, each))
        if fitting:
            machines = fitting if rule.per == "machine" else ()
            yield CellOption(component=catalogue.components[rule.id], words=rule.words, machines=machines)


def short_title(choices: Choices) -> str:
    """A cell in a few words: 'drawers, fenced 20 kg arm on a pedestal, one jaw gripper'."""

    def short(component: Component) -> str:
        return component.words.get("short", component.title)

    outfeed = "" if choices.outfeed.id == "back_to_tray" else f" {short(choices.outfeed)}"
    arm = f"{short(choices.arm)} {short(choices.mount)}"
    return f"{short(choices.presenter)}{outfeed}, {arm}, {short(choices.gripper)}"


def cell_concept(choices: Choices, inquiry: Inquiry, catalogue: Catalogue) -> Concept:
    """One combination as a concept; the outfeed stands in the id only where parts do not go back to their pocket."""
    picked = [getattr(choices, choice) for choice in CHOICES]
    said = [each for each in picked if each.id != "back_to_tray"]
    film = catalogue.figures[f"friction_{inquiry.parts[0].film.value}"]
    density = catalogue.figures[f"density_{inquiry.parts[0].material.value}_kg_m3"]
    riding = TRACK_FIGURES if "carriage_kg" in choices.mount.figures else ()
    over = BEAM_FIGURES if "beam_depth_m" in choices.mount.figures else ()
    return Concept(
        id="-".join(each.id for each in said), kind="cell", title=short_title(choices),
        presenter=choices.presenter, outfeed=choices.outfeed, mount=choices.mount, arm=choices.arm,
        gripper=choices.gripper, safeguarding=choices.safeguarding,
        options=tuple(options(choices, inquiry, catalogue)),
        facts=(
            film, density,
            *(catalogue.figures[name] for name in (*ARM_FIGURES, *HAND_FIGURES, *RUN_FIGURES, *riding, *over)),
            *lift_facts(catalogue),
        ),
    )  # fmt: skip

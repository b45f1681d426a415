"""Which ways to load the machines are looked at: as today, better by hand, every cell that the rules let through."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.catalogue.only import is_meant, why_not_meant
from millhand.catalogue.wished import is_by_hand
from millhand.model.catalogue import Catalogue
from millhand.model.concept import BY_HAND, CellOption, Component, Concept
from millhand.model.inquiry import Inquiry
from millhand.stages.concepts.by_hand import hand_concept, lift_facts, why_not_by_hand
from millhand.stages.concepts.choices import CHOICES, Choices, fits, guilty, looked_at, of_kind, plain_words
from millhand.stages.concepts.sizes import arm_sizes
from millhand.stages.concepts.wished import (
    id_of,
    left_out_by,
    left_out_words,
    meant_name,
    name_of,
    owns,
    with_wish,
)
from millhand.stages.concepts.words import inquiry_words

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
NO_CELL = "this is no cell, so that nothing of it stands on the floor"
AT_STATION = "at a station that the arm goes to"
BEAM_FIGURES = ("above_beam_m", "moving_load_factor")


def concepts(inquiry: Inquiry, catalogue: Catalogue) -> tuple[Concept, ...]:
    """Today first, then changes by hand that apply, then all cells that no rule drops; what the inquiry leaves out is
    not among them, what it keeps is."""
    words, sizes = inquiry_words(inquiry), arm_sizes(inquiry, catalogue)
    today = as_today(catalogue)
    by_hand = [
        hand_concept(change, catalogue)
        for change in catalogue.hand_changes
        if why_not_by_hand(change, inquiry, words, catalogue) is None
    ]
    cells = {
        name_of(choices): cell_concept(choices, inquiry, catalogue)
        for choices, rule in looked_at(catalogue, words, sizes, inquiry)
        if rule is None and left_out_by(choices, inquiry) is None
    }
    for own in owns(inquiry, catalogue, words, sizes):
        if own.rule is None:
            cells[id_of(own)] = with_wish(cell_concept(own.choices, inquiry, catalogue), own)
    kept = {each.base: each.name for each in inquiry.concepts if each.is_kept}
    gone = {each.base for each in inquiry.concepts if not each.is_kept}
    hands = (replace(each, wish=kept.get(each.id, "")) for each in (today, *by_hand) if each.id not in gone)
    return (*hands, *cells.values())


def as_today(catalogue: Catalogue) -> Concept:
    """Going on as today."""
    return Concept(id="today", kind="today", title="as today", facts=lift_facts(catalogue))


def how_many(inquiry: Inquiry, catalogue: Catalogue) -> tuple[int, int, int]:
    """Combinations that are looked at one by one, with those of them that somebody wants left out; and the cells that
    are added to them by hand. Each is dropped by a rule, left out, or a concept."""
    words, sizes = inquiry_words(inquiry), arm_sizes(inquiry, catalogue)
    every = [(name_of(choices), choices, rule) for choices, rule in looked_at(catalogue, words, sizes, inquiry)]
    own = {id_of(each) for each in owns(inquiry, catalogue, words, sizes) if each.rule is None}
    added = len(own - {name for name, _, _ in every})
    out = sum(1 for name, choices, rule in every if rule is None and name not in own and left_out_by(choices, inquiry))
    return len(every) + added, out, added


def wanted_by(inquiry: Inquiry, catalogue: Catalogue, wish: str) -> tuple[Concept | None, str]:
    """The cell that one wish keeps, or the words of what stands against it."""
    alone = replace(inquiry, concepts=tuple(each for each in inquiry.concepts if each.name == wish))
    own = next(owns(alone, catalogue, inquiry_words(inquiry), arm_sizes(inquiry, catalogue)), None)
    if own is None:
        return None, NO_CELL
    if own.rule is not None:
        return None, own.rule.words
    return with_wish(cell_concept(own.choices, inquiry, catalogue), own), ""


def wished_away(inquiry: Inquiry, catalogue: Catalogue) -> Iterator[tuple[str, str, str]]:
    """What somebody wants left out, by whom and why, and what is wanted although a rule says that it makes no sense;
    with the name of the wish."""
    words, sizes = inquiry_words(inquiry), arm_sizes(inquiry, catalogue)
    meant: dict[str, int] = {}
    for choices, rule in looked_at(catalogue, words, sizes, inquiry) if inquiry.concepts else ():
        wish = left_out_by(choices, inquiry) if rule is None else None
        if wish is not None:
            meant[wish.name] = meant.get(wish.name, 0) + 1
    for each in inquiry.concepts:
        if not each.is_kept:
            count = 1 if is_by_hand(each.base) else meant.get(each.name, 0)
            yield meant_name(each), left_out_words(each, count), each.name
    for own in owns(inquiry, catalogue, words, sizes):
        if own.rule is not None:
            yield id_of(own), f"wanted by hand as {own.wish.name}, and not looked at: {own.rule.words}", own.wish.name


def dropped(inquiry: Inquiry, catalogue: Catalogue) -> tuple[tuple[str, str], ...]:
    """What is not looked at, and why: the choices that made the rule fit, joined, and the rule's words.

    Every combination is either a concept or holds all the choices of at least one entry.
    """
    words, sizes = inquiry_words(inquiry), arm_sizes(inquiry, catalogue)
    found: dict[str, str] = {}
    for change in catalogue.hand_changes:
        why = why_not_by_hand(change, inquiry, words, catalogue)
        if why is not None:
            found[f"{BY_HAND}{change.id}"] = why
    for kind in (*CHOICES, "sharing"):
        apart = [each for each in of_kind(catalogue, kind) if not is_meant(inquiry.only, each)]
        found |= {each.id: why_not_meant(inquiry.only, each) for each in apart}
    for choices, rule in looked_at(catalogue, words, sizes, inquiry):
        if rule is not None:
            found.setdefault(guilty(choices, rule), rule.words)
    return tuple(found.items())


def options(choices: Choices, inquiry: Inquiry, catalogue: Catalogue) -> Iterator[CellOption]:
    """What the cell needs besides its choices: at each machine by its own kind, clamping and door, or once; then the
    stations of what the arm does besides loading."""
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
    for each in choices.works:
        yield CellOption(component=each, words=AT_STATION)


def short_title(choices: Choices) -> str:
    """A cell in a few words: 'drawers, fenced 20 kg arm on a pedestal, one jaw gripper'."""

    def short(component: Component) -> str:
        return component.words.get("short", component.title)

    outfeed = "" if choices.outfeed.id == "back_to_tray" else f" {short(choices.outfeed)}"
    arm, gripper = f"{short(choices.arm)} {short(choices.mount)}", short(choices.gripper)
    if choices.sharing is not None:
        arm = f"two arms, each a {short(choices.arm)}, {short(choices.mount)}, {short(choices.sharing)}"
        gripper = f"each with {gripper}"
    works = " and ".join(short(each) for each in choices.works)
    return f"{short(choices.presenter)}{outfeed}, {arm}, {gripper}{f', {works} by the arm' if works else ''}"


def cell_concept(choices: Choices, inquiry: Inquiry, catalogue: Catalogue) -> Concept:
    """One combination as a concept."""
    film = catalogue.figures[f"friction_{inquiry.parts[0].film.value}"]
    density = catalogue.figures[f"density_{inquiry.parts[0].material.value}_kg_m3"]
    riding = TRACK_FIGURES if "carriage_kg" in choices.mount.figures else ()
    over = BEAM_FIGURES if "beam_depth_m" in choices.mount.figures else ()
    return Concept(
        id=name_of(choices), kind="cell", title=short_title(choices),
        presenter=choices.presenter, outfeed=choices.outfeed, mount=choices.mount, sharing=choices.sharing,
        arm=choices.arm, gripper=choices.gripper, safeguarding=choices.safeguarding,
        options=tuple(options(choices, inquiry, catalogue)),
        facts=(
            film, density,
            *(catalogue.figures[name] for name in (*ARM_FIGURES, *HAND_FIGURES, *RUN_FIGURES, *riding, *over)),
            *lift_facts(catalogue),
        ),
    )  # fmt: skip

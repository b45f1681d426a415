"""A change by hand on its way into the shop: how it comes, the shop's own work, full boxes, and what it has to show."""

from collections.abc import Iterator

from millhand.model.catalogue import HandChange
from millhand.model.introduction import Boxes, ByHand, Fillings, HandTests
from millhand.model.safety import Brought
from millhand.stages.acceptance.bench import Bench
from millhand.stages.acceptance.faultless import after, faultless
from millhand.stages.acceptance.guards import SLOT, distances


def by_hand(bench: Bench) -> ByHand:
    """All of it, by how the change comes into the shop."""
    change = next(each for each in bench.catalogue.hand_changes if each.id == bench.result.concept.change)
    comes = change.takes != "arrangement"
    stands = bench.figure(f"by_hand_{change.takes}_stands_d") if comes else None
    own = bench.figure(f"by_hand_{change.takes}_own_h") if comes else None
    return ByHand(
        takes=change.takes,
        fills=change.fills,
        delivery_s=bench.figure(f"by_hand_{change.takes}_delivery_s").id if comes else None,
        stands_d=stands.id if stands else None,
        own_h=own.id if own else None,
        own_money=bench.result.estimate.own if bench.result.estimate and comes else None,
        boxes=boxes(bench) if change.fills == "boxes" else None,
        tests=tests(bench, change),
        moving=change.moving,
        distances=distances(bench) if change.moving else (),
        slot_m=bench.figure(SLOT).id if change.moving else None,
        mass_kg=bench.figure(f"by_hand_{change.takes}_mass_kg").id if comes else None,
        asks=tuple(asks(bench, change)),
    )


def asks(bench: Bench, change: HandChange) -> Iterator[Brought]:
    """What stays open of such a change."""
    words = {"takes": change.takes, "moves": "yes" if change.moving else "no", "fills": change.fills or "none"}
    for rule in bench.catalogue.safeguards.safety.open:
        if rule.topic == "by_hand" and rule.fits(words):
            yield rule.ask


def boxes(bench: Bench) -> Boxes:
    """Full boxes of a shift, and the limit for lifting them where one person takes all of them away."""
    part, mass = max(bench.inquiry.parts, key=lambda each: each.finished_mass_kg.value), bench.figure("full_box_kg")
    held = bench.apply("parts_in_mass", "box_parts", filled_kg=mass, part_kg=part.finished_mass_kg)
    made, rate = (bench.sheet[each] for each in (bench.performance.parts_per_shift, bench.performance.attended_per_h))
    per_h = bench.apply("boxes_per_h", "boxes_per_h", rate_parts_per_h=rate, parts=held)
    lifts = bench.apply(
        "mean_lifts_per_min", "box_lifts", rate_parts_per_h=per_h, lifts_per_part=bench.figure("lifts_per_box")
    )
    height = bench.figure("box_height_m")
    longest = max((each.length_s for each in bench.inquiry.shifts), key=lambda each: each.value)
    frequency = bench.apply(
        "frequency_multiplier", "box_frequency",
        lifts_per_min=lifts, vertical_m=height, duration_h=bench.apply("length_h", "shift_h", length_s=longest),
    )  # fmt: skip
    limit = bench.apply(
        "recommended_weight_limit_kg", "box_limit",
        horizontal_m=bench.figure("lift_horizontal_m"), vertical_m=height, travel_m=bench.figure("lift_travel_m"),
        twist_rad=bench.figure("lift_twist_rad"), frequency=frequency, coupling=bench.figure("lift_coupling"),
    )  # fmt: skip
    a_shift = bench.apply("refills_a_shift", "boxes_a_shift", parts_per_shift=made, pockets=held)
    return Boxes(mass_kg=mass.id, parts=held.id, a_shift=a_shift.id, limit_kg=limit.id)


def tests(bench: Bench, change: HandChange) -> HandTests:
    """Parts in a row at the pace that was worked out, good parts of whole shifts, and fillings without a fault."""
    parts, over = bench.figure("by_hand_timed_parts"), bench.figure("acceptance_over_share")
    pace = bench.sheet[bench.performance.cycle_per_h or bench.performance.bound_per_h]
    most = bench.apply("accepted_run_s", "timed_most", parts=parts, pace_parts_per_h=pace, over_share=over)
    return HandTests(
        timed_parts=parts.id,
        timed_most=most.id,
        shifts=bench.figure("by_hand_shifts").id,
        fillings=fillings(bench) if change.fills else None,
    )


def fillings(bench: Bench) -> Fillings:
    """Fillings in a row at which nobody steps in out of turn."""
    counted, sure = bench.figure("by_hand_fault_share"), bench.figure("acceptance_confidence")
    top = bench.id("fillings")
    shown = faultless(bench.sheet, top, counted, sure, "fillings")
    return Fillings(
        confidence=sure.id, counted_share=counted.id, shown_share=shown.shown.id, run=shown.run.id,
        pass_chance=shown.chance.id, after=tuple(after(bench.sheet, top, shown.run, sure)),
    )  # fmt: skip

"""What is lifted in, how heavy it is, and what the floor has to bear of it."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.formulas import REGISTER
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.safety import Brought, Delivery, Lift
from millhand.model.verdict import Verdict
from millhand.stages.safeguarding.placed import Placed
from millhand.trace import apply

CONTROL, CABINET, COLUMN, BEAM, CARRIAGE = (
    "control cabinet of the arm", "cabinet of the cell", "column of the beam", "beam", "carriage",
)  # fmt: skip
MASSLESS = ("from_mould", "back_to_tray")
OF_TRACK, OF_BEAM, OF_FENCE = (
    ("mass_kg", "mass_per_m", "travel_m"), ("column_kg", "mass_per_m", "foot_plate_m"), ("mass_kg", "mass_per_m"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece, how many there are of it, and its pressure on the floor in use."""

    title: str
    mass: Fact
    count: int = 1
    pressure: Fact | None = None
    split: bool = False  # comes in pieces of its own: no single lift


def delivery(at: Placed) -> Delivery:
    """All of it for one cell."""
    put = tuple(pieces(at))
    moment = foot_moment(at)
    pressed = tuple(each.pressure for each in put if each.pressure is not None)
    most = at.post.apply("greatest_pressure_pa", "floor_pressed", pressures_pa=pressed) if pressed else None
    single = tuple(each.mass for each in put if not each.split)
    every = tuple(each.mass for each in put for _ in range(each.count))
    anchor = anchor_pull(at, moment)
    return Delivery(
        lifts=tuple(
            Lift(title=each.title, mass=each.mass.id, pressure=each.pressure.id if each.pressure else None)
            for each in put for _ in range(each.count)
        ),
        heaviest=at.post.apply("heaviest_kg", "lift.heaviest", masses_kg=single).id,
        whole=at.post.apply("sum_of_masses_kg", "lift.whole", masses_kg=every).id,
        moment=moment.id if moment else None,
        anchor=anchor.id if anchor else None,
        support=support.id if (support := column_load(at)) else None,
        pressed=most.id if most else None,
        floor=floor_verdict(at, most) if most else None,
        asks=tuple(asks(at)),
    )  # fmt: skip


def pieces(at: Placed) -> Iterator[Piece]:
    """Arm, what it stands on, cabinets, presenter, outfeed, guard; what has no mass in the catalogue is left out."""
    arms = 2 if at.post.concept.sharing is not None else 1
    yield Piece(title=at.post.arm.title, mass=whole_arm(at), count=arms)
    yield from on_what(at, arms)
    yield Piece(title=at.gripper.title, mass=at.gripper.figures["mass_kg"], count=arms)
    control = at.of(at.post.arm, "control_kg")
    if control is not None:
        yield Piece(title=CONTROL, mass=control, count=arms)
    yield Piece(title=CABINET, mass=at.post.figure("cell_cabinet_kg"))
    for each in (at.post.concept.presenter, at.post.concept.outfeed):
        if each is not None and each.id not in MASSLESS and "mass_kg" in each.figures:
            yield Piece(title=each.title, mass=each.figures["mass_kg"], pressure=laden(at, each))
    yield from guard(at)


def told(component: Component, names: tuple[str, ...]) -> bool:
    """Whether a component has all of these figures: a shop's own may lack masses, and is left out of the sums then."""
    return set(names) <= set(component.figures)


def hangs(at: Placed) -> bool:
    """Whether the arm hangs from a beam."""
    return at.layout is not None and at.layout.overhead is not None


def whole_arm(at: Placed) -> Fact:
    """The arm with its foot, without its control."""
    return at.post.apply(
        "whole_arm_kg", "lift.arm", moving_kg=at.post.arm.figures["moving_mass_kg"],
        whole_over_moving=at.post.figure("arm_whole_over_moving"),
    )  # fmt: skip


def flange_load(at: Placed) -> Fact | None:
    """Gripper and parts on the flange, as the check of the payload has them."""
    found = at.verdict("payload")
    return at.sheet[found.demand] if found is not None and found.demand in at.sheet else None


def on_what(at: Placed, arms: int) -> Iterator[Piece]:
    """Pedestal, stand, track or beam with its columns, and a carriage for each arm."""
    mount = at.mount
    if hangs(at):
        yield from beam(at) if told(mount, OF_BEAM) else ()
    elif told(mount, OF_TRACK) and at.layout is not None and at.layout.track:
        track = at.post.apply(
            "mass_by_length_kg", "lift.track", mass_kg=mount.figures["mass_kg"],
            by_length_kg_m=mount.figures["mass_per_m"], length_m=at.sheet[at.layout.track],
            included_m=mount.figures["travel_m"],
        )  # fmt: skip
        yield Piece(title=mount.title, mass=track, pressure=under_arm(at, track), split=True)
    else:
        own = mount.figures.get("mass_kg") or mount.figures.get("stand_kg")
        if own is not None:
            yield Piece(title=mount.title, mass=own, pressure=under_arm(at, own))
    if "carriage_kg" in mount.figures:
        yield Piece(title=CARRIAGE, mass=mount.figures["carriage_kg"], count=arms)


def under_arm(at: Placed, own: Fact) -> Fact:
    """Of what an arm stands on, with the arm and its load."""
    load, carriage = flange_load(at), at.mount.figures.get("carriage_kg")
    masses = tuple(each for each in (own, whole_arm(at), carriage, load) if each is not None)
    spot = next(iter(at.spots("track")), None)
    sides = {
        "length_m": at.sheet[spot.width_m] if spot else at.mount.figures["footprint_length_m"],
        "width_m": at.sheet[spot.depth_m] if spot else at.mount.figures["footprint_width_m"],
    }
    together = at.post.apply("sum_of_masses_kg", "lift.on_foot", masses_kg=masses)
    return at.post.apply("floor_pressure_pa", "pressure.foot", mass_kg=together, **sides)


def beam(at: Placed) -> Iterator[Piece]:
    """The beam as long as it is drawn, in pieces, and its columns."""
    spot = next(iter(at.spots("beam")), None)
    if spot is not None:
        length = at.post.apply(
            "greatest_of_lengths_m", "lift.beam_length", lengths_m=(at.sheet[spot.width_m], at.sheet[spot.depth_m])
        )
        long = at.post.apply(
            "mass_by_length_kg", "lift.beam", mass_kg=at.post.figure("nothing_kg"),
            by_length_kg_m=at.mount.figures["mass_per_m"], length_m=length,
        )  # fmt: skip
        yield Piece(title=BEAM, mass=long, split=True)
    load = column_load(at)
    under = at.post.apply(
        "plate_pressure_pa", "pressure.column", force_n=load, side_m=at.mount.figures["foot_plate_m"]
    ) if load is not None else None  # fmt: skip
    columns = len(at.spots("column"))
    if columns:
        yield Piece(title=COLUMN, mass=at.mount.figures["column_kg"], count=columns, pressure=under)


def laden(at: Placed, each: Component) -> Fact | None:
    """Of a presenter or outfeed with all that it bears; None without a base or a load."""
    figures = each.figures
    if "mass_max_kg" not in figures or not figures["footprint_length_m"].value:
        return None
    full = at.post.apply(
        "laden_kg", f"lift.{each.kind}.laden", mass_kg=figures["mass_kg"],
        layers=figures.get("layers") or at.post.figure("one_layer"), load_kg=figures["mass_max_kg"],
    )  # fmt: skip
    return at.post.apply(
        "floor_pressure_pa", f"pressure.{each.kind}", mass_kg=full, length_m=figures["footprint_length_m"],
        width_m=figures["footprint_width_m"],
    )  # fmt: skip


def guard(at: Placed) -> Iterator[Piece]:
    """The fence by its length with its gates, or the devices."""
    component = at.post.concept.safeguarding
    assert component is not None
    stretches = [each for each in (at.drawn.fence if at.drawn is not None else ()) if each.name == "fence"]
    if not stretches or not told(component, OF_FENCE):
        if "mass_kg" in component.figures and "mass_per_m" not in component.figures:
            yield Piece(title=component.title, mass=component.figures["mass_kg"])
        return
    run = at.post.apply(
        "run_of_pieces_m", "fence_length",
        **{f"{end}s_m": tuple(at.sheet[getattr(each, f"{end}_m")] for each in stretches)
           for end in ("x", "y", "to_x", "to_y")},
    )  # fmt: skip
    whole = at.post.apply(
        "mass_by_length_kg", "lift.fence", mass_kg=component.figures["mass_kg"],
        by_length_kg_m=component.figures["mass_per_m"], length_m=run,
    )  # fmt: skip
    yield Piece(title=component.title, mass=whole, split=True)


def foot_moment(at: Placed) -> Fact | None:
    """The moment at the foot of an arm that stands; None of one that hangs, or without a known load."""
    load = flange_load(at)
    if load is None or hangs(at):
        return None
    return at.post.apply(
        "foot_moment_nm", "foot.moment", moving_kg=at.post.arm.figures["moving_mass_kg"],
        centre_share=at.post.figure("moving_centre_share"), load_kg=load, reach_m=at.post.arm.figures["reach_m"],
        dynamic_factor=at.post.figure("foot_load_factor"),
    )  # fmt: skip


def anchor_pull(at: Placed, moment: Fact | None) -> Fact | None:
    """What it pulls at each anchor of a pedestal or stand; a track has many, and is left to its maker."""
    on_foot = f"concepts.{at.post.concept.id}.safeguarding.lift.on_foot"
    if moment is None or "carriage_kg" in at.mount.figures or on_foot not in at.sheet:
        return None
    return at.post.apply(
        "anchor_pull_n", "foot.anchor", moment_nm=moment, mass_kg=at.sheet[on_foot],
        spacing_m=at.post.figure("anchor_spacing_m"),
    )  # fmt: skip


def column_load(at: Placed) -> Fact | None:
    """What comes down on one column with the carriage above it; of two arms both carriages."""
    load, over = flange_load(at), at.layout.overhead if at.layout is not None else None
    if over is None or load is None or not told(at.mount, (*OF_BEAM, "carriage_kg")):
        return None
    riding = (at.mount.figures["carriage_kg"], whole_arm(at), load)
    arms = 2 if at.post.concept.sharing is not None else 1
    moving = at.post.apply(
        "moving_load_n", "foot.moving", dynamic_factor=at.post.figure("moving_load_factor"),
        mass_kg=at.post.apply("sum_of_masses_kg", "foot.riding", masses_kg=riding * arms),
    )  # fmt: skip
    return at.post.apply(
        "support_load_n", "foot.support", moving_n=moving, by_length_kg_m=at.mount.figures["mass_per_m"],
        span_m=at.sheet[over.span], support_kg=at.mount.figures["column_kg"],
    )  # fmt: skip


def floor_verdict(at: Placed, most: Fact) -> Verdict | None:
    """The greatest pressure against what the floor bears; None where nobody told that."""
    bears = at.inquiry.wishes.floor_load_pa
    if bears is None:
        return None
    name = f"concepts.{at.post.concept.id}.safeguarding.floor_load.margin"
    margin = apply(at.sheet, "margin_share", name, demand=most, limit=bears)
    holds = margin.value >= 0.0
    words = (
        f"What presses hardest on the floor does so with [[{most.id}|floor_load]] over its base, and "
        f"[[{bears.id}|floor_load]] of spread load are told for it"
    )
    ill = ": a plate or beams that spread the load, another place, or a structural engineer's figure for this very spot"
    return Verdict(
        concept=at.post.concept.id, check="floor_load", holds=holds, kills=False, demand=most.id, limit=bears.id,
        margin=margin.id, words=f"{words}{'' if holds else ill}.", formula="floor_pressure_pa", coarse=True,
        caution=REGISTER["floor_pressure_pa"].caution,
    )  # fmt: skip


def asks(at: Placed) -> Iterator[Brought]:
    """What has to be brought before the order."""
    rules = at.rules.delivery
    yield rules["lifts"]
    if at.inquiry.wishes.floor_load_pa is None:
        yield rules["bearing"]
    yield rules["columns" if hangs(at) else "anchors"]

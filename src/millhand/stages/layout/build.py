"""The coarse layout of a concept: spots on the floor, distances, the floor it takes, the parts it holds."""

from itertools import combinations

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component, Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout, Spot
from millhand.model.walk import facts_in
from millhand.stages.layout.arrangement import Arrangement, arm_distances, arrangement, returns, track_travel
from millhand.stages.layout.ground import Door, Ground, Spot2, back, doors, middle, moved, numbered
from millhand.stages.layout.pockets import pockets
from millhand.trace import Sheet, apply

COARSE = (
    "Coarse: drawn from spacings and from usual room before a door, not measured. Columns, crane, doors that swing, "
    "escape routes and the room that safeguarding asks for have to be looked at on site."
)


def layout(inquiry: Inquiry, concept: Concept, catalogue: Catalogue, sheet: Sheet) -> Layout:
    """Where things stand as far as the concept stage knows: today's walks, or an arm before its machines."""
    ground = Ground(sheet=sheet, inquiry=inquiry, concept=concept, catalogue=catalogue)
    sheet.extend(facts_in(inquiry))
    sheet.extend(facts_in(concept))
    return cell_layout(ground) if concept.kind == "cell" else hand_layout(ground)


def hand_layout(ground: Ground) -> Layout:
    """People walk the same way between any two places; nothing new takes floor."""
    sheet = ground.sheet
    walk = apply(
        sheet, "walked_m", "layout.walk",
        time_s=ground.inquiry.today.walk_s, speed_m_s=ground.figure("walk_speed_m_s"),
    )  # fmt: skip
    places = ("presenter", *(name for name, _, _ in numbered(ground.inquiry)), "outfeed", "home")
    area = apply(
        sheet, "floor_area_m2", f"concepts.{ground.concept.id}.layout.floor_area",
        lengths_m=(), widths_m=(), walkway_m=ground.figure("aisle_m"),
    )  # fmt: skip
    return Layout(
        concept=ground.concept.id,
        spots=tuple(machine_spot(ground, door) for door in doors(ground)),
        distances={f"{a} {b}": walk.id for a, b in combinations(places, 2)},
        floor_area=area.id,
        words=COARSE,
    )


def cell_layout(ground: Ground) -> Layout:
    """An arm with what stands round it."""
    plan = arrangement(ground)
    ways = arm_distances(ground, plan)
    tracked = plan.prefix == "track"
    travel = track_travel(ground, ways, plan) if tracked else None
    pieces = cell_pieces(ground, plan, travel)
    return Layout(
        concept=ground.concept.id,
        spots=(*(machine_spot(ground, door) for door in plan.doors), *pieces),
        distances={pair: fact.id for pair, fact in ways.items()},
        floor_area=floor_area(ground, pieces, plan.doors).id,
        pockets=pockets(ground).id,
        track=travel.id if travel is not None else "",
        words=COARSE,
    )


def machine_spot(ground: Ground, door: Door) -> Spot:
    """A machine's rectangle behind its door plane."""
    sheet, depth = ground.sheet, ground.figure("machine_depth_m")
    width = apply(sheet, "sum_of_lengths_m", "layout.machine_width", lengths_m=(ground.figure("machine_width_m"),))
    rear = moved(sheet, f"{door.name}.rear", door.at, depth, back(door.faces))
    centre = middle(sheet, f"{door.name}.middle", (door.at, rear))
    return rectangle(door.name, centre, (depth, width) if door.faces[0] else (width, depth))


def rectangle(name: str, centre: Spot2, sides: tuple[Fact, Fact]) -> Spot:
    """A spot by its middle and its two sides."""
    return Spot(name=name, x_m=centre.x.id, y_m=centre.y.id, width_m=sides[0].id, depth_m=sides[1].id)


def cell_pieces(ground: Ground, plan: Arrangement, travel: Fact | None) -> tuple[Spot, ...]:
    """Presenter, outfeed and the arm's mount; what takes no floor is left out."""
    concept = ground.concept
    presenter, outfeed, mount = concept.presenter, concept.outfeed, concept.mount
    assert presenter is not None
    assert outfeed is not None
    assert mount is not None
    found = [rectangle("presenter", plan.spots["presenter"], footprint(presenter))] if takes_floor(presenter) else []
    if takes_floor(outfeed) and not returns(ground):
        found.append(rectangle("outfeed", plan.spots["outfeed"], footprint(outfeed)))
    length, width = footprint(mount)
    return (*found, rectangle("arm", plan.base, (track_length(ground, mount, travel) if travel else length, width)))


def takes_floor(component: Component) -> bool:
    """Whether there is anything to stand on the floor."""
    return component.figures["footprint_length_m"].value > 0.0


def footprint(component: Component) -> tuple[Fact, Fact]:
    """Length and width on the floor."""
    return component.figures["footprint_length_m"], component.figures["footprint_width_m"]


def track_length(ground: Ground, mount: Component, travel: Fact) -> Fact:
    """Length of the track on the floor: the travel needed here, and what the built one is longer than its travel."""
    ends = apply(
        ground.sheet, "difference_m", "layout.track.ends",
        length_m=mount.figures["footprint_length_m"], less_m=mount.figures["travel_m"],
    )  # fmt: skip
    return apply(ground.sheet, "sum_of_lengths_m", "layout.track.length", lengths_m=(travel, ends))


def floor_area(ground: Ground, pieces: tuple[Spot, ...], fronts: tuple[Door, ...]) -> Fact:
    """Floor of all that is new, with the room that the safeguarding keeps free round it; all that a fence encloses."""
    guard = ground.concept.safeguarding
    assert guard is not None
    sheet = ground.sheet
    if guard.id == "fence":
        point = apply(sheet, "sum_of_lengths_m", "layout.door_extent", lengths_m=())
        sizes = [(sheet[piece.width_m], sheet[piece.depth_m]) for piece in pieces] + [(point, point) for _ in fronts]
        return apply(
            sheet, "enclosed_area_m2", f"concepts.{ground.concept.id}.layout.floor_area",
            xs_m=(*(sheet[piece.x_m] for piece in pieces), *(door.at.x for door in fronts)),
            ys_m=(*(sheet[piece.y_m] for piece in pieces), *(door.at.y for door in fronts)),
            lengths_m=tuple(length for length, _ in sizes), widths_m=tuple(width for _, width in sizes),
            margin_m=guard.figures["margin_m"],
        )  # fmt: skip
    return apply(
        sheet, "floor_area_m2", f"concepts.{ground.concept.id}.layout.floor_area",
        lengths_m=tuple(sheet[piece.width_m] for piece in pieces),
        widths_m=tuple(sheet[piece.depth_m] for piece in pieces),
        walkway_m=guard.figures["margin_m"],
    )  # fmt: skip

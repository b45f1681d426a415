"""The layout of a concept: where each piece stands, how the arm gets to its targets, floor, and the parts it holds."""

import math
from itertools import combinations

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component, Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout, Spot
from millhand.model.walk import facts_in
from millhand.solvers.placing.feet import foot_rect
from millhand.solvers.placing.people import fence_of
from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.ways import free_plan
from millhand.stages.layout.arranged import arranged, arrangements_told
from millhand.stages.layout.drawn import drawn
from millhand.stages.layout.further import more_fence, moved_corners, with_fence
from millhand.stages.layout.ground import Door, Ground, Spot2, back, doors, middle, moved, numbered
from millhand.stages.layout.outline import outline
from millhand.stages.layout.overhead import columns, on_floor
from millhand.stages.layout.people import fence_gap, gaps_to_people, more_gates, outside, walks
from millhand.stages.layout.placing import (
    PLACED,
    Stage,
    limits_of_axes,
    moves,
    nearest,
    options,
    reaches,
    stops,
    tool_speed,
    ways_in,
)
from millhand.stages.layout.pockets import pockets
from millhand.stages.layout.ranges import ranges
from millhand.stages.layout.site import kit_of, widths_of
from millhand.trace import Sheet, apply, found

NARROWED = "follows from the spacing of the machines, which leaves less than the usual width"
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
        spots=machine_spots(ground, doors(ground)),
        distances={f"{a} {b}": walk.id for a, b in combinations(places, 2)},
        floor_area=area.id,
        words=COARSE,
    )


def cell_layout(ground: Ground) -> Layout:
    """An arm with what stands round it, placed by search."""
    kit = kit_of(ground)
    tried = arranged(ground, kit)
    fronts, plans, site = tried[0].fronts, tried[0].plans, tried[0].site
    enough_m = ground.figure("arm_clearance_m").value
    free = free_plan(kit, site, limits_of_axes(ground, kit), enough_m, tool_speed(ground))
    free = with_fence(ground, kit, site, free)
    stage = Stage(ground=ground, kit=kit, site=site, plan=free.plan)
    at = stops(free)
    travel = stage.fact("track.travel", free.plan.track_m, "m", PLACED) if kit.on_track else None
    pieces = cell_pieces(stage, travel)
    spots = (*machine_spots(ground, fronts), *pieces)
    fence = fence_of(kit, site, free.plan)
    picture = drawn(stage, fronts, spots, fence)
    more_gates(stage, fence)
    more_fence(stage)
    gaps_to_people(stage, free, fence)
    spans, turns = ranges(stage, fronts)
    return Layout(
        concept=ground.concept.id,
        spots=spots,
        distances=track_ways(stage) if kit.on_track else {},
        reach=tuple(reaches(stage, spans)),
        moves=moves(stage, free),
        ways_in=ways_in(stage, at),
        options=tuple(options(stage, (*plans[: free.number], *plans[free.number + 1 :]))),
        arrangements=tuple(arrangements_told(ground, tried)),
        nearest=nearest(stage),
        floor_area=(
            floor_area(ground, on_floor(stage, pieces)) if fence is None else fenced_floor(stage, pieces, fronts)
        ).id,
        outline=outline(stage, picture, pieces),
        pockets=pockets(ground).id,
        track=travel.id if travel is not None else "",
        walks=tuple(walks(stage)),
        turns=turns,
        fence_gap=fence_gap(stage, free, fence),
        overhead=picture.overhead,
        drawn=picture,
        words=COARSE,
    )


def track_ways(stage: Stage) -> dict[str, str]:
    """How far the foot goes along the track between any two places; two arms have no home but where they wait."""
    feet = dict(stage.plan.feet)
    if stage.kit.pair is None:
        feet["home"] = feet["presenter"]
    return {
        f"{a} {b}": stage.fact(f"track.{a}.{b}", math.dist(feet[a][:2], feet[b][:2]), "m", PLACED).id
        for a, b in combinations(feet, 2)
    }


def machine_spots(ground: Ground, fronts: tuple[Door, ...]) -> tuple[Spot, ...]:
    """Every machine: as wide as usual, or as its neighbours leave it."""
    usual = apply(
        ground.sheet, "sum_of_lengths_m", "layout.machine_width", lengths_m=(ground.figure("machine_width_m"),)
    )
    widths = zip(fronts, widths_of(ground, fronts), strict=True)
    return tuple(
        machine_spot(ground, door, usual if width_m == usual.value else narrowed(ground, door, width_m))
        for door, width_m in widths
    )


def narrowed(ground: Ground, door: Door, width_m: float) -> Fact:
    """The width of a machine whose neighbours leave it less than usual."""
    fact_id = f"layout.{door.under}{door.name}.width"
    return found(ground.sheet, Fact(id=fact_id, value=width_m, unit="m", basis="computed", source=NARROWED))


def machine_spot(ground: Ground, door: Door, width: Fact) -> Spot:
    """A machine's rectangle behind its door plane."""
    sheet, depth = ground.sheet, ground.figure("machine_depth_m")
    rear = moved(sheet, f"{door.under}{door.name}.rear", door.at, depth, back(door.faces))
    centre = middle(sheet, f"{door.under}{door.name}.middle", (door.at, rear))
    return rectangle(door.name, centre, (depth, width) if door.faces[0] else (width, depth))


def rectangle(name: str, centre: Spot2, sides: tuple[Fact, Fact]) -> Spot:
    """A spot by its middle and its two sides."""
    return Spot(name=name, x_m=centre.x.id, y_m=centre.y.id, width_m=sides[0].id, depth_m=sides[1].id)


def cell_pieces(stage: Stage, travel: Fact | None) -> tuple[Spot, ...]:
    """Presenter, outfeed and the arm's mount; what takes no floor is left out."""
    plan, found_pieces = stage.plan, []
    for stood in (plan.presenter, plan.outfeed):
        if stood is not None:
            found_pieces.append(spot(stage, stood.rect))
    mount = stage.ground.concept.mount
    assert mount is not None
    if travel is None:
        first = plan.feet[stage.site.doorways[0].name]
        return (*found_pieces, spot(stage, foot_rect(stage.kit, first)))
    rect = plan.arm
    length = track_length(stage, mount, travel)
    along_x = rect.width_m >= rect.depth_m
    x, y = (stage.fact(f"arm.{axis}", at, "m", PLACED) for axis, at in (("x", rect.x_m), ("y", rect.y_m)))
    width = mount.figures["footprint_width_m"]
    sides = (length, width) if along_x else (width, length)
    return (
        *found_pieces,
        *columns(stage),
        Spot(name="arm", x_m=x.id, y_m=y.id, width_m=sides[0].id, depth_m=sides[1].id),
    )


def spot(stage: Stage, rect: Rect) -> Spot:
    """A placed rectangle."""
    name = rect.name
    measures = {"x": rect.x_m, "y": rect.y_m, "width": rect.width_m, "depth": rect.depth_m, "height": rect.height_m}
    ids = {key: stage.fact(f"{name}.{key}", value, "m", PLACED).id for key, value in measures.items()}
    return Spot(
        name=name, x_m=ids["x"], y_m=ids["y"], width_m=ids["width"], depth_m=ids["depth"], height_m=ids["height"]
    )


def track_length(stage: Stage, mount: Component, travel: Fact) -> Fact:
    """Length of the track on the floor: the travel needed here, and what the built one is longer than its travel."""
    sheet = stage.ground.sheet
    ends = apply(
        sheet, "difference_m", f"layout.{mount.id}.ends",
        length_m=mount.figures["footprint_length_m"], less_m=mount.figures["travel_m"],
    )  # fmt: skip
    return apply(
        sheet, "sum_of_lengths_m", f"concepts.{stage.ground.concept.id}.layout.track.length", lengths_m=(travel, ends)
    )


def floor_area(ground: Ground, pieces: tuple[Spot, ...]) -> Fact:
    """Floor of all that is new, with the room that the safeguarding keeps free round it."""
    guard, sheet = ground.concept.safeguarding, ground.sheet
    assert guard is not None
    return apply(
        sheet, "floor_area_m2", f"concepts.{ground.concept.id}.layout.floor_area",
        lengths_m=tuple(sheet[piece.width_m] for piece in pieces),
        widths_m=tuple(sheet[piece.depth_m] for piece in pieces),
        walkway_m=guard.figures["margin_m"],
    )  # fmt: skip


def fenced_floor(stage: Stage, pieces: tuple[Spot, ...], fronts: tuple[Door, ...]) -> Fact:
    """Floor inside the fence as it runs: the rectangle round all that is new, less what the fence leaves out."""
    guard, sheet = stage.ground.concept.safeguarding, stage.ground.sheet
    assert guard is not None
    under = f"concepts.{stage.ground.concept.id}.layout"
    new = on_floor(stage, pieces)
    point = apply(sheet, "sum_of_lengths_m", "layout.door_extent", lengths_m=())
    corners = moved_corners(stage)
    sizes = [(sheet[piece.width_m], sheet[piece.depth_m]) for piece in new]
    sizes += [(point, point)] * (len(fronts) + len(corners))
    whole = apply(
        sheet, "enclosed_area_m2", f"{under}.fence.rectangle",
        xs_m=(*(sheet[piece.x_m] for piece in new), *(door.at.x for door in fronts), *(x for x, _ in corners)),
        ys_m=(*(sheet[piece.y_m] for piece in new), *(door.at.y for door in fronts), *(y for _, y in corners)),
        lengths_m=tuple(length for length, _ in sizes), widths_m=tuple(width for _, width in sizes),
        margin_m=guard.figures["margin_m"],
    )  # fmt: skip
    left_out = outside(stage)
    return apply(sheet, "area_inside_m2", f"{under}.floor_area", whole_m2=whole, outside_m2=left_out)

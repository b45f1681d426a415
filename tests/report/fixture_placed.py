"""Where the fixture study's cell stands and how its cycle is made up: by hand, every number on the sheet."""

from collections.abc import Callable

from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Foot, Layout, Opening, Option, Reach, Spot
from millhand.model.timing import Element, OperationTiming, Timing
from millhand.trace import Sheet, apply

Number = Callable[..., Fact]
DOORS = (0.0, 2.7)  # m, where the two doors' middles lie
PIECES = {  # middle x, y, width, depth, height [m]
    "machine_1": (0.0, 1.1, 2.4, 2.2, None),
    "machine_2": (2.7, 1.1, 2.4, 2.2, None),
    "presenter": (0.95, -1.65, 1.5, 1.2, 1.1),
    "presenter stand": (0.65, -1.65, 0.9, 1.2, None),
    "arm": (1.35, -0.6, 0.6, 0.6, None),
    "fence": (1.35, -0.925, 4.05, 3.65, None),
}
STANDING = {"door opens": 5.0, "way in": 2.25, "jaws open": 0.75, "door closes": 5.0}
ALONE = {"at presenter and outfeed": 8.5, "ways": 6.5}
PROCESS = 380.0


def placed(sheet: Sheet, concept: str, number: Number, *, area: str) -> Layout:
    """The layout with all that is drawn of it."""

    def m(name: str, value: float, unit: str = "m") -> str:
        return str(number(sheet, f"concepts.{concept}.layout.{name}", value, unit).id)

    def spot(name: str, row: tuple[float, float, float, float, float | None]) -> Spot:
        at = [m(f"{name.replace(' ', '_')}.{n}", value) for n, value in enumerate(row[:4])]
        height = m(f"{name}.height", row[4]) if row[4] is not None else ""
        return Spot(name=name, x_m=at[0], y_m=at[1], width_m=at[2], depth_m=at[3], height_m=height)

    spots = {name: spot(name, row) for name, row in PIECES.items()}
    line = m("row", 0.0)
    size = {key: m(f"door.{key}", value) for key, value in
            {"width": 0.8, "sill": 0.75, "top": 1.55, "depth": 0.55, "height": 1.05}.items()}  # fmt: skip
    drawn = Drawn(
        pieces=tuple(spots.values()),
        openings=tuple(
            Opening(machine=f"machine_{n}", faces="south", x_m=m(f"door.{n}.x", x), y_m=line, **size)
            for n, x in enumerate(DOORS, start=1)
        ),
        feet=(Foot(place="arm", x_m=spots["arm"].x_m, y_m=spots["arm"].y_m),),
        people=(spot("people", (-0.2, -1.65, 0.8, 1.2, None)),),
        worst="machine_2", machine_height=m("machine_height", 2.2), before_door=m("before_door", 0.5),
        foot_height=m("foot_height", 0.7), shoulder=m("shoulder", 1.2), reach=m("reach_of_arm", 1.8),
        hand=m("hand", 0.2), margin=m("margin", 0.5),
    )  # fmt: skip
    reach = (
        Reach(target="machine_1", slack=m("reach.1", 0.21), room=m("room.1", 0.62, "rad"), joint=5,
              gap=m("gap.1", 0.031), beside="door frame"),
        Reach(target="machine_2", slack=m("reach.2", -0.02)),
    )  # fmt: skip
    option = Option(x_m=m("option.x", 1.2), y_m=m("option.y", -0.75), score=m("option.score", 0.4, "1"),
                    travel=m("option.travel", 2.5, "rad"), floor=m("option.floor", 12.0, "m2"))  # fmt: skip
    stood = tuple(each for name, each in spots.items() if name not in ("fence", "presenter stand"))
    return Layout(
        concept=concept, spots=stood, reach=reach, options=(option,), drawn=drawn, floor_area=area,
        words="The arm stands between both mills.",
    )  # fmt: skip


def timed(sheet: Sheet, concept: str, number: Number) -> Timing:
    """Four elements in which the machine stands and two of the arm alone."""
    top = f"concepts.{concept}.timing"

    def s(name: str, value: float) -> Fact:
        fact: Fact = number(sheet, f"{top}.{name.replace(' ', '_')}", value, "s", ends=(value * 0.8, value * 1.3))
        return fact

    standing = {name: s(name, value) for name, value in STANDING.items()}
    alone = {name: s(name, value) for name, value in ALONE.items()}
    gap = apply(sheet, "attendant_work_s", f"{top}.gap", elements_s=tuple(standing.values()))
    bound = apply(sheet, "attendant_work_s", f"{top}.exchange", elements_s=(standing["way in"], standing["jaws open"]))
    work = apply(sheet, "attendant_work_s", f"{top}.work", elements_s=(bound, *alone.values()))
    process = s("process", PROCESS)
    cycle = apply(sheet, "machine_bound_cycle_s", f"{top}.cycle", machining_s=process, gap_s=gap)
    elements = (
        *(Element(name=name, time=fact.id, side="machine stands") for name, fact in standing.items()),
        *(Element(name=name, time=fact.id, side="arm alone") for name, fact in alone.items()),
    )
    operation = OperationTiming(
        operation="mill", process=process.id, lead=standing["door opens"].id, exchange=bound.id,
        tail=standing["door closes"].id, gap=gap.id, other=alone["at presenter and outfeed"].id,
        travel=alone["ways"].id, work=work.id, parts_per_load=s("parts", 1.0).id, elements=elements, cycle=cycle.id,
    )  # fmt: skip
    return Timing(
        concept=concept, part="bracket", operations=(operation,), places=("presenter", "machine_1", "outfeed")
    )

"""The floor plan of one concept while it is drawn: places of doors, what lies before and behind them."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine, MachinePlace
from millhand.model.pool import each_of
from millhand.trace import Sheet, apply

# Which way a door looks: step along x, step along y.
FACES = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}
Step = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What the drawing needs. Facts that several concepts share stand under `layout.`, not under a concept."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    catalogue: Catalogue

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet."""
        fact = self.catalogue.figures[name]
        self.sheet.add(fact)
        return fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot2:
    """A point of the plan."""

    x: Fact
    y: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """The middle of one machine's door plane, and which way it looks."""

    name: str  # machine_1 ...
    machine: Machine
    at: Spot2
    faces: Step
    under: str = ""  # before the name in its facts, where it does not stand in the row that is drawn from spacings


def numbered(inquiry: Inquiry) -> Iterator[tuple[str, Machine, int]]:
    """All machines in the inquiry's order: place name, kind, and number within the kind."""
    of_name: dict[str, int] = {}
    for total, machine in enumerate(each_of(inquiry.machines), start=1):
        of_name[machine.name] = of_name.get(machine.name, 0) + 1
        yield f"machine_{total}", machine, of_name[machine.name]


def doors(ground: Ground) -> tuple[Door, ...]:
    """Every door: where the shop said, if it said so for all machines; else in one row, all doors looking south."""
    places = {(place.machine, place.number): place for place in ground.inquiry.places}
    machines = tuple(numbered(ground.inquiry))
    if all((machine.name, number) in places for _, machine, number in machines):
        return tuple(given_door(name, machine, places[machine.name, number]) for name, machine, number in machines)
    line = apply(ground.sheet, "sum_of_lengths_m", "layout.row.y", lengths_m=())
    found: list[Door] = []
    steps: list[Fact] = []
    for name, machine, _ in machines:
        x = apply(ground.sheet, "sum_of_lengths_m", f"layout.{name}.x", lengths_m=tuple(steps))
        found.append(Door(name=name, machine=machine, at=Spot2(x=x, y=line), faces=FACES["south"]))
        steps.append(machine.spacing_m)
    return tuple(found)


def given_door(name: str, machine: Machine, place: MachinePlace) -> Door:
    """A door that the shop has placed."""
    return Door(name=name, machine=machine, at=Spot2(x=place.x_m, y=place.y_m), faces=FACES[place.faces.value])


def moved(sheet: Sheet, name: str, spot: Spot2, by: Fact, step: Step) -> Spot2:
    """A spot moved by a length along a step of the plan; a coordinate that does not change stays the same fact."""
    x, y = (
        along(sheet, f"layout.{name}.{axis}", coordinate, by, sign)
        for axis, coordinate, sign in (("x", spot.x, step[0]), ("y", spot.y, step[1]))
    )
    return Spot2(x=x, y=y)


def along(sheet: Sheet, fact_id: str, coordinate: Fact, by: Fact, sign: int) -> Fact:
    """A coordinate moved by a length forwards, backwards or not at all."""
    if sign > 0:
        return apply(sheet, "sum_of_lengths_m", fact_id, lengths_m=(coordinate, by))
    if sign < 0:
        return apply(sheet, "difference_m", fact_id, length_m=coordinate, less_m=by)
    return coordinate


def back(step: Step) -> Step:
    """The opposite way."""
    return -step[0], -step[1]


def aside(step: Step) -> Step:
    """A quarter turn to the right, seen from above: what looks south has its side in the west."""
    return step[1], -step[0]


def middle(sheet: Sheet, name: str, spots: tuple[Spot2, ...]) -> Spot2:
    """The middle of several spots; of one spot, itself."""
    if len(spots) == 1:
        return spots[0]
    return Spot2(
        x=apply(sheet, "mean_of_lengths_m", f"layout.{name}.x", lengths_m=tuple(spot.x for spot in spots)),
        y=apply(sheet, "mean_of_lengths_m", f"layout.{name}.y", lengths_m=tuple(spot.y for spot in spots)),
    )


def distance(sheet: Sheet, name: str, a: Spot2, b: Spot2) -> Fact:
    """The straight distance between two spots."""
    return apply(sheet, "plan_distance_m", f"layout.{name}", x_m=a.x, y_m=a.y, to_x_m=b.x, to_y_m=b.y)

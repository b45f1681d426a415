"""The arms of a cell: one, or two that share a track, with their ways, where they wait, and what each of them does."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from millhand.model.cell import Attendant, MoveTable, Place, Track
from millhand.model.concept import Component, Concept
from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.model.machine import Machine
from millhand.stages.cells.shared import Draft, fills_itself

DIGITS = 3  # of a place along a track: to the millimetre
Rule = Literal["first_to_finish", "nearest"]  # near ones first: so two arms are seldom in each other's way
WAITING = ("parking_1", "parking_2")


@dataclass(frozen=True, slots=True, kw_only=True)
class Arms:
    """Everything of a cell that there is once for each arm, and the places of all of it."""

    attendants: Mapping[str, Attendant]
    moves: Mapping[str, MoveTable]
    places: Mapping[str, Place]
    tracks: Mapping[str, Track] = field(default_factory=dict)
    rule: Rule = "first_to_finish"  # by which each chooses what to do next

    @property
    def names(self) -> tuple[str, ...]:
        """Who they are."""
        return tuple(self.attendants)


def arms_of(draft: Draft, concept: Concept, layout: Layout, machines: Mapping[str, Machine]) -> Arms:
    """One arm, or two where a second one shares the track."""
    hands, stops = hands_of(concept, machines), ("presenter", *machines, "outfeed")
    if concept.sharing is not None:
        return two_arms(draft, concept.sharing, layout, (stops, hands))
    return Arms(
        attendants={"arm1": Attendant(kind="arm", hands=hands, home="home", moves_full="arm")},
        moves={"arm": table(draft, "arm", (*stops, "home"))},
        places={name: Place() for name in (*stops, "home")},
    )


def two_arms(draft: Draft, sharing: Component, layout: Layout, served: tuple[tuple[str, ...], int]) -> Arms:
    """Two arms on one track, each with the places that it serves and one where it waits."""
    stops, hands = served
    at = {name: along(draft, layout, name) for name in (*stops, *WAITING)}
    names = ("arm1", "arm2")
    way = sharing.words["way"]
    rights = shares(way, at, stops)
    return Arms(
        rule="first_to_finish" if way == "free" else "nearest",
        attendants={
            name: Attendant(
                kind="arm", hands=hands, home=home, moves_full=name, take_from=rights[name][0], put_to=rights[name][1]
            )
            for name, home in zip(names, WAITING, strict=True)
        },
        moves={
            name: table(draft, name, (*goes_to(rights[name], stops), home))
            for name, home in zip(names, WAITING, strict=True)
        },
        places={name: Place(track_m=place) for name, place in at.items()},
        tracks={"track": Track(attendants=names, keep_m=round(draft.of(f"layout.{sharing.id}.keep").value, DIGITS))},
    )


Rights = tuple[tuple[str, ...] | None, tuple[str, ...] | None]


def shares(way: str, at: Mapping[str, float], stops: tuple[str, ...]) -> dict[str, Rights]:
    """By arm, from where it may take and to where it may put; None: anywhere."""
    machines = stops[1:-1]
    if way == "feed":
        return {"arm1": (stops[:1], machines), "arm2": (machines, stops[-1:])}
    if way == "free":
        return {"arm1": (None, None), "arm2": (None, None)}
    row = sorted(machines, key=lambda name: at[name])
    cut = (len(row) + 1) // 2
    halves = {"arm1": row[:cut], "arm2": row[cut:]}
    own = {arm: tuple(name for name in machines if name in half) for arm, half in halves.items()}
    return {arm: ((stops[0], *each), (*each, stops[-1])) for arm, each in own.items()}


def goes_to(rights: Rights, stops: tuple[str, ...]) -> tuple[str, ...]:
    """The places that an arm serves."""
    if rights == (None, None):
        return stops
    return tuple(name for name in stops if name in (*(rights[0] or ()), *(rights[1] or ())))


def along(draft: Draft, layout: Layout, name: str) -> float:
    """How far along the track a place lies, from where the first arm waits."""
    first = WAITING[0]
    if name == first:
        return 0.0
    ways = layout.distances
    return round(draft.of(ways.get(f"{first} {name}") or ways[f"{name} {first}"]).value, DIGITS)


def hands_of(concept: Concept, machines: Mapping[str, Machine]) -> int:
    """Hands of the gripper; at moulds alone one is all that there is to use."""
    if concept.gripper is None or all(fills_itself(machine) for machine in machines.values()):
        return 1
    return round(concept.gripper.figures["hands"].value)


def table(draft: Draft, name: str, places: tuple[str, ...]) -> MoveTable:
    """Travel of an arm, empty as loaded; a pair that the layout has no distance for is one spot."""
    rows = []
    for i, a in enumerate(places):
        row = []
        for j, b in enumerate(places):
            fact = travel(draft, a, b)
            if fact is not None:
                draft.note(f"/moves/{name}/empty_s/{i}/{j}", fact)
            row.append(fact.value if fact is not None else 0.0)
        rows.append(tuple(row))
    return MoveTable(places=places, empty_s=tuple(rows))


def travel(draft: Draft, a: str, b: str) -> Fact | None:
    """How long the way from one place to another takes."""
    fact_id = draft.timing.travel.get(f"{a} {b}")
    return draft.of(fact_id) if fact_id is not None else None

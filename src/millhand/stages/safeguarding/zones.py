"""Persons in the cell: slower moves of the arm, zones in which it is slowed or stopped, people who pass."""

from dataclasses import replace

from millhand.model.cell import Attendant, Cell, MoveTable, Origin, Zone
from millhand.model.duty import Duty, Trigger
from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.model.safeguarding import AT_MACHINES
from millhand.model.span import Span
from millhand.stages.safeguarding.post import Post

PASSING, PASSER = "passing", "passer"
Row = tuple[float | None, ...]


def arms_of(cell: Cell) -> dict[str, str]:
    """The arms of a cell, each with the name of its moves."""
    return {name: each.moves_full or "" for name, each in cell.attendants.items() if each.kind == "arm"}


def slow_moves(post: Post, cell: Cell, stands: Layout, speed: Fact, name: str) -> tuple[MoveTable, dict[str, Origin]]:
    """An arm's moves, by their name, with its hand no faster than allowed, and where each time came from."""
    table = cell.moves[name]
    origins: dict[str, Origin] = {}

    def slowed(field: str) -> tuple[Row, ...]:
        places = range(len(table.places))
        return tuple(
            tuple(slow_move(post, cell, stands, speed, ((name, field), i, j), origins) for j in places) for i in places
        )

    loaded = slowed("loaded_s") if table.loaded_s is not None else None
    return replace(table, empty_s=slowed("empty_s"), loaded_s=loaded), origins


def slow_move(
    post: Post, cell: Cell, stands: Layout, speed: Fact, at: tuple[tuple[str, str], int, int],
    origins: dict[str, Origin],
) -> float | None:  # fmt: skip
    """One entry of a table; one that no fact stands behind, or that has no distance, stays as it is."""
    (name, field), i, j = at
    table = cell.moves[name]
    full: float | None = getattr(table, field)[i][j]
    a, b = table.places[i], table.places[j]
    origin = cell.origins.get(f"/moves/{name}/{field}/{i}/{j}")
    distance = way_between(stands, a, b)
    if not full or origin is None or origin.factor != 1.0 or distance is None:
        return full
    fact = post.apply(
        "capped_move_s", f"slow.{field.removesuffix('_s')}.{a}.{b}",
        move_s=post.sheet[origin.fact], distance_m=post.sheet[distance], speed_m_s=speed,
        ramp_s=post.figure("arm_ramp_loaded_s"),
    )  # fmt: skip
    origins[f"{field}/{i}/{j}"] = Origin(fact=fact.id, factor=1.0)
    return fact.value


def way_between(stands: Layout, a: str, b: str) -> str | None:
    """The way whose speed is capped: of the hand as the arm swings it, of the carriage where only that goes."""
    move = stands.moves.get(f"{a} {b}") or stands.moves.get(f"{b} {a}")
    if move is not None and not stands.track:
        return move.tool
    return stands.distances.get(f"{a} {b}") or stands.distances.get(f"{b} {a}") or (move.tool if move else None)


def always_slow(post: Post, cell: Cell, stands: Layout, speed: Fact) -> Cell:
    """The cell whose arms never move faster than allowed."""
    made = cell
    for name in arms_of(cell).values():
        table, origins = slow_moves(post, cell, stands, speed, name)
        made = replace(
            made, moves={**made.moves, name: table},
            origins={**made.origins, **{f"/moves/{name}/{where}": each for where, each in origins.items()}},
        )  # fmt: skip
    return made


def slow_at_times(post: Post, cell: Cell, stands: Layout, speed: Fact) -> Cell:
    """The cell whose arms have slower moves for while somebody is in a zone."""
    made = cell
    for arm, name in arms_of(cell).items():
        table, origins = slow_moves(post, cell, stands, speed, name)
        slow = f"{name}_slow"
        made = replace(
            made, moves={**made.moves, slow: table},
            attendants={**made.attendants, arm: replace(made.attendants[arm], moves_slow=slow)},
            origins={**made.origins, **{f"/moves/{slow}/{where}": each for where, each in origins.items()}},
        )  # fmt: skip
    return made


def with_zones(post: Post, cell: Cell, *, inside: str, passing: bool) -> Cell:
    """The cell with the places where people stand: inside with the arm, and beside it.

    `inside`: stop, slow or none. A duty that holds the arm anyway needs no zone.
    """
    near = [name for name in cell.duties if name.startswith(AT_MACHINES)]
    within = post.concept.presenter is not None and post.concept.presenter.words.get("refill") == "inside"
    free = "refill" in cell.duties and cell.duties["refill"].holds != "arm"
    near += ["refill"] if within and free else []
    beside = ["refill"] if post.guard.passing and free and not within else []
    made = people_who_pass(post, cell) if passing else cell
    beside += [PASSING] if passing else []
    zones = {}
    if inside != "none" and near:
        zones["inside"] = Zone(
            duties=tuple(near), slows=dict.fromkeys(arms_of(cell), "stop" if inside == "stop" else "slow")
        )
    if beside:
        zones["beside"] = Zone(duties=tuple(beside), slows=dict.fromkeys(arms_of(cell), "slow"))
    return replace(made, zones=zones)


def people_who_pass(post: Post, cell: Cell) -> Cell:
    """The cell with people who walk through its field in working hours, and tend nothing."""
    every, takes = post.figure("passing_every_s"), post.figure("passing_takes_s")
    tender = cell.attendants["tender"]
    passer = Attendant(
        kind="operator", hands=1, home=tender.home, moves_full=tender.moves_full, calendar=tender.calendar
    )
    duty = Duty(
        trigger=Trigger(kind="clock", every=Span(dist="exponential", mean_s=every.value)), who=(PASSER,),
        priority=9, place=tender.home, takes=Span(mean_s=takes.value),
    )  # fmt: skip
    return replace(
        cell, attendants={**cell.attendants, PASSER: passer}, duties={**cell.duties, PASSING: duty},
        origins={
            **cell.origins,
            f"/duties/{PASSING}/trigger/every/mean_s": Origin(fact=every.id, factor=1.0),
            f"/duties/{PASSING}/takes": Origin(fact=takes.id, factor=1.0),
        },
    )  # fmt: skip

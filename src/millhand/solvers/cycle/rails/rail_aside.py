"""Where an attendant may rest between two visits: of all places the few nearest to its way that are clear of what the
others do meanwhile. Nothing is proven with so few; most rests that are of use are among them."""

from collections.abc import Iterator

from millhand.solvers.cycle.rails.rail_tours import Asked, Call

Spot = tuple[str, str]


def nearest_clear(asked: Asked, arm: str, calls: tuple[Call, Call], longer: int) -> list[str]:
    """The places for a rest between two visits in a row: that of the first, and the nearest that are clear of each
    visit of somebody else in between, of all of one's, of all. `longer`: by how much the period may be longer."""
    rail, (one, other) = asked.rail, calls
    since, until = window(asked, calls)
    spots = {who: list(dict.fromkeys(spots_of(asked, who, (since, until)))) for who in rail.others(arm)}
    every = [spot for own in spots.values() for spot in own]
    detours = {
        place: there + on
        for place in rail.places(arm)
        if (there := way(asked, arm, (one.place, place), one.goes_loaded)) is not None
        and (on := way(asked, arm, (place, other.place), one.goes_loaded)) is not None
        and there + on <= until - since + longer
    }
    found = {one.place}
    for clear_of in [[spot] for spot in every] + [*spots.values(), every]:
        clear = [place for place in detours if not any(rail.near((arm, place), spot) for spot in clear_of)]
        found.update(sorted(clear, key=lambda place: (detours[place], place))[:1])
    return [place for place in dict.fromkeys((one.place, *rail.places(arm))) if place in found]


def way(asked: Asked, arm: str, ends: tuple[str, str], loaded: bool) -> int | None:
    """Travel between two places, none where they are one."""
    return 0 if ends[0] == ends[1] else asked.rail.steps(arm, ends, loaded)


def window(asked: Asked, calls: tuple[Call, Call]) -> tuple[int, int]:
    """From the end of the first visit to the beginning of the next one."""
    (_, since), (until, _) = (asked.spell(call) for call in calls)
    while until < since:
        until += asked.period_steps
    return since, until


def spots_of(asked: Asked, who: str, between: tuple[int, int]) -> Iterator[Spot]:
    """Where somebody is in a stretch of time, and at its last visit before and its first one after."""
    tour, period = asked.tours[who], asked.period_steps
    spells = sorted(
        (begins + lap * period, ends + lap * period, call.place)
        for call in tour
        for begins, ends in [asked.spell(call)]
        for lap in range(-2, 4)
    )
    within = [number for number, (begins, ends, _) in enumerate(spells) if ends >= between[0] and begins <= between[1]]
    before = max((number for number, (_, ends, _) in enumerate(spells) if ends < between[0]), default=0)
    after = min((number for number, (begins, _, _) in enumerate(spells) if begins > between[1]), default=0)
    for number in [before, *within, after] if spells else []:
        yield who, spells[number][2]

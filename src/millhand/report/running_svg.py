"""The plan in which a watched shift is played, and its lanes: as they are at one moment, with names for a script."""

import json
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from millhand.model.layout import Drawn, Spot
from millhand.report.activity_svg import short
from millhand.report.drawing import LAYERS, WIDTH_OF_SIGN, Point, Words, extent
from millhand.report.drawing_svg import FILLS, Frame
from millhand.report.plan_view import OUT, Plan, on_floor
from millhand.report.running_words import plain
from millhand.report.view import clock
from millhand.solvers.played import Played

LETTERS = {680: 12.5, 340: 10.5}  # px by width
PAD = 22.0  # px round everything
TALLEST = 620.0  # px
HAND, PART, FOOT_DISC = 7.0, 9.0, 11.0  # px: a gripper's ring, a part, the disc of a foot
ASIDE = 26.0  # px from foot to hand where an arm waits
SMALL = {680: 1.0, 340: 0.72}  # how large these are, by width
LEFT_OUT = ("reach", "before doors", "words", "load positions", "pulled out", "heights")
LANE, GAP, NAME, FOOT = 20, 8, 17, 24  # px of the lanes
PATTERNS = Markup(
    '<svg class="patterns" width="0" height="0" aria-hidden="true"><defs>{}'
    '<pattern id="run-runs" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<rect width="4" height="4" class="run-solid"/></pattern>'
    '<pattern id="run-hands" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="6" height="6" class="run-ground"/><line x1="0" y1="0" x2="0" y2="6" class="run-stripe"/></pattern>'
    '<pattern id="run-waits" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<rect width="5" height="5" class="run-ground"/><circle cx="2.5" cy="2.5" r="0.9" class="run-dot"/></pattern>'
    '<pattern id="run-stands" width="7" height="7" patternUnits="userSpaceOnUse">'
    '<rect width="7" height="7" class="run-ground"/><path d="M0 0L7 7M7 0L0 7" class="run-cross"/></pattern>'
    '<pattern id="run-off" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<rect width="4" height="4" class="run-ground"/></pattern></defs></svg>'
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What is drawn of one moment: by name what each is at, how many parts it has, who is where."""

    looks: Mapping[str, tuple[str, str]]  # look and word of each machine, arm and person
    parts: Mapping[str, str]  # number beside presenters and stores
    hands: Mapping[str, tuple[str, float, float]]  # parts in hand, then where from 0 to 1 of its way
    ways: Mapping[str, tuple[str, str]]
    visits: Mapping[str, tuple[str, str]]  # of a person at work: what at, where


def fillings() -> Markup:
    """The patterns, once for a page."""
    return PATTERNS.format(FILLS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One plan while it is drawn."""

    plan: Plan
    frame: Frame
    letters: float
    size: float  # of what moves

    def at(self, point: Point) -> Point:
        """A point of the floor in px."""
        return float(self.frame.x(point[0])), float(self.frame.y(point[1]))

    def words(self, at: Point, text: str, mark: str = "", look: str = "") -> Markup:
        """Words round a point, which a script may replace."""
        return Markup('<text x="{}" y="{}" text-anchor="middle" font-size="{}"{}{}>{}</text>').format(
            short(at[0]), short(at[1]), short(self.letters),
            Markup(' data-say="{}"').format(mark) if mark else "", Markup(' class="{}"').format(look) if look else "",
            text,
        )  # fmt: skip


def scene_of(drawn: Drawn, plan: Plan, width: int) -> tuple[Scene, list[Markup], Point]:
    """The floor without words, with the scale that fits a width."""
    things = [each for each in on_floor(plan) if each.layer not in LEFT_OUT and not isinstance(each, Words)]
    low_x, low_y, high_x, high_y = extent(things)
    scale = min((width - 2 * PAD) / (high_x - low_x), (TALLEST - 2 * PAD) / (high_y - low_y))
    frame = Frame(left=low_x - PAD / scale, top=high_y + PAD / scale, scale=scale)
    order = list(LAYERS)
    shapes = [frame.shape(each) for each in sorted(things, key=lambda each: order.index(each.layer))]
    size = ((high_x - low_x) * scale + 2 * PAD + 12.0, (high_y - low_y) * scale + 2 * PAD + 12.0)
    return Scene(plan=plan, frame=frame, letters=LETTERS[width], size=SMALL[width]), shapes, size


def plan_svg(drawn: Drawn, plan: Plan, done: Played, now: Moment, *, width: int, title: str) -> Markup:
    """The plan at a moment."""
    scene, shapes, size = scene_of(drawn, plan, width)
    over = [*stations(scene, done, now), *people(scene, done, now), *arms(scene, done, now)]
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" class="plan running" viewBox="0 0 {0} {1}" width="{0}" role="img" '
        'aria-label="{2}" data-places="{3}" data-doors="{4}">{5}{6}</svg>'
    ).format(
        short(size[0]), short(size[1]), title, json.dumps(places(scene), separators=(",", ":")),
        json.dumps(visited(scene, arms_of(done)), separators=(",", ":")), Markup("").join(shapes),
        Markup("").join(over),
    )  # fmt: skip


def places(scene: Scene) -> dict[str, list[float]]:
    """Foot and hand of the arm at each place that it serves, px."""
    drawn, plan = scene.plan.drawn, scene.plan
    feet = {foot.place: plan.place(foot.x_m, foot.y_m) for foot in drawn.feet}
    usual = feet.get("presenter", next(iter(feet.values())))
    hands = {}
    for each in drawn.openings:
        (x, y), (dx, dy), deep = plan.place(each.x_m, each.y_m), OUT[each.faces], plan.value(each.depth)
        hands[each.machine] = (x - dx * deep, y - dy * deep)
    for spot in drawn.pieces:
        if spot.name in ("presenter", "outfeed"):
            hands[spot.name] = plan.place(spot.x_m, spot.y_m)
    hands.setdefault("outfeed", hands.get("presenter", usual))
    names = {*hands, *feet, "home"} - {"arm"}
    found = {}
    for name in sorted(names):
        x, y = scene.at(feet.get(name, usual))
        found[name] = [x, y, *(scene.at(hands[name]) if name in hands else (x, y - ASIDE * scene.size))]
    return found


def visited(scene: Scene, arms: Iterable[str]) -> dict[str, list[float]]:
    """Where somebody stands who works at a place, px: before a door, where presenter and outfeed are filled, at an arm.
    Whoever works at none of these is not drawn."""
    drawn, plan = scene.plan.drawn, scene.plan
    found = {}
    for each in drawn.openings:
        (x, y), (dx, dy) = plan.place(each.x_m, each.y_m), OUT[each.faces]
        side = plan.value(each.width) * 0.5
        found[each.machine] = [*scene.at((x + dx * 0.45 + dy * side, y + dy * 0.45 + dx * side))]
    for spot in drawn.people:
        at = plan.place(spot.x_m, spot.y_m)
        for name in ("presenter", "outfeed"):
            piece = plan.named(name)
            if piece is not None and (spot.name.startswith(name) or name not in found):
                found[name] = [*scene.at(at)]
    x, y = scene.at(plan.place(drawn.feet[0].x_m, drawn.feet[0].y_m))
    return found | {name: [x, y + 30.0] for name in arms}


def arms_of(done: Played) -> list[str]:
    """The names of the arms."""
    return [each.name for each in done.attendants if each.kind == "arm"]


def stations(scene: Scene, done: Played, now: Moment) -> Iterator[Markup]:
    """A field in the pattern of its state on each machine, and the numbers at presenter, outfeed and stores."""
    for track in done.stations:
        spot = scene.plan.named(f"{track.name} stand") or scene.plan.named(track.name)
        if spot is None:
            continue
        if track.kind == "process":
            yield machine(scene, spot, now.looks[track.name], now.parts.get(track.name, "0") != "0")
        else:
            x, y = scene.at(scene.plan.place(spot.x_m, spot.y_m))
            down = min(16.0, scene.plan.sides(spot)[1] * scene.frame.scale * 0.2)  # clear of the hand in its middle
            yield scene.words((x, y + down), plain(track.name))
            yield scene.words((x, y + down + scene.letters + 2.0), now.parts.get(track.name, ""), track.name, "number")


def machine(scene: Scene, spot: Spot, look: tuple[str, str], full: bool) -> Markup:
    """One machine: its name, a field with the pattern, its state in a word, and its part at the load position."""
    x, y = scene.at(scene.plan.place(spot.x_m, spot.y_m))
    sides = scene.plan.sides(spot)
    wide, high = sides[0] * scene.frame.scale, sides[1] * scene.frame.scale
    field = max(12.0, min(18.0, high * 0.16))
    fits = len(look[1]) * scene.letters * WIDTH_OF_SIGN < wide + 24.0 and high > 6.5 * scene.letters
    word = look[1] if fits else ""
    away = push(scene, spot)
    x, y = x + away[0], y + away[1]
    made = [
        scene.words((x, y - field / 2 - 5.0), plain(spot.name)),
        Markup('<rect x="{}" y="{}" width="{}" height="{}" fill="url(#run-{})" data-look="{}"/>').format(
            short(x - wide * 0.36), short(y - field / 2), short(wide * 0.72), short(field), look[0], spot.name
        ),
        scene.words((x, y + field / 2 + scene.letters), word, spot.name if fits else "", "number"),
    ]
    part = PART * scene.size
    place = places(scene).get(spot.name)
    if place:
        made.append(
            Markup('<rect x="{}" y="{}" width="{}" height="{}" class="run-part{}" data-part="{}"/>').format(
                short(place[2] - part / 2), short(place[3] - part / 2), short(part), short(part),
                "" if full else " none", spot.name,
            )
        )  # fmt: skip
    return Markup("").join(made)


def push(scene: Scene, spot: Spot) -> Point:
    """How far the words of a machine go back from its door, px."""
    door = next((each for each in scene.plan.drawn.openings if each.machine == spot.name), None)
    if door is None:
        return 0.0, 0.0
    dx, dy = OUT[door.faces]
    sides = scene.plan.sides(spot)
    return (0.0, dy * sides[1] * scene.frame.scale * 0.12) if dy else (-dx * sides[0] * scene.frame.scale * 0.1, 0.0)


def arms(scene: Scene, done: Played, now: Moment) -> Iterator[Markup]:
    """Each arm: foot, a straight line to its hand, grippers, and what is in them."""
    where = places(scene)
    number, part, hand = 0, PART * scene.size, HAND * scene.size
    for track in done.attendants:
        if track.kind != "arm":
            continue
        number += 1
        start, goal = now.ways.get(track.name, ("home", "home"))
        at = between(where.get(start, where["home"]), where.get(goal, where["home"]), now.hands[track.name][1])
        rings = Markup("").join(
            Markup('<circle cx="{}" cy="0" r="{}" class="run-hand"/><rect x="{}" y="{}" width="{}" height="{}" '
                   'class="run-part {}" data-hand="{}"/>').format(
                short(each), short(hand), short(each - part / 2), short(-part / 2), short(part), short(part),
                grip(now.hands[track.name][0], index), index,
            )
            for index, each in enumerate(spread(track.hands, hand))
        )  # fmt: skip
        yield Markup(
            '<g data-arm="{}"><line x1="{}" y1="{}" x2="{}" y2="{}" class="run-arm"/>'
            '<circle cx="{}" cy="{}" r="{}" class="run-foot"/>'
            '<text x="{}" y="{}" text-anchor="middle" font-size="{}" class="run-name">{}</text>'
            '<g class="run-grip" transform="translate({} {})">{}</g></g>'
        ).format(
            track.name, *(short(each) for each in (*at, *at[:2], FOOT_DISC * scene.size, at[0], at[1] + 4.0)),
            "11" if scene.size == 1.0 else "9", number,
            short(at[2]), short(at[3]), rings,
        )  # fmt: skip


def spread(hands: int, ring: float) -> list[float]:
    """Where the grippers stand beside each other."""
    return [(index - (hands - 1) / 2) * 2.2 * ring for index in range(hands)]


def grip(parts: str, index: int) -> str:
    """How a gripper's part looks."""
    return {"r": "raw", "b": "begun", "f": "done"}[parts[index]] if index < len(parts) else "none"


def between(start: Sequence[float], goal: Sequence[float], share: float) -> list[float]:
    """Foot and hand on the way from one place to another: the foot straight, the hand round it."""
    foot = [a + (b - a) * share for a, b in zip(start[:2], goal[:2], strict=True)]
    ends = [(each[2] - each[0], each[3] - each[1]) for each in (start, goal)]
    angles = [math.atan2(y, x) for x, y in ends]
    turn = (angles[1] - angles[0] + math.pi) % (2 * math.pi) - math.pi
    lengths = [math.hypot(*each) for each in ends]
    angle, length = angles[0] + turn * share, lengths[0] + (lengths[1] - lengths[0]) * share
    return [*foot, foot[0] + math.cos(angle) * length, foot[1] + math.sin(angle) * length]


def people(scene: Scene, done: Played, now: Moment) -> Iterator[Markup]:
    """Whoever is at work at the cell, where that is."""
    where = visited(scene, arms_of(done))
    for track in done.attendants:
        if track.kind == "arm":
            continue
        what, place = now.visits.get(track.name, ("", ""))
        x, y = where.get(place, (0.0, 0.0))
        yield Markup(
            '<g data-person="{}" class="run-person{}" transform="translate({} {})"><circle cx="0" cy="-9" r="5"/>'
            '<path d="M-8 9Q-8 -3 0 -3Q8 -3 8 9Z"/><text x="0" y="{}" text-anchor="middle" font-size="{}">{}</text></g>'
        ).format(track.name, "" if place in where else " none", short(x), short(y), short(10 + scene.letters),
                 short(scene.letters), what)  # fmt: skip


def lanes_svg(done: Played, looks: Mapping[str, str], *, window: tuple[float, float], now: float, width: int) -> Markup:
    """The states of everybody over a window of time, one lane each, with a line where the moment is."""
    tracks = lanes(done)
    start, end = window
    scale = (width - 2) / (end - start)
    height = len(tracks) * (NAME + LANE + GAP) + FOOT
    parts = []
    for index, (name, states) in enumerate(tracks):
        top = index * (NAME + LANE + GAP)
        parts.append(Markup('<text x="1" y="{}" font-size="13">{}</text>').format(top + NAME - 5, plain(name)))
        bars = Markup("").join(
            Markup('<rect x="{}" y="{}" width="{}" height="{}" fill="url(#run-{})"/>').format(
                short(1 + (since - start) * scale), top + NAME, short((until - since) * scale), LANE, looks[state]
            )
            for since, until, state in pieces(states, start, end)
        )
        parts.append(Markup('<g data-lane="{}" data-top="{}">{}</g>').format(name, top + NAME, bars))
    x, base = short(1 + (now - start) * scale), height - FOOT + 4
    ticks = Markup("").join(tick_svg(done, start + (end - start) * part / 4, part, (width, base)) for part in range(5))
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" class="lanes" viewBox="0 0 {0} {1}" width="{0}" role="img" '
        'aria-label="states over time" data-high="{2}">{3}<g class="ticks" data-base="{4}">{6}</g>'
        '<line x1="{5}" x2="{5}" y1="0" y2="{4}" class="cursor"/></svg>'
    ).format(width, height, LANE, Markup("").join(parts), base, x, ticks)


def tick_svg(done: Played, at: float, part: int, corner: tuple[int, int]) -> Markup:
    """One of five marks under the lanes, with the time of the day; on a narrow picture each other one says it."""
    x = 1 + (corner[0] - 2) * part / 4
    line = Markup('<line x1="{0}" x2="{0}" y1="{1}" y2="{2}"/>').format(short(x), corner[1] - 4, corner[1] + 2)
    if part % 2 and corner[0] < 500:
        return line
    anchor = ("start", "middle", "middle", "middle", "end")[part]
    return line + Markup('<text x="{}" y="{}" text-anchor="{}">{}</text>').format(
        short(x), corner[1] + 15, anchor, clock(done.start_s + at)
    )


def lanes(done: Played) -> list[tuple[str, tuple[tuple[float, str | int], ...]]]:
    """Machines, then arms and people, by name with their states."""
    machines = [(each.name, each.states) for each in done.stations if each.states]
    return [*machines, *((each.name, each.states) for each in done.attendants)]


def pieces(marks: Sequence[tuple[float, str | int]], start: float, end: float) -> Iterator[tuple[float, float, str]]:
    """From when to when it was at what, inside a window."""
    for number, (since, what) in enumerate(marks):
        until = marks[number + 1][0] if number + 1 < len(marks) else math.inf
        if until > start and since < end:
            yield max(since, start), min(until, end), str(what)

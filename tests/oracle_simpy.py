"""A stressed cell as a model of its own in a general library, written from the rules of the format.

One arm with two grippers tends two machines. Two operators with hours, a break and ways to walk refill the presenter
(by its level and by the clock), clear stops, free the arm after a pick that has missed to the last try, gauge after
every n-th part, and one of them is called away by chance. Nothing of the general simulation is used here: no code, no
random numbers. What the words of the format leave open is settled as by hand in tests/solvers/kernel/test_duties.py:

- a call for which the duty still waits or is being answered is not made again, except that of every n-th part;
- an idle operator stays where he is; after a break or a night he is at home again;
- with a response time he leaves as late as he may, and is free for other calls until then;
- who is on his way to a duty when his hours end turns back, and the call waits;
- of two who are free the first of the duty's `who` goes (here the first in the file too).
"""

import math
import random
from collections.abc import Generator, Iterator
from dataclasses import dataclass, field
from typing import Any

import simpy

STEP_S = 0.001
PERIOD_S = 36_000  # of the hours: two stretches with a break between them, and a pause till the next
HOURS = [[0, 14_400], [16_200, 30_600]]
WALK_PLACES = ["desk", "rack", "m1", "m2", "bench", "office"]
WALK_S = [
    [0, 15, 20, 25, 8, 60], [15, 0, 6, 9, 12, 70], [20, 6, 0, 5, 14, 75],
    [25, 9, 5, 0, 16, 80], [8, 12, 14, 16, 0, 62], [60, 70, 75, 80, 62, 0],
]  # fmt: skip
ARM_PLACES = ["rack", "m1", "m2"]
ARM_S = [[0, 3, 4], [3.5, 0, 2.5], [4.5, 2.5, 0]]
PICK_S, RETRY_S, MISS, RETRIES = 4.0, 5.0, 0.2, 1
PLACE_S, LOAD_S, LEAD_S, SWAP_S, TAIL_S = 3.0, 11.0, 1.5, 16.0, 2.5
WORK_S, WORK_CV, GOOD = 95.0, 0.25, 0.9
STOP_S, POCKETS, BELOW, EVERY = 2400.0, 40, 10, 5
PACE = {"op1": 1.0, "op2": 1.4}


@dataclass(frozen=True)
class Duty:
    """How one duty is answered."""

    who: tuple[str, ...]
    priority: int
    takes_s: float
    cv: float
    place: str | None = None  # None: at whatever called
    response_s: float = 0.0
    adds_up: bool = False


DUTIES = {
    "clear": Duty(("op1",), 1, 400, 0.6, None, 120),
    "free": Duty(("op2",), 2, 45, 0.3, "rack", 30),
    "refill": Duty(("op1", "op2"), 3, 150, 0.3, "rack"),
    "gauge": Duty(("op1", "op2"), 4, 70, 0.2, "bench", adds_up=True),
    "away": Duty(("op1",), 5, 500, 0.5, "office"),
}
AWAY_EVERY_S, REFILL_AT_S = 3000.0, 17_000.0


def on_grid(seconds: float) -> int:
    """Whole milliseconds, halves up."""
    return math.floor(seconds / STEP_S + 0.5)


def renewed(event: simpy.Event) -> simpy.Event:
    """All who wait for the event go on; the next one of its kind."""
    event.succeed()
    return simpy.Event(event.env)


class Chance:
    """A source of its own for everything that is drawn."""

    def __init__(self, key: str) -> None:
        self.key = key
        self.sources: dict[str, random.Random] = {}

    def of(self, name: str) -> random.Random:
        """The source of that name."""
        if name not in self.sources:
            self.sources[name] = random.Random(f"{self.key} {name}")
        return self.sources[name]

    def exponential(self, name: str, mean_s: float) -> int:
        """A span without memory."""
        return on_grid(self.of(name).expovariate(1 / mean_s))

    def lognormal(self, name: str, mean_s: float, cv: float) -> int:
        """A span by its mean and its coefficient of variation."""
        variance = math.log1p(cv * cv)
        return on_grid(self.of(name).lognormvariate(math.log(mean_s) - variance / 2, math.sqrt(variance)))


class States:
    """Time in each state, booked when the state changes."""

    def __init__(self, env: simpy.Environment, state: str) -> None:
        self.env, self.state, self.since = env, state, 0
        self.total: dict[str, int] = {}

    def enter(self, state: str) -> None:
        """Book the time up to now; `state` begins."""
        now = int(self.env.now)
        self.total[self.state] = self.total.get(self.state, 0) + now - self.since
        self.state, self.since = state, now


@dataclass(eq=False)
class Call:
    """Somebody is wanted."""

    duty: str
    since: int
    ready: int  # the earliest arrival of one who is elsewhere
    place: str
    caller: Any = None
    done: simpy.Event | None = None
    served: bool = field(default=False)


class Machine:
    """One machine: it works, stops, is cleared and goes on with what was left."""

    def __init__(self, shop: "Shop", name: str) -> None:
        self.shop, self.name = shop, name
        self.states = States(shop.env, "waiting")
        self.full = False
        self.ready_at: float = 0
        self.to_stop = self.draw()
        self.left = 0
        self.change: simpy.Event = shop.env.event()

    def draw(self) -> int:
        """Busy time to the next stop."""
        return self.shop.chance.exponential(f"stop {self.name}", STOP_S)

    def load(self) -> Iterator[simpy.Event]:
        """After the hold: the tail, then the work with its stops."""
        env, shop = self.shop.env, self.shop
        self.full, self.change = True, env.event()
        self.left = shop.chance.lognormal(f"work {self.name}", WORK_S, WORK_CV)
        tail = on_grid(TAIL_S)
        self.ready_at = env.now + tail + self.left
        yield env.timeout(tail)
        while True:
            self.states.enter("working")
            self.ready_at = env.now + self.left
            if self.to_stop >= self.left:
                yield env.timeout(self.left)
                self.to_stop -= self.left
                break
            yield env.timeout(self.to_stop)
            self.left -= self.to_stop
            self.states.enter("failed")
            self.ready_at = math.inf
            self.news()
            cleared = env.event()
            shop.call("clear", place=self.name, caller=self, done=cleared)
            yield cleared
            self.to_stop = self.draw()
            shop.repaired()
        self.states.enter("waiting")
        self.news()
        shop.made()

    def news(self) -> None:
        """Who waits for this machine looks again."""
        self.change = renewed(self.change)


class Shop:
    """One replication."""

    def __init__(self, key: str) -> None:
        self.env = simpy.Environment()
        self.chance = Chance(key)
        self.machines = [Machine(self, "m1"), Machine(self, "m2")]
        self.raw = POCKETS
        self.calls: list[Call] = []
        self.counts = dict.fromkeys(("parts", "good", "picked", *DUTIES), 0)
        self.parts_made = 0
        self.arm = States(self.env, "idle")
        self.people = {name: Person(self, name) for name in PACE}
        self.called, self.refilled, self.any_repaired = (self.env.event() for _ in range(3))
        self.env.process(self.tend())
        for person in self.people.values():
            self.env.process(person.work())
        self.env.process(self.rings())
        self.env.process(self.refill_clock())

    def call(self, duty: str, *, place: str = "", caller: Any = None, done: simpy.Event | None = None) -> None:
        """Want somebody."""
        of = DUTIES[duty]
        if caller is None and not of.adds_up and any(call.duty == duty for call in self.calls):
            return
        now = int(self.env.now)
        self.calls.append(Call(duty, now, now + on_grid(of.response_s), of.place or place, caller, done))
        self.tell()

    def tell(self) -> None:
        """All who are free look at the calls."""
        self.called = renewed(self.called)

    def begin(self, call: Call) -> None:
        """Somebody is at it."""
        if isinstance(call.caller, Machine):
            call.caller.states.enter("in_repair")
        elif call.caller is self.arm:
            self.arm.enter("in_repair")

    def end(self, call: Call) -> None:
        """It is done."""
        self.calls.remove(call)
        self.counts[call.duty] += 1
        if call.duty == "refill":
            self.raw = POCKETS
            self.refilled = renewed(self.refilled)
        if call.done:
            call.done.succeed()

    def made(self) -> None:
        """One part more has been made."""
        self.parts_made += 1
        if self.parts_made % EVERY == 0:
            self.call("gauge")

    def repaired(self) -> None:
        """Who waits because all machines stand looks again."""
        self.any_repaired = renewed(self.any_repaired)

    def rings(self) -> Iterator[simpy.Event]:
        """Called away by chance."""
        while True:
            yield self.env.timeout(max(1, self.chance.exponential("away clock", AWAY_EVERY_S)))
            self.call("away")

    def refill_clock(self) -> Iterator[simpy.Event]:
        """Refilled at an hour of the day too; no run here is longer than a day."""
        yield self.env.timeout(on_grid(REFILL_AT_S))
        self.call("refill")

    def tend(self) -> Generator[simpy.Event, Any, None]:
        """Pick, choose a machine, exchange, bring the finished part away, and again."""
        env, at = self.env, "rack"
        while True:
            while self.raw == 0:
                self.arm.enter("idle")
                yield self.refilled
            if at != "rack":
                yield from self.go(at, "rack")
                at = "rack"
            yield from self.pick()
            machine = None
            while machine is None:
                chosen = min(self.machines, key=lambda machine: machine.ready_at)
                if chosen.ready_at == math.inf:
                    self.arm.enter("waiting")
                    yield self.any_repaired
                    continue
                yield from self.go(at, chosen.name)
                at = chosen.name
                if chosen.states.state in ("working", "handled"):
                    self.arm.enter("waiting")
                    yield chosen.change
                if chosen.states.state == "waiting":
                    machine = chosen
            finished = machine.full
            machine.states.enter("handled")
            if finished:
                self.arm.enter("waiting")
                yield env.timeout(on_grid(LEAD_S))
            self.arm.enter("handling")
            yield env.timeout(on_grid(SWAP_S if finished else LOAD_S))
            env.process(machine.load())
            if finished:
                yield from self.go(at, "rack")
                at = "rack"
                self.arm.enter("handling")
                yield env.timeout(on_grid(PLACE_S))
                self.counts["parts"] += 1
                self.counts["good"] += self.chance.of("good").random() < GOOD

    def go(self, at: str, to: str) -> Iterator[simpy.Event]:
        """The arm's way."""
        self.arm.enter("travelling")
        if at != to:
            yield self.env.timeout(on_grid(ARM_S[ARM_PLACES.index(at)][ARM_PLACES.index(to)]))

    def pick(self) -> Iterator[simpy.Event]:
        """Try, try again, call, and begin anew, until a part is in hand."""
        env = self.env
        while True:
            self.arm.enter("handling")
            tries = 1
            while self.chance.of("miss").random() < MISS and tries <= RETRIES + 1:
                tries += 1
            yield env.timeout(on_grid(PICK_S) + min(tries - 1, RETRIES) * on_grid(RETRY_S))
            if tries <= RETRIES + 1:
                break
            self.arm.enter("failed")
            freed = env.event()
            self.call("free", caller=self.arm, done=freed)
            yield freed
        self.raw -= 1
        self.counts["picked"] += 1
        if self.raw < BELOW:
            self.call("refill")

    def figures(self, hours: float) -> dict[str, float]:
        """Counts per hour and shares of states."""
        self.env.run(until=on_grid(hours * 3600))
        found = {f"{name}_per_h": count / hours for name, count in self.counts.items()}
        clocks = {machine.name: machine.states for machine in self.machines} | {"arm": self.arm}
        clocks |= {name: person.states for name, person in self.people.items()}
        for who, states in clocks.items():
            states.enter(states.state)
            found |= {f"{who} {state}": total / on_grid(hours * 3600) for state, total in states.total.items()}
        return found


class Person:
    """An operator: his hours, his ways, his duties."""

    def __init__(self, shop: Shop, name: str) -> None:
        self.shop, self.name = shop, name
        self.states = States(shop.env, "idle")
        self.place = "desk"
        self.free = True

    def hours(self) -> tuple[str, int]:
        """'on', 'break' or 'off', and when that changes."""
        now = int(self.shop.env.now)
        turn, inside = divmod(now, on_grid(PERIOD_S))
        begin = turn * on_grid(PERIOD_S)
        for number, (start, end) in enumerate(HOURS):
            if inside < on_grid(start):
                return ("break" if number else "off"), begin + on_grid(start)
            if inside < on_grid(end):
                return "on", begin + on_grid(end)
        return "off", begin + on_grid(PERIOD_S + HOURS[0][0])

    def way(self, to: str) -> int:
        """Walking time at his pace."""
        seconds = WALK_S[WALK_PLACES.index(self.place)][WALK_PLACES.index(to)]
        return on_grid(seconds * PACE[self.name])

    def best(self) -> tuple[Call | None, float]:
        """The call to answer now, and when to look again otherwise."""
        now, again, people = self.shop.env.now, math.inf, self.shop.people
        fitting = [call for call in self.shop.calls if not call.served and self.name in DUTIES[call.duty].who]
        for call in sorted(fitting, key=lambda call: (DUTIES[call.duty].priority, call.since)):
            who = DUTIES[call.duty].who
            if any(people[other].free and people[other].hours()[0] == "on" for other in who[: who.index(self.name)]):
                continue
            leave = call.ready - self.way(call.place)
            if self.place != call.place and leave > now:
                again = min(again, leave)
                continue
            return call, again
        return None, again

    def work(self) -> Iterator[simpy.Event]:
        """His days."""
        env, shop = self.shop.env, self.shop
        while True:
            kind, change = self.hours()
            if kind != "on":
                self.states.enter(kind)
                yield env.timeout(change - env.now)
                self.place = "desk"
                continue
            call, again = self.best()
            if call is None:
                self.states.enter("idle")
                yield env.any_of([shop.called, env.timeout(min(change, again) - env.now)])
                continue
            self.free, call.served = False, True
            way = 0 if self.place == call.place else max(self.way(call.place), call.ready - int(env.now))
            if way:
                self.states.enter("travelling")
                yield env.timeout(way)
                self.place = call.place
            if self.hours()[0] == "on":
                self.states.enter("on_duty")
                shop.begin(call)
                duty = DUTIES[call.duty]
                yield env.timeout(shop.chance.lognormal(f"takes {call.duty}", duty.takes_s, duty.cv))
                shop.end(call)
            else:
                call.served = False
            self.free = True
            shop.tell()


def replications(count: int, *, hours: float, seed: int) -> list[dict[str, float]]:
    """The figures of so many replications."""
    return [Shop(f"{seed}/{number}").figures(hours) for number in range(count)]

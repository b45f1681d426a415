"""An exchange at a machine, element by element: ways in and out, jaws, clamping, seat check, the turn of two hands."""

from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.stages.timing.moves import Pace, pace, short_way, slowed, turn, way_in
from millhand.stages.timing.shared import Line, Scope

CLAMPING = {
    "hand_vise": "powered_vise", "powered_vise": "powered_vise", "hand_chuck": "powered_chuck",
    "powered_chuck": "powered_chuck",
}  # fmt: skip
Piece = tuple[str, Fact]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """The finished part out, then the raw part in, each in its order, and the sum of both."""

    out: tuple[Piece, ...]
    into: tuple[Piece, ...]
    time: Fact


def hands_of(scope: Scope) -> int:
    """How many parts the gripper holds at once."""
    gripper = scope.concept.gripper
    return round(gripper.figures["hands"].value) if gripper is not None else 1


def exchange_of(scope: Scope, line: Line, index: int) -> Exchange:
    """One part out and the next one in; the mould fills itself, so taking out is all."""
    name, machine = line.operations[index].name, line.machines[index]
    out: tuple[Piece, ...]
    into: tuple[Piece, ...]
    work = At(scope=scope, machine=machine, name=name, places=line.places(index), speeds=pace(scope))
    if machine.kind.value == "moulding":
        out, into = (work.inwards, *work.taken, work.outwards), ()
    elif hands_of(scope) == 2:
        out, into = (work.inwards, *work.taken, *work.turned), (*work.given, work.outwards)
    else:
        out, into = (work.inwards, *work.taken, work.outwards), (work.inwards, *work.given, work.outwards)
    time = scope.apply("attendant_work_s", f"{name}.exchange_one", elements_s=tuple(fact for _, fact in (*out, *into)))
    return Exchange(out=out, into=into, time=time)


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """One machine while its exchange is put together."""

    scope: Scope
    machine: Machine
    name: str
    places: tuple[str, ...]
    speeds: Pace

    @property
    def inwards(self) -> Piece:
        """Through the door to the seat, the last of it slowly."""
        return "way in", way_in(self.scope, self.speeds, self.places, f"{self.name}.way_in", slow_end=True)

    @property
    def outwards(self) -> Piece:
        """From the seat out of the door."""
        return "way out", way_in(self.scope, self.speeds, self.places, f"{self.name}.way_out", slow_end=False)

    @property
    def taken(self) -> tuple[Piece, ...]:
        """The finished part in the jaws, and loose."""
        return ("finished part is gripped", self._jaws), *self._clamping("clamping opens")

    @property
    def turned(self) -> tuple[Piece, ...]:
        """Back, the other hand forwards, and in again."""
        back = short_way(self.scope, self.speeds)
        return (
            ("a short way back", back),
            ("wrist turns to the raw part", turn(self.scope, self.speeds)),
            ("to the seat again", slowed(self.scope, "short_way.in", back)),
        )

    @property
    def given(self) -> tuple[Piece, ...]:
        """The raw part pressed home where that is needed, clamped, let go and looked at."""
        seat = self._with_signal("seat_check", self.scope.catalogue.figures["seat_check_s"])
        return (
            *self._options, *self._clamping("clamping closes"), ("raw part is let go", self._jaws),
            ("seat is checked", seat),
        )  # fmt: skip

    @property
    def _options(self) -> tuple[Piece, ...]:
        """What options of the cell do at this machine for each part."""
        return tuple(
            (option.component.words["element"], option.component.figures["each_s"])
            for option in self.scope.concept.options
            if "each_s" in option.component.figures and self.machine.name in option.machines
        )

    @property
    def _jaws(self) -> Fact:
        gripper = self.scope.concept.gripper
        usual = self.scope.catalogue.figures["jaws_s"]
        return self._with_signal("jaws", gripper.figures.get("jaws_s", usual) if gripper is not None else usual)

    def _clamping(self, words: str) -> tuple[Piece, ...]:
        """One way of vise or chuck; a nest or mould has none."""
        kind = CLAMPING.get(self.machine.clamping.value)
        if kind is None:
            return ()
        each = self.scope.catalogue.components[kind].figures["each_way_s"]
        return ((words, self._with_signal(f"{self.machine.name}.clamping", each)),)

    def _with_signal(self, name: str, time: Fact) -> Fact:
        """What is done and the answer that is waited for."""
        signal = self.scope.catalogue.figures["signal_s"]
        return self.scope.apply("attendant_work_s", f"element.{name}", elements_s=(time, signal))

"""What comes first at one moment of the motions on a shared track, where the order of visits has ranks too.

Somebody may set out at the very moment at which another one arrives, and lift a part at the one at which it was set
down. Where handling takes no time, several such waits at one moment could go round in a circle. Every departure and
every arrival gets a rank, as every lift and every set-down has one, and whatever waits has a higher one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from millhand.solvers.cycle.lots.makespan_model import Draft
from millhand.solvers.cycle.lots.makespan_moments import after, first_of, last_of, rank
from millhand.solvers.cycle.lots.makespan_plan import Moment, Visit

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr


@dataclass(slots=True, kw_only=True)
class Order:
    """The ranks of departures and arrivals; nothing is asked where visits have none."""

    ranks: "dict[Moment, IntVar]" = field(default_factory=dict)

    def of(self, draft: Draft, moment: Moment) -> "IntVar":
        """The rank of a moment."""
        if moment not in self.ranks:
            self.ranks[moment] = rank(draft, f"{moment}")
        return self.ranks[moment]

    def meet(
        self,
        draft: Draft,
        times: "tuple[LinearExpr | int, LinearExpr | int]",
        moments: tuple[Moment | None, Moment | None],
        when: "Sequence[IntVar]",
    ) -> None:
        """The second moment comes after the first."""
        before, then = moments
        if draft.ranks and before is not None and then is not None:
            after(draft, (times[0], self.of(draft, before)), (times[1], self.of(draft, then)), when)

    def leave(
        self, draft: Draft, times: "tuple[LinearExpr | int, LinearExpr | int]", ends: tuple[Visit | None, Moment]
    ) -> None:
        """Somebody leaves after its visit before."""
        visit, moment = ends
        key = None if visit is None else last_of(visit)
        if draft.ranks and key is not None:
            after(draft, (times[0], draft.ranks[key]), (times[1], self.of(draft, moment)))

    def come(
        self, draft: Draft, times: "tuple[LinearExpr | int, LinearExpr | int]", ends: tuple[Moment, Visit]
    ) -> None:
        """Somebody is there before its visit begins."""
        moment, visit = ends
        key = first_of(visit)
        if draft.ranks and key is not None:
            after(draft, (times[0], self.of(draft, moment)), (times[1], draft.ranks[key]))

    def same(self, draft: Draft, moments: tuple[Moment, Moment], lit: "IntVar") -> None:
        """Two names of one moment."""
        if draft.ranks:
            one, other = (self.of(draft, each) for each in moments)
            draft.model.add(one == other).only_enforce_if(lit)

    def way(self, draft: Draft, moments: tuple[Moment, Moment], takes: "tuple[int, IntVar]") -> None:
        """Both ends of a way are one moment where it takes no time."""
        if takes[0] == 0:
            self.same(draft, moments, takes[1])

    def aside(self, draft: Draft, off: tuple[Moment, tuple[str, Visit | None]], takes: "tuple[int, IntVar]") -> Moment:
        """Whoever goes aside leaves with that way; the moment at which it stands there."""
        who, visit = off[1]
        gone = Moment(who=who, visit=visit, name="home", what="depart")
        stands = Moment(who=who, visit=visit, name="home", what="arrive")
        self.same(draft, (off[0], gone), takes[1])
        self.way(draft, (gone, stands), takes)
        return stands

    def carried(self, draft: Draft, begins: Moment, takes: "tuple[LinearExpr | int, int]") -> None:
        """One hand sets out as soon as it has lifted, and sets down when it arrives."""
        if not draft.ranks or begins.visit is None:
            return
        hop, (arrives, steps) = begins.visit.hop, takes
        lifted, placed = draft.ranks[hop, "out"], draft.ranks[hop, "in"]
        draft.model.add(self.of(draft, begins) == lifted)
        reached = self.of(draft, Moment(who=begins.who, visit=begins.visit, name="on", what="arrive"))
        if steps == 0:
            draft.model.add(reached == lifted)
        else:
            after(draft, (arrives, reached), (draft.time[hop, "set"], placed))

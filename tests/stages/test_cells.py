"""The cells of a study: what their numbers point at, when people and machines are there, who does what."""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.intake.cell_check import check_cell
from millhand.model.canonical import canonical
from millhand.model.cell import Cell
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.shop import Break, Shift
from millhand.model.slots import pointer_get, slots
from millhand.model.span import Span
from millhand.model.walk import facts_in
from millhand.model.written import as_written
from millhand.stages.cells.shared import pauses_of, shift_intervals, week
from millhand.stages.concepts import concepts
from millhand.trace import Sheet
from tests.examples.test_examples import done
from tests.stages.jobs import job, plan_of, told
from tests.stages.short_road import catalogue

EXAMPLES_NAMES = sorted(path.parent.name for path in Path("examples").glob("*/inquiry.yaml"))
JOBS = ("dozen", "one_mill", "line", "mould")
ARMS = ("force_limited_25", "fenced_60")  # of the jobs' cells: the larger arm of each class; examples have smaller ones
TRAYS = "trays-movable_stand-force_limited_25-parallel_single-scanner"
ONE_HAND = "trays-floor_track-fenced_20-parallel_single-fence"
TWO_HANDS = ONE_HAND.replace("single", "double")
BOX = "from_mould-out_box-pedestal-fenced_20-parallel_single-fence"
HOUR = 3600.0


def exact(value: float) -> Fact:
    """A fact that only its value matters of."""
    return Fact(id=f"test.{value}", value=value, unit="s", basis="given", source="test")


def word(value: str) -> Choice:
    """A word that only its value matters of."""
    return Choice(id=f"test.{value}", value=value, options=(value,), basis="given", source="test")


def shift(start_h: float, length_h: float, days: float, *pauses: tuple[float, float]) -> Shift:
    """A shift with pauses (time of day, length), all in hours."""
    return Shift(
        name="test",
        start_s=exact(start_h * HOUR),
        length_s=exact(length_h * HOUR),
        days_per_week=exact(days),
        operators=exact(1.0),
        manned=word("yes"),
        premium=word("none"),
        breaks=tuple(
            Break(start_s=exact(at * HOUR), length_s=exact(long * HOUR), paid=word("no")) for at, long in pauses
        ),
    )


def in_hours(intervals: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The same intervals in hours."""
    return [(start / HOUR, end / HOUR) for start, end in intervals]


def test_pauses_on_both_sides_of_midnight_are_both_cut_out() -> None:
    """A night shift from 22:00 with pauses at 23:30 and at 02:00."""
    night = shift(22.0, 8.0, 1.0, (2.0, 0.5), (23.5, 0.25))

    assert in_hours(shift_intervals(night, pauses=pauses_of(night))) == [(22.0, 23.5), (23.75, 26.0), (26.5, 30.0)]
    assert in_hours(shift_intervals(night, pauses=())) == [(22.0, 30.0)]


@pytest.mark.parametrize(
    ("pauses", "pieces"),
    [
        (((8.0, 0.5), (8.25, 0.5)), [(6.0, 8.0), (8.75, 14.0)]),  # the second begins in the first
        (((6.0, 0.5),), [(6.5, 14.0)]),  # at the very start
        (((13.5, 0.5),), [(6.0, 13.5)]),  # at the very end
        (((13.75, 0.5),), [(6.0, 13.75)]),  # over the end
        (((15.0, 0.5),), [(6.0, 14.0)]),  # outside
    ],
)
def test_pauses_at_the_edges(pauses: tuple[tuple[float, float], ...], pieces: list[tuple[float, float]]) -> None:
    """Pauses that touch the ends of a shift or each other."""
    own = shift(6.0, 8.0, 1.0, *pauses)

    assert in_hours(shift_intervals(own, pauses=pauses_of(own))) == pieces


def test_a_week_brings_sunday_night_back_to_its_start() -> None:
    """A night shift on seven days runs into Monday; what touches is joined."""
    night = shift(22.0, 8.0, 7.0)

    joined = in_hours(list(week(shift_intervals(night, pauses=()))))

    assert joined[0] == (0.0, 6.0)
    assert joined[-1] == (6 * 24.0 + 22.0, 168.0)
    assert sum(end - start for start, end in joined) == 56.0


def test_shifts_that_overlap_are_one_interval() -> None:
    """Early until 15:00 and late from 13:00."""
    both = [
        *shift_intervals(shift(6.0, 9.0, 1.0), pauses=()),
        *shift_intervals(shift(13.0, 9.0, 1.0), pauses=()),
    ]

    assert in_hours(list(week(both))) == [(6.0, 22.0)]


def test_days_of_a_shift_are_the_first_of_the_week() -> None:
    """Five days: Monday to Friday, each at the same time of day."""
    early = shift(6.0, 8.0, 5.0)

    starts = [start for start, _ in in_hours(shift_intervals(early, pauses=()))]

    assert starts == [6.0, 30.0, 54.0, 78.0, 102.0]
    assert shift_intervals(replace(early, days_per_week=exact(0.0)), pauses=()) == []


def test_half_a_day_a_week_is_a_shift_of_half_the_length() -> None:
    """A crew of three and a half days: its last shift ends after six hours; the pause after that falls away."""
    crew = shift(6.0, 12.0, 3.5, (13.0, 1.0))

    assert in_hours(shift_intervals(crew, pauses=pauses_of(crew)))[-3:] == [(54.0, 61.0), (62.0, 66.0), (78.0, 84.0)]
    assert in_hours(shift_intervals(replace(crew, days_per_week=exact(0.5)), pauses=pauses_of(crew))) == [(6.0, 12.0)]


# --- every cell of every example ---


@dataclass(frozen=True)
class Made:
    """One cell, and the facts it was made from."""

    name: str
    cell: Cell
    sheet: Sheet


@cache
def cells() -> tuple[Made, ...]:
    """Every cell of every example, and of the small jobs every one with the larger arm of its class."""
    found = []
    for name in EXAMPLES_NAMES:
        study = done(name)
        sheet = Sheet(study.facts.values())
        found += [
            Made(name=f"{name} {each.concept.id}", cell=each.cell, sheet=sheet) for each in study.results if each.cell
        ]
    for name in JOBS:
        inquiry = job(name)
        sheet = Sheet((*facts_in(inquiry), *facts_in(catalogue())))
        wanted = [each for each in concepts(inquiry, catalogue()) if each.arm is None or each.arm.id in ARMS]
        for concept in wanted:
            plan = plan_of(inquiry, concept.id, sheet).plan
            if plan.cell is not None:
                found.append(Made(name=f"{name} {concept.id}", cell=plan.cell, sheet=sheet))
    return tuple(found)


@pytest.mark.xdist_group("examples")
def test_every_cell_passes_the_check_of_cell_files() -> None:
    """What a study writes could have been written by a user, and nothing in it would be refused."""
    wrong = {made.name: [str(each) for each in found] for made in cells() if (found := check_cell(made.cell))}

    assert not wrong
    assert len(cells()) > 60


@pytest.mark.xdist_group("examples")
def test_every_origin_points_at_the_number_that_its_fact_gives() -> None:
    """Pointer by pointer: fact times factor, to the grid."""
    wrong, seen = [], 0
    for made in cells():
        for at, origin in made.cell.origins.items():
            number = pointer_get(made.cell, at)
            number = number.mean_s if isinstance(number, Span) else number
            seen += 1
            if abs(number - made.sheet.value(origin.fact) * origin.factor) > made.cell.grid_s / 2.0 + 1e-9:
                wrong.append((made.name, at, number, origin))

    assert not wrong
    assert seen > 1500


@pytest.mark.xdist_group("examples")
def test_every_duration_that_is_not_nought_has_an_origin() -> None:
    """No number of seconds in a cell out of thin air: moves, handling, process times, duties, stops."""
    places = ("/moves/", "/handling/", "/parts/", "/duties/")
    free = []
    for made in cells():
        numbers = [slot for slot in slots(made.cell) if slot.at.startswith(places) and "at_s" not in slot.at]
        for slot in numbers:
            seconds = slot.value.mean_s if isinstance(slot.value, Span) else slot.value
            counted = slot.at.endswith(("below", "priority", "needs_hands", "retries", "good", "every"))
            if seconds and not counted and slot.at not in made.cell.origins:
                free.append((made.name, slot.at))

    assert not free


@pytest.mark.xdist_group("examples")
def test_cells_written_and_read_back_are_the_same_cells(tmp_path: Path) -> None:
    """One of each presenter, and those of hands: to the twelve digits that a file holds."""
    kinds: dict[str, Made] = {}
    for made in cells():
        job_name, _, concept = made.name.partition(" ")
        kinds.setdefault(f"{job_name} {concept.partition('-')[0]}", made)

    for number, made in enumerate(kinds.values()):
        file = tmp_path / f"{number}.json"
        text = canonical(as_written(made.cell))
        file.write_text(text, encoding="utf-8")
        assert canonical(as_written(read_cell(file))) == text, made.name


# --- who does what, and when ---


def cell_of(inquiry: Inquiry, concept: str) -> Cell:
    """The cell of one concept."""
    cell = plan_of(inquiry, concept).plan.cell
    assert cell is not None
    return cell


def test_each_kind_of_machine_has_its_own_stops() -> None:
    """Mills stop often and briefly, the lathe seldom and long, whoever clears."""
    for concept in ("today", TWO_HANDS):
        cell = cell_of(job("line"), concept)

        assert cell.duties["clear_mill"].takes.mean_s == 600.0
        assert cell.duties["clear_lathe"].takes.mean_s == 3600.0
        faults = {name: station.faults[0] for name, station in cell.stations.items() if station.faults}
        assert {name: fault.duty for name, fault in faults.items()} == {
            "machine_1": "clear_mill",
            "machine_2": "clear_mill",
            "machine_3": "clear_lathe",
        }
        assert faults["machine_3"].every is not None
        assert faults["machine_3"].every.mean_s == 30.0 * HOUR


def test_one_kind_of_machine_has_one_duty_to_clear() -> None:
    """No name where none is needed."""
    called = [name for name in cell_of(job("one_mill"), "today").duties if not name.startswith(("absence", "handover"))]

    assert called == ["clear", "tools", "chips"]


def test_a_tool_change_that_was_told_counts_by_hand_and_in_a_cell() -> None:
    """The catalogue's figure while nobody told one; then the told time, with its own fact."""
    usual, inquiry = catalogue().figures["tool_change_s"].value, job("line")
    own = replace(exact(95.0), id="today.tool_change")
    quicker = replace(inquiry, today=replace(inquiry.today, tool_change_s=own))
    for concept in ("today", TWO_HANDS):
        cell = cell_of(quicker, concept)
        assert cell_of(inquiry, concept).duties["tools"].takes.mean_s == usual
        assert cell.duties["tools"].takes.mean_s == 95.0
        assert cell.origins["/duties/tools/takes"].fact == "today.tool_change"


def test_inside_work_of_every_operation_is_done_where_the_part_is_put() -> None:
    """Two operations, twice the 20 s with allowance."""
    inquiry = job("line")
    cell = cell_of(inquiry, "today")
    done = next(row for row in cell.handling if row.at == ("done",))

    assert done.place is not None
    assert done.place.hold_s.mean_s == pytest.approx(2.0 * 20.0 * (1.0 + inquiry.people.allowance.value))


def test_machines_under_an_arm_run_through_breaks_and_on_alone() -> None:
    """Saturday has no late shift and so no hours alone; people at work stop for their pauses."""
    inquiry = job("line")
    arm, hand = cell_of(inquiry, TWO_HANDS), cell_of(inquiry, "today")
    open_h = sum(end - start for start, end in arm.calendars["open"].on) / HOUR
    manned_h = sum(end - start for start, end in arm.calendars["manned"].on) / HOUR
    worked_h = sum(end - start for start, end in hand.calendars["operator1"].on) / HOUR

    assert manned_h == 6 * 8.0 + 5 * 8.0
    # Late ends at 06:00 and early follows at once: the hours alone lie inside it, but on Saturday morning not.
    assert open_h == manned_h
    assert worked_h == manned_h - 5 * 0.75


def test_hours_alone_follow_the_last_people_of_a_day() -> None:
    """Two shifts until 22:00, three hours alone, five days."""
    cell = cell_of(job("one_mill"), TRAYS)

    assert in_hours(list(cell.calendars["open"].on))[:2] == [(6.0, 25.0), (30.0, 49.0)]
    assert in_hours(list(cell.calendars["manned"].on))[:2] == [(6.0, 22.0), (30.0, 46.0)]


def test_before_a_run_alone_tools_chips_and_presenter_are_seen_to() -> None:
    """Five evenings, the refill last, and all of it done when people leave; nothing of it where nobody leaves."""
    cell = cell_of(job("one_mill"), TRAYS)
    figures = {name: fact.value for name, fact in catalogue().figures.items()}
    times = {name: cell.duties[name].also for name in ("tools", "chips", "refill")}
    assert all(clock is not None and clock.kind == "clock" and len(clock.at_s) == 5 for clock in times.values())
    at = {name: clock.at_s[0] for name, clock in times.items() if clock is not None}
    takes = {name: cell.duties[name].takes.mean_s for name in at}

    assert at["tools"] == at["chips"] <= at["refill"]
    assert at["refill"] + figures["response_s"] + takes["refill"] == pytest.approx(22 * HOUR, abs=60.0)
    assert at["tools"] + figures["response_s"] + sum(takes.values()) == pytest.approx(22 * HOUR, abs=60.0)

    staying = cell_of(told(job("one_mill"), {"wishes.unattended": 0.0}), TRAYS)
    assert all(duty.also is None for duty in staying.duties.values())


def test_what_outlasts_a_week_is_not_renewed_each_evening() -> None:
    """A mould's own service after a hundred thousand shots."""
    duties = cell_of(job("mould"), BOX).duties

    assert duties["tools"].also is None
    assert duties["chips"].also is None
    assert duties["refill"].also is not None


def test_a_presenter_holds_whole_loads() -> None:
    """Two parts a load: half as many loads as pockets, and the refill is called at a share of them."""
    inquiry = job("one_mill")
    made = plan_of(inquiry, TRAYS)
    assert made.plan.cell is not None
    presenter, refill = made.plan.cell.stations["presenter"], made.plan.cell.duties["refill"]
    level = catalogue().figures["refill_level_share"].value

    assert presenter.capacity == presenter.start == made.value(made.plan.layout.pockets) // 2
    assert refill.trigger.below == int(presenter.capacity * level)
    assert refill.restores == {"presenter": "full"}


def test_a_refill_takes_the_walk_and_each_part_that_is_missing() -> None:
    """Parts laid one by one; nothing for each where they lie loose."""
    figures = {name: fact.value for name, fact in catalogue().figures.items()}
    made = plan_of(job("one_mill"), TRAYS)
    assert made.plan.cell is not None
    missing = made.value(made.plan.layout.pockets) * (1.0 - figures["refill_level_share"])

    takes = made.plan.cell.duties["refill"].takes.mean_s
    assert takes == pytest.approx(figures["refill_visit_s"] + missing * figures["refill_part_s"], abs=1e-3)
    assert cell_of(job("mould"), BOX).duties["refill"].takes.mean_s == figures["refill_visit_s"]


def test_at_a_mould_the_outfeed_fills_up() -> None:
    """It fills itself from a presenter without end; the outfeed holds what layout found, and somebody empties it."""
    made = plan_of(job("mould"), BOX)
    assert made.plan.cell is not None
    stations, refill = made.plan.cell.stations, made.plan.cell.duties["refill"]

    assert (stations["presenter"].capacity, stations["presenter"].self_out) == (None, True)
    assert stations["machine_1"].self_in
    assert stations["outfeed"].capacity == made.value(made.plan.layout.pockets) // 4
    assert refill.restores == {"outfeed": "empty"}
    assert refill.trigger.every is not None
    assert refill.trigger.every.mean_s < stations["outfeed"].capacity * 40.0
    assert made.plan.cell.attendants["arm1"].hands == 1


def test_a_tool_that_lasts_less_than_a_load_is_changed_at_each() -> None:
    """One load is the least; the number then follows no fact."""
    short = told(job("one_mill"), {"parts.lever.milling.tool_life": 1.0})
    cell = cell_of(short, "today")

    assert cell.stations["machine_1"].wear[0].limit == 1.0
    assert "/stations/machine_1/wear/0/limit" not in cell.origins
    assert cell_of(job("one_mill"), "today").stations["machine_1"].wear[0].limit == 90.0


def test_heads_differ_by_shift() -> None:
    """Two in the first shift, one in the second: the second operator is there half as long."""
    inquiry = job("one_mill")
    first, second = inquiry.shifts
    two = replace(first, operators=replace(first.operators, id="shifts.shift_1.operators", value=2.0))
    cell = cell_of(replace(inquiry, shifts=(two, second)), "today")
    hours = {name: sum(end - start for start, end in each.on) / HOUR for name, each in cell.calendars.items()}

    assert set(cell.attendants) == {"operator1", "operator2"}
    assert hours["operator1"] == pytest.approx(2.0 * hours["operator2"], rel=0.05)


def test_the_arm_with_two_hands_swaps_and_with_one_does_not() -> None:
    """Half the exchange at the pick and half at the place, the whole in a swap."""
    one, two = (cell_of(job("line"), concept) for concept in (ONE_HAND, TWO_HANDS))
    single, double = (next(row for row in cell.handling if "machine_1" in row.at) for cell in (one, two))

    assert single.swap is None
    assert double.swap is not None
    assert double.pick is not None
    assert double.place is not None
    assert double.pick.hold_s.mean_s + double.place.hold_s.mean_s == pytest.approx(double.swap.hold_s.mean_s, abs=2e-3)
    assert (one.attendants["arm1"].hands, two.attendants["arm1"].hands) == (1, 2)

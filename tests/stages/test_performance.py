"""Output and people's hours against sums made by hand, with a simulation whose counts are made up."""

import math
from dataclasses import dataclass, replace

import pytest

from millhand.model.inquiry import Inquiry
from millhand.model.performance import Figure, Output, Performance
from millhand.model.shop import Shift
from millhand.model.walk import facts_in
from millhand.road import earned
from millhand.trace import Sheet
from tests.stages.jobs import ids, job, plan_of, told
from tests.stages.short_road import catalogue

MILL, LINE, MOULD = job("one_mill"), job("line"), job("mould")
TRAYS = "trays-movable_stand-force_limited_25-parallel_double-scanner"
TRACK = "trays-floor_track-fenced_20-parallel_double-fence"
FIGURES = {name: fact.value for name, fact in catalogue().figures.items()}
WEEK_H = 168.0


@dataclass(frozen=True)
class Worked:
    """One concept worked out, today before it."""

    sheet: Sheet
    today: Performance
    own: Performance
    prefix: str

    def __getitem__(self, name: str) -> float:
        """A figure of the concept's performance by its short name."""
        return self.sheet.value(f"{self.prefix}.performance.{name}")

    def of(self, fact_id: str | None) -> float:
        """A figure by its id."""
        assert fact_id is not None
        return self.sheet.value(fact_id)


def figure(mean: float) -> Figure:
    """A mean without spread."""
    return Figure(mean=mean, low=mean, high=mean)


def counted(loads_a_week: float, attended: float, duties: tuple[float, ...] = ()) -> Output:
    """A simulation that made so many loads a week, so many of them attended; shares of the week on duties."""
    return Output(
        cell="test",
        seed=1,
        replications=6,
        horizon_s=WEEK_H * 3600.0,
        parts_per_h=figure(loads_a_week / WEEK_H),
        good_per_h=figure(loads_a_week / WEEK_H),
        counts={
            "attended": figure(attended / WEEK_H),
            "unattended": figure((loads_a_week - attended) / WEEK_H),
        },
        duty_share={f"duty{number}": figure(share) for number, share in enumerate(duties)},
    )


def worked(inquiry: Inquiry, concept: str, output: Output | None, today: Output | None = None) -> Worked:
    """Today with its own counts (800 loads a week) and one concept."""
    sheet = Sheet((*facts_in(inquiry), *facts_in(catalogue())))
    before = plan_of(inquiry, "today", sheet)
    first, _ = earned(before.desk, before.plan, today or counted(800.0, 800.0), None, sheet)
    if concept == "today":
        return Worked(sheet=sheet, today=first, own=first, prefix="concepts.today")
    made = plan_of(inquiry, concept, sheet)
    own, _ = earned(made.desk, made.plan, output, first, sheet)
    return Worked(sheet=sheet, today=first, own=own, prefix=f"concepts.{concept}")


# --- the hours of the pattern ---


def test_hours_of_two_shifts() -> None:
    """16 h on five days, each shift with one break of half an hour, one head on the one machine, 250 days; two thirds
    of what could be made in them are ordered."""
    made = worked(MILL, "today", None)
    breaks = sum(pause.length_s.value for shift in MILL.shifts for pause in shift.breaks) / 3600.0
    days = MILL.shop.work_days_per_y.value

    assert made.of("shifts.covered_h") == 80.0
    assert made.of("shifts.per_week") == 10.0
    assert made.of("shifts.worked_h") == pytest.approx(80.0 - 5.0 * breaks)
    assert made.of(made.own.attended_h_per_y) == pytest.approx(16.0 * days)
    assert made.of("shifts.absent_share") == pytest.approx(0.1 * 0.2)
    assert made.of("shifts.assigned_h_per_y") == pytest.approx((16.0 - breaks) * days * (1.0 - 0.1 * 0.2))
    ordered = 40_000.0 / made.of(made.own.parts_per_y)
    assert made.of(made.own.operator_h_per_y) == pytest.approx(made.of("shifts.assigned_h_per_y") * ordered)


def test_hours_of_a_six_day_week_with_a_night_shift() -> None:
    """Early on six days, nights on five: 88 h covered, days of the longer week, one head on three machines."""
    made = worked(LINE, "today", None)
    days = LINE.shop.work_days_per_y.value

    assert made.of("shifts.covered_h") == 88.0
    assert made.of("shifts.worked_h") == pytest.approx(88.0 - 5 * 0.75)
    assert made.of(made.own.attended_h_per_y) == pytest.approx(88.0 / 6.0 * days)
    there = 1.0 - made.of("shifts.absent_share")
    assert made.of(made.own.operator_h_per_y) == pytest.approx((88.0 - 3.75) / 6.0 * days * there)


def test_hours_of_shifts_that_overlap_are_covered_once_and_worked_twice() -> None:
    """Two shifts of 8 h, the second two hours earlier."""
    over = told(MILL, {"shifts.shift_2.start": MILL.shifts[0].start_s.value + 6 * 3600.0})
    made = worked(over, "today", None)

    assert made.of("shifts.covered_h") == 5 * 14.0
    assert made.of("shifts.worked_h") == worked(MILL, "today", None).of("shifts.worked_h")


def test_a_machine_that_no_part_comes_to_binds_nobody() -> None:
    """A second kind of machine in the shop that is not part of this job."""
    spare = replace(MILL.machines[0], name="saw", count=replace(MILL.machines[0].count, id="machines.saw.count"))
    more = replace(MILL, machines=(spare, *MILL.machines))

    for name in ("shifts.machines", "shifts.assigned_h_per_y"):
        assert worked(more, "today", None).of(name) == worked(MILL, "today", None).of(name)


# --- today ---


def test_today_ships_what_the_shop_says_whatever_was_simulated() -> None:
    """120 parts a shift, ten shifts in 80 h: 15 an hour, and a year's worth of that."""
    for output in (counted(800.0, 800.0), counted(500.0, 500.0)):
        made = worked(MILL, "today", None, output)

        assert made["net_parts_per_h"] == pytest.approx(15.0)
        assert made.of(made.own.parts_per_shift) == pytest.approx(120.0)
        assert made.of(made.own.parts_per_y) == pytest.approx(15.0 * 16.0 * MILL.shop.work_days_per_y.value)


def test_what_the_model_makes_more_is_the_unexplained_loss() -> None:
    """800 loads of two parts in 80 h are 20 an hour; long stops and 3 % scrap are known, the rest is not."""
    made = worked(MILL, "today", None)
    stops = MILL.machines[0].stops
    up = stops.long_every_s.value / (stops.long_every_s.value + stops.long_takes_s.value)

    assert made["simulated_parts_per_h"] == pytest.approx(20.0)
    assert made["good_share"] == 0.97
    assert made["unexplained_loss"] == pytest.approx(1.0 - 15.0 / (20.0 * up * 0.97))


def test_a_shop_that_ships_more_than_the_model_makes_shows_a_negative_loss() -> None:
    """It is flagged outside the valid range where it is used, and kept whole."""
    made = worked(MILL, TRAYS, counted(800.0, 800.0), counted(500.0, 500.0))
    rate = made.sheet[made.prefix + ".performance.net_parts_per_h"]

    assert made.of("concepts.today.performance.unexplained_loss") < 0.0
    assert any(words.startswith("loss_share = -") for words in rate.outside)


def test_a_negative_loss_lifts_nothing_above_what_arm_and_machines_can_make() -> None:
    """A shop that ships twice what the model makes: a cell ends at its load bound, a way by hand at its one machine."""
    few = counted(300.0, 300.0)
    cell, hand = (worked(MILL, name, counted(600.0, 600.0), few) for name in (TRAYS, "by_hand-second_fixture"))

    assert cell.of("concepts.today.performance.unexplained_loss") < -0.9
    assert cell["net_parts_per_h"] == pytest.approx(cell["bound_parts_per_h"] * cell["available"] * 0.97)
    assert hand["net_parts_per_h"] == pytest.approx(3600.0 / 300.0 * 2.0 * hand["available"] * 0.97)


def test_a_line_is_as_good_as_both_operations_together() -> None:
    """98 % and 99 %; long stops of mills and lathe both stop it."""
    made = worked(LINE, "today", None)

    assert made["good_share"] == pytest.approx(0.98 * 0.99)
    assert made["available"] == pytest.approx(500.0 / 505.0 * 300.0 / 306.0)


# --- better by hand ---


def test_a_way_by_hand_loses_the_same_share_as_today() -> None:
    """Ten per cent more loads, ten per cent more parts; the same hours."""
    made = worked(MILL, "by_hand-second_fixture", counted(880.0, 880.0))

    assert made.of(made.own.attended_per_h) == pytest.approx(16.5)
    assert made.of(made.own.operator_h_per_y) == made.of(made.today.operator_h_per_y)
    assert made.own.unattended_per_h is None


def test_one_more_machine_a_head_frees_its_share_of_the_hours() -> None:
    """Half as many again: two thirds of the hours stay."""
    inquiry = told(LINE, {"people.machines_per_operator": 2.0})
    made = worked(inquiry, "by_hand-one_more_machine", counted(800.0, 800.0))
    factor = next(each for each in catalogue().hand_changes if each.id == "one_more_machine").effects[
        "machines_per_operator"
    ]

    assert made.of(made.own.operator_h_per_y) == pytest.approx(made.of(made.today.operator_h_per_y) / factor.value)


# --- a cell, attended ---


def test_a_cell_keeps_a_part_of_the_loss_and_adds_its_own_stops() -> None:
    """900 attended loads of two parts in 80 h; today's loss by its kept share; stops of machine and cell; scrap."""
    made = worked(MILL, TRAYS, counted(1000.0, 900.0))
    stops = MILL.machines[0].stops
    up = stops.long_every_s.value / (stops.long_every_s.value + stops.long_takes_s.value)
    cell_up = FIGURES["cell_stop_every_s"] / (FIGURES["cell_stop_every_s"] + FIGURES["cell_stop_takes_s"])
    loss = made.of("concepts.today.performance.unexplained_loss")
    net = 22.5 * (1.0 - FIGURES["loss_kept_share"] * loss) * up * cell_up * 0.97

    assert made["simulated_parts_per_h"] == pytest.approx(22.5)
    assert made.of(made.own.attended_per_h) == pytest.approx(net)
    assert made.of(made.own.parts_per_shift) == pytest.approx(net * 8.0)


def test_several_families_cost_a_changeover_a_lot_of_the_narrowest_place() -> None:
    """Lots of 150 through two mills and one lathe: the lathe stands once for each lot, set-up and changeover."""
    made = worked(LINE, TRACK, counted(1300.0, 1200.0))
    steady, set_up_h = made["net_parts_per_h"], LINE.today.setup_s.value / 3600.0
    own_h = FIGURES["cell_changeover_s"] / 3600.0

    assert made.of(made.own.attended_per_h) == pytest.approx(150.0 / (150.0 / steady + set_up_h + own_h))
    assert made["changeovers_h"] == pytest.approx(made["tended_parts_per_y"] / 150.0 * (2.0 * set_up_h + own_h))
    assert "concepts." + TRAYS + ".performance.rate_parts_per_h" not in worked(MILL, TRAYS, None).sheet


# --- a cell alone ---


def test_what_ends_a_run_alone_first() -> None:
    """Of each operation tools and chips of its machines, the lot, the pockets: here the chip box of the one lathe."""
    made = worked(LINE, TRACK, counted(1300.0, 1200.0))
    limits = {
        name: made[f"{operation}.{name}_limit_parts"] for operation, name in (("milling", "tool"), ("milling", "chip"))
    } | {f"lathe_{name}": made[f"turning.{name}_limit_parts"] for name in ("tool", "chip")}

    assert limits == {"tool": 240.0, "chip": 480.0, "lathe_tool": 300.0, "lathe_chip": 90.0}
    pockets = made.of(f"concepts.{TRACK}.feasibility.pockets")
    bound = made.of(made.own.bound_per_h)
    least = min(90.0, pockets, 150.0)
    assert made["alone_limit"] == pytest.approx(min(4.0 * bound, least))
    assert made.of(made.own.autonomy_s) == pytest.approx(least / bound * 3600.0)


def test_parts_alone_are_what_was_simulated_less_long_stops_and_scrap() -> None:
    """100 loads of two parts on five evenings: 40 parts a run, whatever the closed form says."""
    made = worked(MILL, TRAYS, counted(1000.0, 900.0))

    assert made["alone_factor"] * made["expected_loads_alone"] == pytest.approx(100.0 / 5.0)
    assert made["alone_parts"] == pytest.approx(40.0 * made["available"] * 0.97)
    assert made.of(made.own.unattended_per_h) == pytest.approx(made["alone_parts"] / 3.0)
    assert made.of(made.own.unattended_h_per_y) == pytest.approx(3.0 * MILL.shop.work_days_per_y.value)


def test_the_closed_form_behind_it_counts_loads_until_the_first_stop() -> None:
    """Faults of the exchange, two parts a load, and stops of the mill while it cuts."""
    made = worked(MILL, TRAYS, counted(1000.0, 900.0))
    fault = 1.0 - (1.0 - FIGURES["fault_share_per_part"]) ** 2
    survives = (1.0 - fault) * math.exp(-300.0 / MILL.machines[0].stops.short_every_s.value)
    loads = made["alone_limit"] / 2.0

    assert made["stop_share_alone"] == pytest.approx(1.0 - survives)
    expected = survives * (1.0 - survives**loads) / (1.0 - survives)
    assert made["expected_loads_alone"] == pytest.approx(expected)


def test_a_year_is_attended_hours_and_runs_alone() -> None:
    """One run each working day."""
    made = worked(MILL, TRAYS, counted(1000.0, 900.0))
    days = MILL.shop.work_days_per_y.value

    attended = made.of(made.own.attended_per_h) * 16.0 * days
    assert made.of(made.own.parts_per_y) == pytest.approx(attended + made["alone_parts"] * days)


def test_with_no_hours_alone_there_are_no_parts_alone() -> None:
    """Not wished: None for the rate, nought for the parts, and the autonomy is still said."""
    made = worked(told(MILL, {"wishes.unattended": 0.0}), TRAYS, counted(900.0, 900.0))

    assert made.own.unattended_per_h is None
    assert made.own.parts_alone is None
    assert made["alone_parts"] == 0.0
    assert made.of(made.own.autonomy_s) > 3600.0


def test_a_cell_that_was_not_simulated_stands_at_bounds_that_nothing_beats() -> None:
    """The load bound attended, and alone over the hours that end the run."""
    made = worked(MILL, TRAYS, None)

    assert made["achieved"] == 1.0
    assert made["simulated_parts_per_h"] == pytest.approx(made.of(made.own.bound_per_h))
    assert made["alone_parts"] == pytest.approx(3.0 * made.of(made.own.bound_per_h))
    assert made.own.output is None


@pytest.mark.parametrize("hours", [0.5, 1.0, 4.0, 24.0])
@pytest.mark.parametrize("output", [None, counted(1000.0, 100.0)], ids=["bound", "simulated"])
def test_the_rate_alone_is_never_above_the_load_bound(hours: float, output: Output | None) -> None:
    """Where the hours end a run, as many loads are in the machines then as were when people left; where the pockets do,
    those come out as well, and the cell stands for the rest."""
    made = worked(told(MILL, {"wishes.unattended": hours * 3600.0}), TRAYS, output)
    bound, rate = made.of(made.own.bound_per_h), made.of(made.own.unattended_per_h)

    assert 0.0 < rate <= bound * (1.0 + 1e-12)
    if output is None:
        by_stock = made["alone_limit"] < bound * hours
        assert made["alone_parts"] == pytest.approx(made["alone_limit"] + 2.0 if by_stock else bound * hours)
        assert by_stock is (hours > 4.0)


# --- people's hours ---


def test_people_still_do_their_duties_the_inside_work_that_stays_and_no_more() -> None:
    """2 % and 3 % of the week over 1 000 loads of two parts; 40 s of deburring with allowance over two parts."""
    made = worked(MILL, TRAYS, counted(1000.0, 900.0, (0.02, 0.03)))
    duties = 0.05 * WEEK_H * 3600.0 / 2000.0
    inside = 40.0 * (1.0 + MILL.people.allowance.value) / 2.0
    parts = 40_000.0  # as ordered: both ways make more

    assert made["duties_s"] == pytest.approx(duties)
    assert made["tended_parts_per_y"] == pytest.approx(parts)
    assert made.of(made.own.operator_h_per_y) == pytest.approx(parts / 0.97 * (duties + inside) / 3600.0)


def test_inside_work_of_a_line_counts_at_every_operation() -> None:
    """20 s with allowance at the mill and again at the lathe."""
    made = worked(LINE, TRACK, counted(1300.0, 1200.0))

    assert made["stays_part_s"] == pytest.approx(2.0 * 20.0 * (1.0 + LINE.people.allowance.value))


def test_nobody_works_more_than_today() -> None:
    """Duties all week long end at the hours that are assigned; the pace verdict speaks of the rest."""
    made = worked(MILL, TRAYS, counted(1000.0, 900.0, (1.0,)))

    assert made.of(made.own.operator_h_per_y) == made.of(made.today.operator_h_per_y)


def test_fewer_orders_take_hours_from_both_sides_alike() -> None:
    """Half of what is made today is ordered: today and the cell need half the hours, and so half are freed."""
    output = counted(1000.0, 900.0, (0.05,))
    enough = worked(told(MILL, {"parts.lever.orders_per_y": 60_000.0}), TRAYS, output)
    half = worked(told(MILL, {"parts.lever.orders_per_y": 30_000.0}), TRAYS, output)
    today = enough.of(enough.today.parts_per_y)

    assert today == pytest.approx(60_000.0)
    assert enough["tended_parts_per_y"] == pytest.approx(today)
    assert half["tended_parts_per_y"] == pytest.approx(30_000.0)
    for before, now in ((enough.today, half.today), (enough.own, half.own)):
        assert half.of(now.operator_h_per_y) == pytest.approx(0.5 * enough.of(before.operator_h_per_y))
        assert half.of(now.parts_per_y) == pytest.approx(enough.of(before.parts_per_y))  # what could be made


def test_a_way_by_hand_that_makes_more_is_credited_with_no_hours_for_it() -> None:
    """Fewer orders than today makes: a quicker change by hand shrinks by the share of today's parts, not of its own."""
    few = told(MILL, {"parts.lever.orders_per_y": 45_000.0})
    quick = worked(few, "by_hand-second_fixture", counted(1000.0, 1000.0))

    assert quick.of(quick.own.parts_per_y) > quick.of(quick.today.parts_per_y) > 45_000.0
    assert quick.of(quick.own.operator_h_per_y) == pytest.approx(quick.of(quick.today.operator_h_per_y))


def test_more_parts_that_are_worth_nothing_cost_no_hours() -> None:
    """Nobody said what one more part leaves: the hours are those for today's parts, whatever could be made."""
    output = counted(1000.0, 900.0, (0.05,))
    more = told(MILL, {"parts.lever.orders_per_y": 90_000.0})
    unsaid = told(more, {"parts.lever.contribution_per_part": 0.0})

    said, none = worked(more, TRAYS, output), worked(unsaid, TRAYS, output)
    assert none["tended_parts_per_y"] == none.of(none.today.parts_per_y) < said["tended_parts_per_y"]
    assert none.of(none.own.operator_h_per_y) < said.of(said.own.operator_h_per_y)


def test_a_cell_too_slow_for_today_saves_no_hours_by_it() -> None:
    """Half the loads, the same work a part: the hours of today's parts stay counted."""
    enough = told(MILL, {"parts.lever.orders_per_y": 60_000.0})
    slow = worked(enough, TRAYS, counted(500.0, 450.0, (0.025,)))
    quick = worked(enough, TRAYS, counted(1000.0, 900.0, (0.05,)))

    assert slow.of(slow.own.parts_per_y) < slow.of(slow.today.parts_per_y)
    assert slow["tended_parts_per_y"] == slow.of(slow.today.parts_per_y)
    assert slow["duties_s"] == pytest.approx(quick["duties_s"])


def test_orders_of_all_families_are_made() -> None:
    """Two part families of 50 000 each: more is made for both than for one."""
    part = MILL.parts[0]
    second = replace(part, name="arm", orders_per_y=replace(part.orders_per_y, id="parts.arm.orders", value=90_000.0))
    both = replace(MILL, parts=(part, second))
    output = counted(1000.0, 900.0)

    made = worked(both, TRAYS, output)
    assert (
        made["tended_parts_per_y"] == made.of(made.own.parts_per_y) > worked(MILL, TRAYS, output)["tended_parts_per_y"]
    )


def test_a_mould_alone_ends_where_its_outfeed_is_full() -> None:
    """Its pockets are those of box or conveyor."""
    concept = ids(MOULD, "from_mould-out_conveyor-pedestal-fenced_20")[0]
    made = worked(MOULD, concept, None)
    pockets = made.of(f"concepts.{concept}.feasibility.pockets")

    assert made["alone_limit"] == pockets
    assert made["alone_parts"] == pytest.approx(pockets + 4.0)


# --- waits for the arm ---


def test_a_machine_waits_for_the_arm_in_the_hours_in_which_the_cell_may_run() -> None:
    """10 % of the week (8 to 12 %) while the cell is open for half of it: a fifth; 1000 loads share the seconds."""
    waiting = {"waiting": 0.10, "waiting_low": 0.08, "waiting_high": 0.12}
    made = worked(MILL, TRAYS, replace(counted(1000.0, 900.0), effectiveness={"machine_1": waiting}))
    (wait,) = made.own.waits
    share, each = made.sheet[wait.share], made.sheet[wait.a_load]
    hours = 16.0 + MILL.wishes.unattended_s.value / 3600.0
    open_ = 5.0 * hours / 168.0

    assert wait.operation == MILL.parts[0].operations[0].name
    assert (share.low, share.value, share.high) == pytest.approx((0.08 / open_, 0.10 / open_, 0.12 / open_))
    assert each.value == pytest.approx(0.10 * WEEK_H * 3600.0 / 1000.0)
    assert "95 % interval" in share.source


def test_each_operation_of_a_line_has_its_own_wait() -> None:
    """Machines of one operation together: the mean of theirs, and the seconds of a load at any of them."""
    count = round(sum(machine.count.value for machine in LINE.machines))
    shares = [0.1 * number for number in range(1, count + 1)]
    waiting = {f"machine_{number}": dict.fromkeys(("waiting", "waiting_low", "waiting_high"), share)
             for number, share in enumerate(shares, start=1)}  # fmt: skip
    made = worked(LINE, TRACK, replace(counted(1300.0, 1200.0), effectiveness=waiting))

    assert [each.operation for each in made.own.waits] == [each.name for each in LINE.parts[0].operations]
    seconds = sum(made.of(each.a_load) for each in made.own.waits)
    assert seconds == pytest.approx(sum(shares) * WEEK_H * 3600.0 / 1300.0)


def test_what_was_not_simulated_and_work_by_hand_tell_no_wait() -> None:
    """At the load bound nothing was counted; a machine that people tend has no hours of its own."""
    waiting = {"machine_1": {"waiting": 0.1, "waiting_low": 0.1, "waiting_high": 0.1}}
    assert worked(MILL, TRAYS, None).own.waits == ()
    assert worked(MILL, "by_hand-second_fixture", replace(counted(880.0, 880.0), effectiveness=waiting)).own.waits == ()


def test_heads_told_for_each_shift_are_followed() -> None:
    """Two by day and one by night: the worked hours of each shift times its heads; who tends machines elsewhere too is
    here in part alone, whatever the heads."""
    own = replace(LINE, shifts=tuple(map(with_heads, LINE.shifts, (2.0, 1.0))))
    made, before = worked(own, "today", None), worked(LINE, "today", None)
    elsewhere = worked(told(own, {"people.machines_per_operator": 6.0}), "today", None)

    early, late = (
        shift.days_per_week.value * (shift.length_s.value - sum(pause.length_s.value for pause in shift.breaks))
        for shift in LINE.shifts
    )
    mean = (2.0 * early + late) / (early + late)
    assert before.of("shifts.assigned_heads") == 1.0
    assert made.of("shifts.assigned_heads") == pytest.approx(mean)
    assert made.of("shifts.assigned_h_per_y") == pytest.approx(mean * before.of("shifts.assigned_h_per_y"))
    assert elsewhere.of("shifts.assigned_heads") == 0.5


def with_heads(shift: Shift, heads: float) -> Shift:
    """A shift with its own heads, as told."""
    own = replace(shift.operators, id=f"shifts.{shift.name}.operators", value=heads, basis="given", source="i.yaml")
    return replace(shift, operators=own)

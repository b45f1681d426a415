"""What `millhand simulate` shows for one cell: every part of the answer at 80 columns, and nothing that is empty."""

from typing import Any

import pytest

from millhand.cli.simulate_show import answer, pilot_words
from millhand.cli.simulate_table import abreast, between, fine_percent, lasting, percent, seconds, table
from millhand.intake.cell import cell_from
from millhand.model.performance import Alone, Figure, Output
from millhand.solvers.output.pilot import Pilot
from millhand.solvers.output.runs import Sureness, sureness
from tests.reference_variants import reference_form
from tests.solvers.kernel.shop import arm_cell, with_person

SURE = sureness([9.0, 10.0, 11.0, 10.0])
LONG = "a" * 32  # the longest id


def exact(value: float) -> Figure:
    """A figure without spread."""
    return Figure(mean=value, low=value, high=value)


def output(**changed: Any) -> Output:
    """A day of the reference cell, written by hand."""
    whole: dict[str, Any] = {
        "cell": "c",
        "seed": 1,
        "replications": 4,
        "horizon_s": 86_400.0,
        "parts_per_h": Figure(mean=10.0, low=9.0, high=11.0),
        "good_per_h": exact(9.5),
        "counts": {
            "escaped": exact(0.5),
            "attended": exact(8.0),
            "unattended": exact(2.0),
            "good_unattended": exact(1),
        },
        "attended_share": 1.0,
    }
    return Output(**(whole | changed))


def shown(told: Output, *, sure: Sureness = SURE, pilot: Pilot | None = None, form: Any = None) -> str:
    """The text, none of whose lines is too wide."""
    lines = list(answer(cell_from(form or reference_form()), told, sure=sure, pilot=pilot))
    assert max(map(len, lines)) <= 80, max(lines, key=len)
    assert "" not in (lines[0], lines[-1])
    return "\n".join(lines)


def squeezed(text: str) -> str:
    """One blank between words, whatever the columns."""
    return " ".join(text.split())


def test_parts_are_told_by_hour_shift_and_week() -> None:
    """Ten an hour are eighty in a shift and 1680 in a week; what else was counted stands below by its name."""
    text = squeezed(shown(output()))

    assert "4 replications of 24 h, seed 1" in text
    assert "parts 10.000 9.000 to 11.000 80.0 1680" in text
    assert "good parts 9.500 9.500 to 9.500 76.0 1596" in text
    assert "In 8 h of all hours: 4.00 bad parts that left unseen." in text


def test_parts_that_stayed_too_long_are_told_with_what_keeps_stays() -> None:
    """They are scrap; the rule that keeps stays is named."""
    text = squeezed(shown(output(counts={"late": exact(1.0)})))

    assert "In 8 h of all hours: 8.00 parts that stayed too long." in text
    assert "keeps such stays by the dispatch rule cycle" in text


def test_machines_where_parts_stayed_too_long_are_told_one_by_one() -> None:
    """Each with its own count in 8 h, also one where none did; nothing is said where none did anywhere."""
    late = {"m1": Figure(mean=1.0, low=0.5, high=1.5), "m2": exact(0.0)}
    text = squeezed(shown(output(late_at=late)))

    assert "m1 8.00 4.00 to 12.00" in text
    assert "m2 0.00 0.00 to 0.00" in text
    assert "stayed too long" not in shown(output(late_at={"m2": exact(0.0)}))


def test_states_stand_in_one_order_in_all_tables() -> None:
    """That of the documents, whoever is in which."""
    states = {"m1": {"off": 0.5, "working": 0.5}, "m2": {"blocked": 0.5, "working": 0.5}}
    lines = shown(output(states=states)).splitlines()
    rows = lines[next(at for at, line in enumerate(lines) if line.startswith("share of time")) + 2 :]

    assert [row.split()[0] for row in rows] == ["working", "blocked", "off"]


def test_what_did_not_happen_is_not_shown() -> None:
    """No absences, no duties, no stocks, no lots: no lines of them."""
    text = shown(output())

    for words in (
        "alone",
        "nobody there",
        "times",
        "stock",
        "load to load",
        "OEE",
        "share of time",
        "lots",
        "Left out",
    ):
        assert words not in text


def test_attended_and_alone_are_told_by_their_own_hours() -> None:
    """Eight of ten parts in half of the time are sixteen an hour of it."""
    text = squeezed(shown(output(attended_share=0.5)))

    assert "parts, attended 16.000 16.000 to 16.000 128.0 1344" in text
    assert "good parts, alone 2.000" in text
    assert "Somebody is there in 50 % of the time." in text


def test_runs_alone_are_told_with_their_causes() -> None:
    """How long until a call and until it stood, what it made, what was needed first and what ended it, with shares."""
    alone = Alone(
        absences=8,
        ran_through=0.25,
        until_end_s={"p10_s": 90.0, "p50_s": 1800.0, "p90_s": 9000.0},
        parts=Figure(mean=12.0, low=10.0, high=14.0),
        first_need={"drawers empty": 0.5, "m1 stop": 0.25},
        ended_by={"drawers empty": 0.75},
    )
    text = squeezed(
        shown(output(alone=alone, alone_s={"absences": 8.0, "stopped": 6.0, "p10_s": 60.0, "p50_s": 7200.0}))
    )

    assert "until somebody is needed 60 s 2.0 h longer" in text
    assert "until it stands, where it does 90 s 30 min 2.5 h" in text
    assert "8 absences of all people: 25 % ran through to their end; 12.0 parts made in each (10.0 to 14.0)." in text
    assert "drawers empty 50 % 75 %" in text
    assert "m1 stop 25 % -" in text


def test_an_absence_that_is_not_over_has_no_end_to_tell() -> None:
    """The run may end before anybody comes back."""
    text = shown(output(alone_s={"absences": 1.0, "stopped": 0.0}))

    assert "1 absence of all people, not over yet." in text


def test_duties_and_people_are_told_by_the_shift() -> None:
    """A call in two hours are four in eight; a tenth of the time is 48 minutes."""
    states = {"operator1": {"on_duty": 0.1, "idle": 0.9}}
    text = squeezed(shown(output(duties={"refill": exact(0.5)}, duty_share={"refill": exact(0.1)}, states=states)))

    assert "in 8 h times 95 % interval minutes" in text
    assert "refill 4.00 4.00 to 4.00 48.0" in text
    assert "operator1 48.0 0.0 0.0 432.0" in text
    assert "in 8 h with somebody there" in shown(output(attended_share=0.5, duties={"refill": exact(0.5)},
                                                        duty_share={"refill": exact(0.1)}))  # fmt: skip


def test_stocks_cycle_times_and_key_figures_stand_by_machine() -> None:
    """With the standard's names; a value that is not known is a dash."""
    text = squeezed(
        shown(
            output(
                levels={"drawers": 40.25},
                cycles={"m1": {"p10_s": 90.0, "p50_s": 100.04, "error": 0.0575}},
                effectiveness={"m1": {"availability": 0.9, "effectiveness": 0.8, "quality": 0.99, "oee": 0.7128}},
                finished_s=Figure(mean=7200.0, low=3600.0, high=10_800.0),
            )
        )
    )

    assert "drawers 40.2 80" in text
    assert "m1 - 90.0 100 -" in text
    assert "each figure is the middle of its class: it may be 6 % more or less, the mean too." in " ".join(text.split())
    assert "availability effectiveness quality OEE" in text
    assert "m1 90.0% 80.0% 99.0% 71.3% Quality is that of the whole cell." in text
    assert "All lots are done after 2.00 h (1.00 to 3.00); the rates are over all 24 h." in text


def test_lots_that_the_run_did_not_finish_are_said_to_be_left() -> None:
    """240 parts in the day of 300: no time until all are done is told."""
    form = arm_cell() | {"goal": "makespan"}
    form["parts"]["part"]["lot"] = {"size": 300}
    text = squeezed(shown(output(finished_s=exact(86_400.0)), form=form))

    assert "Not all lots are done in 24 h: 60.0 parts are left. Write more --hours." in text
    assert "All lots" not in text


def test_many_machines_with_long_names_stay_within_the_page() -> None:
    """Tables of states break into several; each station stands in one."""
    names = [f"{LONG[:-2]}{number:02}" for number in range(5)]
    form = arm_cell()
    states = {name: {"working": 0.5, "waiting_attendant": 0.5} for name in names}
    text = shown(
        output(
            states=states,
            effectiveness={name: {"oee": 1.0} for name in names},
            cycles={name: {"mean_s": 12_345.0, "error": 0.01} for name in names},
        ),
        form=form,
    )

    assert text.count("share of time") == 5
    assert all(name in text for name in names)


# 264 = (1.969 x 0.8165 / (10 x 0.01 / 1.01))^2, rounded up: t of 263 degrees of freedom, s of the four values
@pytest.mark.parametrize(
    ("sure", "words"),
    [
        (sureness([9.0, 10.0, 11.0, 10.0]), "1 % would take 264 replications (--precision 0.01)"),
        (sureness([100.0, 100.1, 100.0, 99.9]), "1 % is met"),
        (sureness([100.0, 100.1, 100.0, 99.9], most=9), "the 1 % asked for took 4 replications"),
        (sureness([9.0, 10.0, 11.0, 10.0], most=4), "was not met by 4 replications, the most allowed"),
        (sureness([5.0, 5.0]), "All 4 replications gave the same good parts."),
        (sureness([0.0, 0.0]), "cannot be said: no good parts came out"),
    ],
)
def test_sureness_is_told_in_words(sure: Sureness, words: str) -> None:
    """What it took, what it would take, or why that cannot be said."""
    assert words in squeezed(shown(output(), sure=sure))


def test_one_replication_shows_no_spread() -> None:
    """And so no precision."""
    assert "one replication shows no spread" in shown(output(replications=1), sure=sureness([9.0]))


def found(**changed: Any) -> str:
    """The words about a pilot."""
    whole: dict[str, Any] = {"cut_h": 0.0, "long_enough": True, "by_chance": True, "slice_h": 1.0, "slices": 168}
    pilot = Pilot(**(whole | {"batch": 5, "replications": 10} | changed))
    return squeezed("\n".join(pilot_words(pilot)))


def test_a_pilot_is_told_in_words() -> None:
    """A cut, none needed, too short with its cure, nothing left to chance."""
    where = "in a pilot of 10 replications of 168 slices of 1 h."
    assert found(cut_h=15.0) == f"Warm-up: 15 h cut off, found by MSER-5 {where}"
    assert found(batch=1) == f"Warm-up: none needed, found by MSER {where}"
    assert "run too short" in found(long_enough=False)
    assert "Write more --hours than 168" in found(long_enough=False)
    assert "Nothing in this cell is left to chance" in found(by_chance=False)


def test_words_of_a_table() -> None:
    """Words to the left, figures to the right, no blanks at the end of a line."""
    assert table(("", "a"), [("long", "1"), ("b", "23")]) == ["       a", "--------", "long   1", "b     23"]


def test_words_without_room_stand_above_their_figures() -> None:
    """No figure is pushed off the page; the other rows stay as they are."""
    lines = table(("", "a"), [("short", "1" * 40), (LONG * 2, "2")])

    assert lines == [" " * 46 + "a", "-" * 47, f"short  {'1' * 40}", LONG * 2, " " * 46 + "2"]


def test_long_names_of_parts_duties_and_causes_stay_within_the_page() -> None:
    """An id of 32 letters, and a fault's of as many at such a station."""
    alone = Alone(
        absences=1,
        ran_through=0.0,
        until_end_s={},
        parts=exact(1.0),
        first_need={f"{LONG} {LONG}": 1.0},
        ended_by={},
    )
    wide = Figure(mean=123_456.0, low=123_455.0, high=123_457.0)
    text = shown(
        output(
            by_part={LONG: wide},
            duties={LONG: wide},
            duty_share={LONG: exact(1.0)},
            alone=alone,
            alone_s={"absences": 1.0},
        )
    )

    assert text.count(LONG) == 4


def test_columns_that_do_not_fit_go_below() -> None:
    """As many as there is room for; one that is too wide for any page stands alone."""
    assert abreast(["a", "b", "c"], first=60, least=6) == [["a", "b"], ["c"]]
    assert abreast([LONG * 3, "b"], first=10, least=6) == [[LONG * 3], ["b"]]
    assert abreast([], first=10, least=6) == []


def test_figures_in_words() -> None:
    """The unit that people would use; no minus before nothing; shares that are not nothing do not read as nothing."""
    assert [lasting(s) for s in (0.0, 119.4, 120.0, 7199.0, 7200.0)] == ["0 s", "119 s", "2 min", "120 min", "2.0 h"]
    assert between(Figure(mean=0.0, low=-0.001, high=0.0), 1) == "0.0 to 0.0"
    assert [percent(share) for share in (0.0, 0.004, 0.5, 0.996, 1.0)] == ["0 %", "0.4 %", "50 %", "99.6 %", "100 %"]
    assert [fine_percent(share) for share in (0.01, 0.00494, 0.25)] == ["1 %", "0.49 %", "25 %"]
    assert [seconds(value) for value in (9.96, 99.94, 100.04)] == ["10.0", "99.9", "100"]


def test_stocks_in_own_buffers_have_their_room() -> None:
    """A machine's own buffers are stocks of their own, each with its room."""
    form = arm_cell(1, hands=1, time_s=60)
    form["stations"]["m1"] |= {"in_queue": 2, "out_queue": None}
    lines = list(answer(cell_from(form), output(levels={"m1 in": 1.5, "m1 out": 0.25}), sure=SURE, pilot=None))

    assert [line.split() for line in lines if line.startswith("m1 in ")] == [["m1", "in", "1.5", "2"]]
    assert [line.split()[:4] for line in lines if line.startswith("m1 out ")] == [["m1", "out", "0.2", "any"]]


def with_looks(**more: Any) -> dict[str, Any]:
    """An arm at a machine, and a person with 240 s at the bench for each part."""
    trigger = {"kind": "parts", "at": ["m1"], "every": 1}
    return with_person(arm_cell(), look={"trigger": trigger, "takes": 240} | more)


def looked(per_h: float, looks: float, **more: Any) -> Output:
    """So many parts an hour, and so many looks at them."""
    return output(parts_per_h=exact(per_h), duties={"look": exact(looks)}, duty_share={"look": exact(0.5)}, **more)


@pytest.mark.parametrize(("per_h", "told"), [(20.0, True), (10.0, False)])
def test_more_parts_than_their_duties_allow_are_told(per_h: float, told: bool) -> None:
    """With 240 s at the bench for each part fifteen an hour can be kept up; twenty leave, most of them unseen."""
    text = squeezed(shown(looked(per_h, min(15.0, per_h)), form=with_looks()))

    assert ("look is left undone more and more often" in text) == told
    assert ("No more than 15.000 an hour can be kept up." in text) == told


@pytest.mark.parametrize("looks", [20.0, 15.0])
def test_a_duty_that_holds_the_machine_is_left_undone_only_where_calls_are(looks: float) -> None:
    """A machine stands while somebody is at it, not from the call on; where each call is answered nothing is said."""
    assert ("left undone" in squeezed(shown(looked(20.0, looks), form=with_looks(holds="station")))) == (looks < 20.0)


def test_duties_left_undone_beside_hours_of_work_are_told() -> None:
    """Eight hours of looking a day are enough for five parts an hour; what waits for the morning is not left undone."""
    form = with_looks()
    form["calendars"] = {"day": {"period_s": 86_400, "on": [[0, 28_800]]}}
    form["attendants"]["person"]["calendar"] = "day"
    late = squeezed(shown(looked(10.0, 5.0, horizon_s=10 * 86_400.0), form=form))
    kept = squeezed(shown(looked(4.0, 3.8, horizon_s=10 * 86_400.0), form=form))

    assert "more work than there is time for in the hours of work: look is left undone" in late
    assert "No more than 5.000 an hour can be kept up." in late
    assert "left undone" not in kept


def test_duties_for_which_there_is_time_but_that_nobody_comes_to_are_told() -> None:
    """Below the bound, too: somebody who is kept from it by other calls, say."""
    text = squeezed(shown(looked(10.0, 5.0), form=with_looks()))

    assert "look is left undone more and more often while parts leave all the same." in text
    assert "can be kept up" not in text


@pytest.mark.parametrize(("breaks", "told"), [(3.0, True), (6.0, False)])
def test_a_clock_that_rings_for_nothing_is_told_where_more_parts_leave(breaks: float, told: bool) -> None:
    """Five minutes away six times an hour leave half of it; a ring while one waits calls nobody, so parts go on."""
    form = with_looks(takes=180)
    away = {"trigger": {"kind": "clock", "every": 600}, "takes": 300}
    form = with_person(form, **form["duties"], away=away)
    made = output(parts_per_h=exact(15.0), duties={"look": exact(15.0), "away": exact(breaks)},
                  duty_share={"look": exact(0.7), "away": exact(0.3)})  # fmt: skip
    text = squeezed(shown(made, form=form))

    assert ("more work than there is time for: away is not done each time its clock rings." in text) == told
    assert ("an hour can be kept up." in text) == told

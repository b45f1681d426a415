"""The simulation against counts that are binomial or geometric: misses, runs alone, checks, and every law of a span.

Seeds were fixed before the first run. Three standard errors are allowed, as tests.agreement.test_queues has them; a
test of a whole distribution fails below one chance in a thousand.
"""

import itertools
import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from scipy import stats

from millhand.formulas.output import joint_good_share
from millhand.formulas.unattended import autonomy_s, expected_unattended_parts, runs_without_fault
from millhand.intake.cell import cell_from
from millhand.model.performance import Output
from millhand.solvers.kernel.replications import log_lines, simulate
from tests.agreement.test_queues import (
    SEED,
    Form,
    Size,
    allowed,
    chain_cell,
    exponential,
    far,
    figures,
    gap,
    outputs,
    share,
)
from tests.solvers.kernel.shop import arm_cell, with_person

QUICK = Size(replications=12, hours=12)  # an exchange of half a minute
QUICK_ALONE = Size(replications=250, hours=3)  # one absence in each
QUICK_LAW_HOURS = 15.0  # of loads that take 20 s
LEAST_P = 0.001
BEGINS_S = 2  # work begins when the person has left, so that no stop meets him
HOURS = {
    "leaves": {"period_s": 1_000_000, "on": [[0, 1]]},
    "begins": {"period_s": 1_000_000, "on": [[BEGINS_S, 1_000_000]]},
}


# --- picks that miss ---


MISSES = [(0.2, 0), (0.3, 1), (0.5, 3)]


def missing_runs(p: float, retries: int) -> list[Output]:
    """An arm whose picks miss with chance p per try, and a person who is called when all tries have missed."""
    form = with_person(arm_cell(time_s=10), clear={"trigger": {"kind": "fault"}, "takes": 30, "holds": "arm"})
    form["handling"][0]["miss"] = {"p": p, "retries": retries, "retry_s": 7, "duty": "clear"}
    return outputs(form, QUICK)


def attempts(output: Output) -> float:
    """Picks that were begun, per hour: those that succeeded, and those that were given up with a call."""
    return output.counts["picked"].mean + output.duties["clear"].mean


@pytest.mark.parametrize(("p", "retries"), MISSES)
def test_misses_and_then_a_call(p: float, retries: int) -> None:
    """A pick is given up when it and all its retries miss, chance p^(retries + 1); after the call it is tried anew."""
    each = missing_runs(p, retries)
    calls = math.fsum(output.duties["clear"].mean for output in each) * QUICK.hours
    begun = math.fsum(map(attempts, each)) * QUICK.hours
    given_up = p ** (retries + 1)

    assert abs(calls - begun * given_up) < 3 * math.sqrt(begun * given_up * (1 - given_up))


@pytest.mark.parametrize(("p", "retries"), MISSES)
def test_tries_are_handling(p: float, retries: int) -> None:
    """The first try takes 5 s, each further one 7 s, of which the mean number is p (1 - p^retries) / (1 - p)."""
    each = missing_runs(p, retries)
    pick_s = [
        (share(output, "handling", "arm") * 3600 - 15 * output.parts_per_h.mean) / attempts(output) for output in each
    ]
    begun = math.fsum(map(attempts, each)) / len(each) * QUICK.hours
    mean_s = 5 + 7 * p * (1 - p**retries) / (1 - p)

    # At the horizon the last part's 15 s may be done and the part not be out.
    assert abs(math.fsum(pick_s) / len(each) - mean_s) < allowed(pick_s) + 15 / begun


@pytest.mark.parametrize(("p", "retries"), MISSES)
def test_misses_are_counted_up_to_the_call(p: float, retries: int) -> None:
    """A pick that is given up has missed retries + 1 times: p (1 - p^(retries + 1)) / (1 - p) misses per pick begun."""
    misses = figures(missing_runs(p, retries), lambda output: output.counts["misses"].mean / attempts(output))

    assert gap(misses, p * (1 - p ** (retries + 1)) / (1 - p)) < 1


@pytest.mark.parametrize("shares", [(0.9, 0.8), (0.97, 0.99, 0.6)])
def test_good_parts_of_several_processes(shares: tuple[float, ...]) -> None:
    """A part is good when each process made it good: the product of the shares; the others escape unseen."""
    form = chain_cell(*((30, 0) for _ in shares))
    for step, good in zip(form["parts"]["part"]["route"][1:], shares, strict=False):
        step["good"] = good
    each = outputs(form, QUICK)
    good = joint_good_share(list(shares))
    found = {
        "good": figures(each, lambda output: output.good_per_h.mean / output.parts_per_h.mean),
        "escaped": figures(each, lambda output: output.counts["escaped"].mean / output.parts_per_h.mean),
    }

    assert not far(found, {"good": good, "escaped": 1 - good})


# --- runs alone ---


def alone_cell(pockets: int, *, p: float = 0.0, machines: int = 1, time_s: float = 60.0) -> Form:
    """Machines that draw from one limited supply, and a person who refills and clears, but leaves first."""
    form = chain_cell((time_s, 0))
    form["stations"]["s1"]["calendar"] = "begins"
    form["stations"]["raw"] = {"kind": "supply", "capacity": pockets, "start": pockets, "refill": "refill"}
    if p:
        form["stations"]["s1"]["faults"] = [{"id": "stop", "on": "load", "p": p, "duty": "clear"}]
    names = [f"s{number + 1}" for number in range(machines)]
    form["stations"] |= dict.fromkeys(names, form["stations"]["s1"])
    form["parts"]["part"]["route"][1]["at"] = names
    form["calendars"], form["attendants"] = HOURS, {"person": {"kind": "operator", "calendar": "leaves"}}
    refill = {"trigger": {"kind": "level", "at": ["raw"], "below": 1}, "takes": 60, "restores": {"raw": "full"}}
    clear = {"trigger": {"kind": "fault"}, "takes": 60, "holds": "station"}
    form["duties"] = {name: {"who": ["person"], **duty} for name, duty in (("refill", refill), ("clear", clear))}
    if not p:
        del form["duties"]["clear"]
    return form


@pytest.mark.parametrize(("p", "pockets"), [(0.02, 40), (0.1, 20), (0.3, 30)])
def test_parts_of_a_run_alone(p: float, pockets: int) -> None:
    """A geometric number of parts, cut off where the presenter is empty: its mean, its whole runs, its distribution."""
    each = outputs(alone_cell(pockets, p=p), QUICK_ALONE)
    parts = [round(output.parts_per_h.mean * QUICK_ALONE.hours) for output in each]
    runs = len(parts)
    whole = runs_without_fault(p, parts=pockets)

    assert gap(parts, expected_unattended_parts(p, pockets=pockets)) < 1
    assert stats.binomtest(sum(made == pockets for made in parts), runs, whole).pvalue > LEAST_P
    assert max(parts) <= pockets
    chances = [p * (1 - p) ** made for made in range(pockets)] + [whole]
    observed = np.bincount(parts, minlength=pockets + 1)
    assert chi_square_p(observed, [runs * chance for chance in chances]) > LEAST_P
    assert all(output.counts["attended"].mean == 0 for output in each)


def chi_square_p(observed: Sequence[int], expected: Sequence[float]) -> float:
    """Chance of so bad a fit; neighbours are put together until five are expected."""
    groups: list[list[float]] = [[0.0, 0.0]]
    for count, wanted in zip(observed, expected, strict=True):
        if groups[-1][1] >= 5:
            groups.append([0.0, 0.0])
        groups[-1][0] += count
        groups[-1][1] += wanted
    if len(groups) > 1 and groups[-1][1] < 5:
        last = groups.pop()
        groups[-1] = [groups[-1][0] + last[0], groups[-1][1] + last[1]]
    got, wanted_of = zip(*groups, strict=True)
    scale = sum(got) / sum(wanted_of)
    return float(stats.chisquare(got, [wanted * scale for wanted in wanted_of]).pvalue)


@pytest.mark.parametrize("p", [0.05, 0.2])
def test_time_alone_until_somebody_is_needed(p: float) -> None:
    """Its quantiles over many absences are those of a geometric number of loads of 60 s, at the start of the load."""
    count = QUICK_ALONE.replications
    alone = simulate(cell_from(alone_cell(100, p=p)), hours=3, replications=count, seed=SEED).alone_s

    assert alone["absences"] == alone["stopped"] == count
    for name, level in (("p10_s", 0.1), ("p50_s", 0.5), ("p90_s", 0.9)):
        loads = (alone[name] - (BEGINS_S - 1)) / 60
        assert loads == int(loads)
        # A quantile of so many lies where the distribution function reaches the level, give or take three errors.
        spread = 3 * math.sqrt(level * (1 - level) / count)
        assert 1 - (1 - p) ** loads <= level + spread
        assert 1 - (1 - p) ** (loads + 1) >= level - spread


@pytest.mark.parametrize(("pockets", "machines"), [(12, 1), (30, 3), (31, 4)])
def test_the_presenter_runs_empty(pockets: int, machines: int) -> None:
    """Without faults all parts come out, and the last is lifted when the others have been worked on."""
    output = simulate(cell_from(alone_cell(pockets, machines=machines)), hours=3, replications=1, seed=SEED)
    rounds = math.ceil(pockets / machines) - 1  # of 60 s before the last part is lifted

    assert output.parts_per_h.mean * 3 == pytest.approx(pockets)
    assert output.alone_s["p50_s"] == BEGINS_S - 1 + rounds * 60
    # The presenter is empty when the last part is lifted; the usual formula counts until the last is done.
    until_done_s = autonomy_s(pockets, time_per_part_s=60, machines=machines)
    assert until_done_s <= (rounds + 1) * 60 < until_done_s + 60


# --- checks ---


def gauged_cell(good: float, every: int, on_bad: str) -> Form:
    """An arm, one machine of 100 s, and a gauge that it stays at; a check is over long before the next part is made."""
    form = arm_cell(time_s=100)
    form["stations"]["gauge"] = {"kind": "process", "place": "out", "attended": True}
    form["handling"].insert(0, {"who": ["arm"], "at": ["gauge"], "pick": {"hold_s": 2}, "place": {"hold_s": 2}})
    route = form["parts"]["part"]["route"]
    route[1]["good"] = good
    route.insert(2, {"at": ["gauge"], "time_s": 10, "every": every, "on_bad": on_bad})
    return form


GAUGED = [(0.7, 1), (0.7, 4), (0.9, 10)]


@pytest.mark.parametrize(("good", "every"), GAUGED)
@pytest.mark.parametrize("on_bad", ["scrap_this", "scrap_since_last"])
def test_scrap_and_checks(good: float, every: int, on_bad: str) -> None:
    """Of each n parts the last is checked. Alone it is scrapped with chance 1 - good; with all since the last good
    check, n parts are, and so the scrapped share is 1 - good whatever n."""
    each = outputs(gauged_cell(good, every, on_bad), QUICK)
    n, bad = every, 1 - good
    if on_bad == "scrap_this":
        exact = {"scrapped": bad / n, "escaped": (n - 1) * bad / n, "good": good}
    else:
        exact = {"scrapped": bad, "escaped": good * (n - 1) * bad / n, "good": good * (1 + (n - 1) * good) / n}
    parts = figures(each, lambda output: output.parts_per_h.mean * QUICK.hours)
    counted = {
        "scrapped": figures(each, lambda output: output.counts["scrapped"].mean * QUICK.hours),
        "escaped": figures(each, lambda output: output.counts["escaped"].mean * QUICK.hours),
        "good": figures(each, lambda output: output.good_per_h.mean * QUICK.hours),
    }
    found = {name: [value / of for value, of in zip(counted[name], parts, strict=True)] for name in counted}
    if n == 1:  # nothing can escape, in any run
        assert not any(found.pop("escaped"))
        del exact["escaped"]

    assert not far(found, exact)
    for at, output in enumerate(each):
        gauged = output.counts["gauged"].mean * QUICK.hours
        assert parts[at] // n - 1 <= gauged <= parts[at] // n + 1  # one may be under way


# --- laws ---

LAWS: list[tuple[dict[str, Any], Any]] = [
    (exponential(20), stats.expon(scale=20)),
    ({"dist": "lognormal", "mean_s": 20, "cv": 0.7}, None),
    ({"dist": "weibull", "mean_s": 20, "shape": 1.7}, stats.weibull_min(1.7, scale=20 / math.gamma(1 + 1 / 1.7))),
    ({"dist": "uniform", "mean_s": 20, "low_s": 5, "high_s": 35}, stats.uniform(5, 30)),
    (
        {"dist": "triangular", "mean_s": 20, "low_s": 5, "mode_s": 10, "high_s": 45},
        stats.triang(0.125, loc=5, scale=40),
    ),
]


def load_times_s(span: dict[str, Any]) -> list[float]:
    """How long each load took, from the log of a machine that never waits."""
    lines = log_lines(cell_from(chain_cell((span, 0))), hours=QUICK_LAW_HOURS, seed=SEED)
    ends = [0.0, *(float(line["t_s"]) for line in lines if line["what"] == "finished")]
    return [later - before for before, later in itertools.pairwise(ends)]


@pytest.mark.parametrize(("span", "law"), LAWS, ids=[span["dist"] for span, _ in LAWS])
def test_times_of_loads_follow_their_law(span: dict[str, Any], law: Any) -> None:
    """Kolmogorov and Smirnov against the distribution function of another library, and the mean that is written."""
    if law is None:
        variance = math.log1p(span["cv"] ** 2)
        law = stats.lognorm(math.sqrt(variance), scale=20 * math.exp(-variance / 2))
    times = load_times_s(span)

    assert stats.kstest(times, law.cdf).pvalue > LEAST_P
    assert gap(times, 20) < 1


def test_times_of_loads_that_are_geometric_or_measured() -> None:
    """Whole numbers 1, 2, 3 ... with chance p (1 - p)^(n - 1); measured values each as often."""
    times = [round(time) for time in load_times_s({"dist": "geometric", "mean_s": 4})]
    counts = np.bincount(times)
    expected = [0.0, *(len(times) * 0.25 * 0.75 ** (n - 1) for n in range(1, len(counts)))]
    assert counts[0] == 0
    assert chi_square_p(counts[1:], expected[1:]) > LEAST_P

    values = [5, 10, 10, 15, 60]
    times = [round(time) for time in load_times_s({"dist": "empirical", "mean_s": 20, "values_s": values})]
    assert set(times) == set(values)
    shares = [len(times) * values.count(value) / 5 for value in sorted(set(values))]
    assert chi_square_p([times.count(value) for value in sorted(set(values))], shares) > LEAST_P


def test_loads_of_two_stations_are_independent() -> None:
    """Each station has its own stream: two alike machines side by side have no correlation of their loads."""
    form = chain_cell((exponential(20), 0))
    form["stations"]["s2"] = form["stations"]["s1"]
    form["parts"]["part"]["route"][1]["at"] = ["s1", "s2"]
    lines = log_lines(cell_from(form), hours=QUICK_LAW_HOURS, seed=SEED)
    each = {
        name: np.diff([float(line["t_s"]) for line in lines if (line["what"], line["where"]) == ("finished", name)])
        for name in ("s1", "s2")
    }
    pairs = min(map(len, each.values()))

    assert stats.pearsonr(each["s1"][:pairs], each["s2"][:pairs]).pvalue > LEAST_P
    assert stats.pearsonr(each["s1"][:-1], each["s1"][1:]).pvalue > LEAST_P


def test_shares_of_the_mix() -> None:
    """Three kinds of parts by shares, through machines of their own time: work done is the sum of share times time."""
    form = arm_cell(3, time_s=100)
    times = {"a": (0.5, 30), "b": (0.3, 100), "c": (0.2, 400)}
    route = form["parts"]["part"]["route"]
    form["parts"] = {
        name: {"share": part, "route": [route[0], {**route[1], "time_s": time_s}, route[2]]}
        for name, (part, time_s) in times.items()
    }
    each = outputs(form, QUICK)
    mean_s = math.fsum(part * time_s for part, time_s in times.values())
    for output in each:
        work_s = share(output, "working", "m1", "m2", "m3") * QUICK.hours * 3600
        loads = output.parts_per_h.mean * QUICK.hours
        # What is in the machines at the end has been worked on and is not counted: three loads of 400 s at most.
        assert abs(work_s - loads * mean_s) < 4 * 400

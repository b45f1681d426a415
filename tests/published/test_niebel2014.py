"""niebel2014, ch. 2: synchronous servicing, random servicing, Wright's interference; time study sample size."""

import pytest

from tests.checks import MEMORY, OWN, Check, assert_holds

LATHES = {"load_s": 60.0, "machining_s": 120.0, "walk_s": 6.0}


def unit_cost(operators: int) -> Check:
    """Cost a unit of three machines that need attention 40 % of the time, 60 units an hour each, by operators."""

    def cost(lost_share: float) -> float:
        units = 3 * 8 * (1.0 - lost_share) * 60
        return (operators * 10 + 3 * 60) * 8 / units

    return Check(
        formula="binomial_lost_share",
        inputs={"machines": 3, "down_share": 0.4, "operators": operators},
        printed={1: "1.22549", 2: "1.13533"}[operators],
        pick=cost,
        key="niebel2014",
        seen=MEMORY,
    )


CHECKS = [
    Check(formula="ideal_machines", inputs=LATHES, printed="2.7272727", key="niebel2014", seen=MEMORY),
    Check(formula="servicing_cycle_s", inputs=LATHES | {"machines": 2}, printed="180.0", key="niebel2014", seen=MEMORY),
    Check(formula="servicing_cycle_s", inputs=LATHES | {"machines": 3}, printed="198.0", key="niebel2014", seen=MEMORY),
    Check(
        formula="cost_per_part_money",
        inputs={
            "cycle_s": 180.0,
            "machines": 2,
            "parts_per_load": 1,
            "operator_money_per_h": 10.0,
            "machine_money_per_h": 20.0,
        },
        printed="1.25",
        exact=True,
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(
        formula="cost_per_part_money",
        inputs={
            "cycle_s": 198.0,
            "machines": 3,
            "parts_per_load": 1,
            "operator_money_per_h": 10.0,
            "machine_money_per_h": 20.0,
        },
        printed="1.2833333",
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(
        formula="cluster_parts_per_h",
        inputs={"cycle_s": 180.0, "loads": 2, "parts_per_load": 1},
        printed="40",
        exact=True,
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(
        formula="cluster_money_per_h",
        inputs={"operator_money_per_h": 10.0, "machines": [3.0], "machine_money_per_h": [20.0]},
        printed="70",
        exact=True,
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(
        formula="cluster_money_per_part",
        inputs={"hour_money_per_h": 70.0, "rate_parts_per_h": 3 * 3600.0 / 198.0},
        printed="1.2833333",
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(  # at this cost of a machine hour, put in, two and three machines cost the same
        formula="break_even_machine_money_per_h",
        inputs={
            "few": 2,
            "more": 3,
            "few_parts_per_h": 40.0,
            "more_parts_per_h": 3 * 3600.0 / 198.0,
            "operator_money_per_h": 10.0,
        },
        pick=lambda money: (10.0 + 2.0 * money) / 40.0 - (10.0 + 3.0 * money) * 198.0 / (3 * 3600.0) + 1.0,
        expected=1.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # two lathes, 180 s: 2 x (60 + 6) s of work
        formula="worked_share",
        inputs={"waits_s": (20.0, 28.0), "cycle_s": 180.0},
        expected=2 * 66.0 / 180.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # three lathes, 198 s: each is loaded and runs for 180 s of it
        formula="machines_wait_share",
        inputs={"waits_s": (18.0,) * 3, "machines": (3.0,), "cycle_s": 198.0},
        expected=1.0 - 180.0 / 198.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(formula="part_of", inputs={"part": 3.0, "whole": 8.0}, expected=0.375, key="own_computation", seen=OWN),
    Check(  # one machine: free run and service make the cycle of load and machining
        formula="free_run_s",
        inputs={"machining_s": 120.0, "inside_s": 6.0},
        pick=lambda run: run + 66.0,
        expected=180.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="binomial_lost_share",
        inputs={"machines": 3, "down_share": 0.4, "operators": 1},
        printed="3.328",
        pick=lambda share: share * 24.0,
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(
        formula="binomial_lost_share",
        inputs={"machines": 3, "down_share": 0.4, "operators": 2},
        printed="0.512",
        pick=lambda share: share * 24.0,
        key="niebel2014",
        seen=MEMORY,
    ),
    unit_cost(1),
    unit_cost(2),
    Check(
        formula="wright_interference",
        inputs={"machines": 60, "run_to_service": 50.0},
        printed="1158.8723",
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(  # mean service time 3.00 min
        formula="wright_interference",
        inputs={"machines": 60, "run_to_service": 50.0},
        printed="34.766",
        pick=lambda percent: percent / 100.0 * 3.0,
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(
        formula="student_quantile",
        inputs={"readings": 25, "confidence": 0.95},
        printed="2.064",
        key="niebel2014",
        seen=MEMORY,
    ),
    Check(  # 25 readings, t = 2.064, within 5 % of the mean of 0.30 min
        formula="readings_needed",
        inputs={"deviation_s": 0.09, "error_s": 0.05 * 0.30, "quantile": 2.064},
        printed="153.36",
        key="niebel2014",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_worker_and_machine(check: Check) -> None:
    """Each figure of the chapter comes out to its last printed digit."""
    assert_holds(check)

"""groover2007, ch. 2: machine clusters."""

import pytest

from tests.checks import MEMORY, OWN, Check, assert_holds

MINUTE = 60.0
CLUSTER = {"load_s": 0.35 * MINUTE, "machining_s": 1.9 * MINUTE, "walk_s": 0.15 * MINUTE}
RATES = {"operator_money_per_h": 12.0, "machine_money_per_h": 18.0, "parts_per_load": 2}
GRINDING = {"load_s": 0.5 * MINUTE, "machining_s": 3.2 * MINUTE, "walk_s": 0.2 * MINUTE}

CHECKS = [
    Check(formula="ideal_machines", inputs=CLUSTER, printed="4.5", key="groover2007", seen=MEMORY),
    Check(
        formula="cell_rate_per_h",
        inputs={"machine_cycle_s": 2.25 * MINUTE, "work_s": 0.5 * MINUTE, "machines": 2, "parts_per_load": 2},
        printed="106.6667",
        key="groover2007",
        seen=MEMORY,
    ),
    Check(
        formula="operator_idle_share",
        inputs=CLUSTER | {"machines": 2},
        printed="0.5556",
        key="groover2007",
        seen=MEMORY,
    ),
    Check(
        formula="cost_per_part_money",
        inputs=RATES | {"cycle_s": 2.25 * MINUTE, "machines": 2},
        printed="0.45",
        exact=True,
        key="groover2007",
        seen=MEMORY,
    ),
    Check(
        formula="cost_per_part_money",
        inputs=RATES | {"cycle_s": 2.25 * MINUTE, "machines": 4},
        printed="0.39375",
        key="groover2007",
        seen=OWN,
    ),
    Check(
        formula="cost_per_part_money",
        inputs=RATES | {"cycle_s": 2.5 * MINUTE, "machines": 5},
        printed="0.425",
        key="groover2007",
        seen=OWN,
    ),
    Check(formula="ideal_machines", inputs=GRINDING, printed="5.2857", key="groover2007", seen=OWN),
    Check(
        formula="operator_idle_share",
        inputs=GRINDING | {"machines": 5},
        printed="12.00",
        pick=lambda share: share * 3.7 * MINUTE,
        key="groover2007",
        seen=OWN,
    ),
    Check(
        formula="cell_rate_per_h",
        inputs={"machine_cycle_s": 3.7 * MINUTE, "work_s": 0.7 * MINUTE, "machines": 5, "parts_per_load": 1},
        printed="81.081",
        key="groover2007",
        seen=OWN,
    ),
    Check(  # with six machines the worker sets the pace
        formula="cell_rate_per_h",
        inputs={"machine_cycle_s": 3.7 * MINUTE, "work_s": 0.7 * MINUTE, "machines": 6, "parts_per_load": 1},
        expected=lambda: 60.0 / 0.7,
        key="groover2007",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_machine_cluster(check: Check) -> None:
    """Each figure of the clusters comes out to its last printed digit."""
    assert_holds(check)

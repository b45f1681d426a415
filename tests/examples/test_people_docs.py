"""The pages on simulation and money work out people's time of the first example: with its figures, to its result."""

import json
from pathlib import Path

import pytest

from millhand.front import load

MONEY, SIMULATION = (Path("docs", name).read_text(encoding="utf-8") for name in ("money.md", "simulation.md"))
EXPECTED = json.loads(Path("examples/1_two_mills/expected.json").read_text(encoding="utf-8"))


def test_the_hours_by_kind_are_worked_out_to_what_the_example_expects() -> None:
    """Seconds a part times the parts made are the hours of a shift; what is left of the hours there is waiting."""
    made = 105 / 0.985
    care, other = (51.5 + 6.1 + 10.8 + 7.5) * made / 3600, 61.04 * made / 3600
    there = 7.75 * (1 - 0.018)

    assert {"care": round(care, 2), "other": round(other, 2), "waiting": round(there - care - other, 2),
            "there": round(there, 2)} == EXPECTED["people_h"]  # fmt: skip
    for words in ("51.5 s of loading, 6.1 s of ways, 10.8 s of duties, the handover among them, and 7.5 s of set-up",
                  "106.6 made at 98.5 % good", "75.9 s x 106.6 = 2.25 h", "61.04 s x 106.6 = 1.81 h",
                  "7.75 h, less the 1.8 %", "7.61 h there 3.56 h"):  # fmt: skip
        assert words in SIMULATION.replace("\n", " ")


def test_the_work_that_stays_is_worked_out_to_what_the_example_expects() -> None:
    """Deburring and gauging of the example with its allowance, and what is left of the inside work."""
    today = load("examples/1_two_mills/inquiry.yaml").today.elements
    seconds = {each.name: each.time_s.value / each.every_n.value for each in today}
    kept = (seconds["deburr"] + seconds["gauge"]) * 1.12
    inside = sum(seconds[each.name] for each in today if each.side.value == "inside") * 1.12

    assert float(f"{kept:.3g}") == EXPECTED["kept_s"]
    assert inside == pytest.approx(61.04)
    assert "(35 + 90/20) x 1.12 = 44.2 s a part" in MONEY.replace("\n", " ")
    assert f"credited with {inside - kept:.1f} s" in MONEY.replace("\n", " ")

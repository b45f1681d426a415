"""The reference cell (benchmarks/reference) and its two variants: nothing left to chance, and the rare made common."""

import json
from pathlib import Path
from typing import Any

PATH = Path(__file__).parents[1] / "benchmarks/reference/reference_cell.json"

# The reference programs put some states together.
MEASURES = {
    "waiting_attendant": "waiting",
    "starved": "waiting",
    "blocked": "waiting",
    "waiting_station": "waiting",
    "carrying": "travelling",
}


def reference_form() -> dict[str, Any]:
    """The cell as it stands in its file."""
    form: dict[str, Any] = json.loads(PATH.read_text(encoding="utf-8"))
    return form


def plain(form: dict[str, Any]) -> dict[str, Any]:
    """Without misses, stops, bad parts, gauge and refills; so without duties and without the operator."""
    del form["handling"][0]["miss"], form["stations"]["m1"]["faults"], form["duties"]
    del form["stations"]["gauge"], form["handling"][1], form["parts"]["flange"]["route"][2]
    del form["attendants"]["operator1"], form["calendars"], form["moves"]["stands_there"], form["places"]["front"]
    form["stations"]["drawers"] = {"kind": "supply", "place": "p0", "capacity": None}
    form["parts"]["flange"]["route"][1]["good"] = 1
    return form


def stressed(form: dict[str, Any]) -> dict[str, Any]:
    """Misses 10 %, good share 0.7, every third part gauged, a stop in each hour of machining."""
    form["handling"][0]["miss"]["p"] = 0.1
    form["parts"]["flange"]["route"][1]["good"] = 0.7
    form["parts"]["flange"]["route"][2]["every"] = 3
    form["stations"]["m1"]["faults"][0]["every"]["mean_s"] = 3600
    return form

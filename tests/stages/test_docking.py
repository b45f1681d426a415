"""A trolley that docks and a lift for trays, where an inquiry names them: what they hold, cost and ask of people."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.inquiry import Inquiry, Named, Only
from millhand.stages.concepts import concepts, dropped, how_many
from tests.stages.jobs import told
from tests.stages.short_road import Walked, catalogue, example, walked

DRAWERS = "drawers-pedestal-fenced_20-parallel_single-fence"
DOCKED, LIFT = (DRAWERS.replace("drawers", each) for each in ("docked_drawers", "tray_lift"))


def naming(*presenters: str, of: Inquiry | None = None) -> Inquiry:
    """The first example, kept to these presenters on a pedestal."""
    names = tuple(Named(name=each, where="test") for each in presenters)
    return replace(
        of or example("1_two_mills"), only=Only(presenter=names, mount=(Named(name="pedestal", where="test"),))
    )


@cache
def road(cell: str) -> Walked:
    """A cell with one of the three."""
    return walked(naming("drawers", "docked_drawers", "tray_lift"), cell)


def test_they_are_looked_at_only_where_they_are_named() -> None:
    """No study has more combinations for them; the page says that they are there."""
    of = example("1_two_mills")
    few = naming("drawers")
    why = dict(dropped(of, catalogue()))

    assert {"docked_drawers", "tray_lift"} <= set(why)
    assert "only where an inquiry names" in why["tray_lift"]
    assert how_many(naming("drawers", "tray_lift"), catalogue())[0] == 2 * how_many(few, catalogue())[0]
    assert {DOCKED, LIFT} <= {each.id for each in concepts(naming("docked_drawers", "tray_lift"), catalogue())}


def test_one_family_needs_no_second_trolley() -> None:
    """Nothing is set up anew while the first one is worked off."""
    one = told(example("1_two_mills"), {"parts.bracket.families": 1.0})

    assert "cost less" in dict(dropped(naming("docked_drawers", of=one), catalogue()))["docked_drawers"]


def test_a_trolley_is_exchanged_in_minutes_and_filled_beside() -> None:
    """Three minutes that hold the arm, and the seconds of each part among the work that stays with people."""
    drawers, docked = road(DRAWERS), road(DOCKED)
    refill = {name: road(name).plan.cell.duties["refill"] for name in (DRAWERS, DOCKED)}  # type: ignore[union-attr]
    inside = [road(name).value(f"concepts.{name}.performance.inside_s") for name in (DRAWERS, DOCKED)]

    assert refill[DOCKED].takes.mean_s == pytest.approx(180.0)
    assert refill[DRAWERS].takes.mean_s > 180.0
    assert (refill[DRAWERS].holds, refill[DOCKED].holds) == ("nothing", "arm")
    assert inside[1] - inside[0] == pytest.approx(catalogue().figures["refill_part_s"].value)
    assert docked.value(f"concepts.{DOCKED}.feasibility.capacity_refill.takes") == 180.0
    assert drawers.value(f"concepts.{DRAWERS}.feasibility.pockets") == docked.value(
        f"concepts.{DOCKED}.feasibility.pockets"
    )


def test_inserts_come_with_the_trolley() -> None:
    """Seven tenths of the cell's own changeover are left for the machines to stand; people work as long."""
    own = catalogue().figures["cell_changeover_s"].value
    stands, work = (
        [road(cell).value(f"concepts.{cell}.performance.changeover_{name}") for cell in (DRAWERS, DOCKED)]
        for name in ("stands", "work")
    )

    assert stands[0] - stands[1] == pytest.approx(0.3 * own)
    assert work[0] == work[1]


def test_a_dock_has_its_place_in_the_chain_and_its_price() -> None:
    """How far a docked trolley may lie off counts as a pedestal's place does not."""
    links = {cell: road(cell).plan.verdicts for cell in (DRAWERS, DOCKED)}
    demand = {cell: next(each.demand for each in found if each.check == "placing") for cell, found in links.items()}
    lines = {each.id: each for each in road(DOCKED).plan.estimate.lines}  # type: ignore[union-attr]

    assert road(DOCKED).value(demand[DOCKED]) > road(DRAWERS).value(demand[DRAWERS])
    assert lines["presenter"].words == "drawers on a trolley that docks"
    assert lines["presenter"].amount.value == pytest.approx(26_000 * road(DOCKED).value("money.price_factor"))


def test_a_lift_brings_each_tray_to_one_height() -> None:
    """It holds more small trays on its floor, and nothing is pulled by hand."""
    verdicts = {each.check: each for each in road(LIFT).plan.verdicts}

    assert road(LIFT).plan.cell is not None
    assert road(LIFT).value(f"concepts.{LIFT}.feasibility.pockets") > 0.0
    assert "Setting a full drawer going" not in verdicts["lifting_tray"].words
    assert verdicts["lifting_tray"].words.startswith("A full tray of")

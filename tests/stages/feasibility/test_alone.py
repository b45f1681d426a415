"""What ends a run alone, the outfeed, fire, full trays, doors and what a supplier agrees to, against numbers here."""

from dataclasses import replace

import pytest

from millhand.formulas.lifting_tasks import composite_lifting_index
from millhand.model.inquiry import Inquiry
from millhand.stages.feasibility.endings import ending, limits, next_of
from millhand.stages.feasibility.lifting_tray import lifting_tray
from tests.stages.feasibility.judged import TRACK, asked_of, judged
from tests.stages.shop import shop

TRAYS = "trays-floor_track-fenced_20-parallel_double-fence"
LANE = "infeed_conveyor-out_conveyor-floor_track-fenced_20-parallel_double-fence"
BOX = "infeed_conveyor-out_box-floor_track-fenced_20-parallel_double-fence"
FREE_KG = 23.0 * 0.25 / 0.4 * (0.82 + 0.045 / 0.4) * (1.0 - 0.0032 * 0.3 * 180 / 3.141592653589793) * 0.95  # at 0.75 m


def inside(**words: str) -> Inquiry:
    """The shop with some words about the inside of its machines, and of its part."""
    of = shop()
    machine, part = of.machines[0], of.parts[0]
    for name, value in words.items():
        if name == "material":
            part = replace(part, material=replace(part.material, value=value))
        else:
            word = replace(getattr(machine.inside, name), value=value)
            machine = replace(machine, inside=replace(machine.inside, **{name: word}))
    return replace(of, machines=(machine,), parts=(part,))


def test_the_loose_volume_of_the_chips_fills_the_box_that_nobody_has_told_about() -> None:
    """What a mill cuts off each part lies eight times as large, loose, in a box of 200 l filled to four fifths."""
    of = shop()
    kinds = dict(limits(asked_of(TRACK, of)))
    cut_kg = of.parts[0].raw_mass_kg.value - of.parts[0].finished_mass_kg.value

    assert kinds["chips"].value == pytest.approx(2 * 0.2 * 0.8 / (cut_kg / 7850.0 * 8.0))


def test_curls_of_a_lathe_fill_it_sooner() -> None:
    """25 times the solid volume in the place of 8; brass breaks on a lathe too."""
    mill, lathe, brass = (
        dict(limits(asked_of(TRACK, of)))["chips"].value
        for of in (shop(), shop(kind="lathe"), shop(kind="lathe", material="brass"))
    )

    assert mill / lathe == pytest.approx(25.0 / 8.0)
    assert brass / mill == pytest.approx(8500.0 / 7850.0)


def test_what_somebody_said_of_the_chip_box_goes_first() -> None:
    """A limit that was told stands alone; beside an assumed one stands the volume, unless nothing is cut off."""
    told = shop()
    machine = told.machines[0]
    told = replace(
        told, machines=(replace(machine, chip_limit_parts=replace(machine.chip_limit_parts, basis="given")),)
    )

    for of, chips in ((told, 1), (shop(), 2), (shop(finished_mass=1.17), 1), (shop(kind="press"), 1)):
        found = [fact.value for kind, fact in limits(asked_of(TRACK, of)) if kind == "chips"]
        assert (len(found), found[0]) == (chips, 2 * 180.0)


def test_the_solver_names_what_comes_first_and_next() -> None:
    """The lot of 120, then gauging: a tenth part of each of two mills is gauged, eight more may wait."""
    asked = asked_of()
    limit, first = ending(asked)
    after = next_of(asked, first)

    assert (limit.value, first.kind, first.next_kind) == (120.0, "lot", "gauge")
    assert after is not None
    assert after.value == 2 * 10 * (1 + 8)
    assert first.parts == pytest.approx(limit.value)


def test_infeed_and_outfeed_are_two_rooms() -> None:
    """A lane for raw and one for finished parts; trays take the finished ones back, so there is one room alone."""
    lanes, trays = (dict(limits(asked_of(concept))) for concept in (LANE, TRAYS))

    assert {"infeed", "outfeed"} <= lanes.keys()
    assert "outfeed" not in trays
    assert "outfeed" not in judged(TRAYS).verdicts


def test_an_outfeed_too_small_warns() -> None:
    """Finished parts twice as wide: the lane for them holds fewer than the presenter brings."""
    found = judged(LANE, shop(finished__width=0.16, finished__length=0.24))
    demand, limit = found.numbers("outfeed")
    verdict = found.verdicts["outfeed"]

    assert (demand, limit) == (dict(limits(asked_of(LANE)))["infeed"].value, limit)
    assert limit < demand
    assert (verdict.holds, verdict.kills) == (False, False)
    assert found.sheet.value(verdict.margin) == pytest.approx(1.0 - demand / limit)
    assert "it is full first" in found.sentence("outfeed")


@pytest.mark.parametrize("words", [{"fluid": "neat_oil"}, {"material": "magnesium"}, {"material": "titanium"}])
def test_what_burns_takes_the_claim_of_running_alone_back(words: dict[str, str]) -> None:
    """None of two machines may; attended running stays, as the verdict warns only. Settled, it may."""
    found = judged(TRACK, inside(**words))
    verdict = found.verdicts["fire"]

    assert (verdict.holds, verdict.kills) == (False, False)
    assert (found.numbers("fire"), found.sheet.value(verdict.margin)) == ((2.0, 0.0), -1.0)
    assert "no running alone until the protection is settled" in found.sentence("fire")
    assert found.sentence("capacity_night").endswith("not alone until protection against fire is settled.")
    assert "competent persons decide" in verdict.caution
    settled = judged(TRACK, inside(fire_settled="yes", **words))
    assert settled.verdicts["fire"].holds
    assert "not alone until" not in settled.sentence("capacity_night")


def test_steel_under_water_mixed_coolant_is_no_question_of_fire() -> None:
    """Nor is anything that nobody wants to run alone."""
    assert judged().numbers("fire") == (2.0, 2.0)
    assert "fire" not in judged(TRACK, shop(wishes__unattended=0)).verdicts
    assert "fire" in judged(TRACK, shop(wishes__unattended=0, shifts__early__manned="no")).verdicts


def test_a_full_tray_is_heavier_than_a_person_lifts() -> None:
    """Parts and tray against the limit at 0.9 m, lifted less than once in five minutes through a shift: 0.85."""
    found = judged(TRAYS)
    demand, limit = found.numbers("lifting_tray")
    parts = found.sheet.value(f"concepts.{TRAYS}.feasibility.lifting_tray.parts")

    assert demand == pytest.approx(parts * 1.17 + 3.0)
    assert limit == pytest.approx(FREE_KG * (1.0 - 0.3 * 0.15) * 0.85)
    verdict = found.verdicts["lifting_tray"]
    assert (verdict.holds, verdict.kills, verdict.coarse) == (False, False, True)
    assert "filled where it lies" in verdict.words
    assert "wheeled" not in verdict.words


def test_drawers_are_judged_at_the_lowest_and_the_highest() -> None:
    """0.4 m and 1.45 m: the highest is the worse; putting in and taking out together have an index of their own."""
    found = judged()
    limit = found.numbers("lifting_tray")[1]
    low, high = (FREE_KG * (1.0 - 0.3 * abs(height - 0.75)) for height in (0.4, 1.45))
    load, lifts = found.numbers("lifting_tray")[0], 20.0 / 33.0 / 60.0

    assert limit == pytest.approx(min(low, high) * 0.85)
    assert found.sheet.value(f"concepts.{TRACK}.feasibility.lifting_tray.index") == pytest.approx(
        composite_lifting_index(
            [load / (low * 0.85), load / (high * 0.85)],
            frequency_independent=[load / low, load / high],
            lifts_per_min=[lifts, lifts],
            verticals_m=[0.4, 1.45],
            duration_h=8.0,
        )
    )
    assert "between the lowest and the highest drawer" in found.sentence("lifting_tray")


def test_pulling_a_full_drawer_is_told_beside_it() -> None:
    """Rolling friction twice as great at rest, and a gentle start; what a person may pull is for competent persons."""
    found = judged()
    load = found.numbers("lifting_tray")[0]

    pull = found.sheet.value(f"concepts.{TRACK}.feasibility.lifting_tray.pull")
    assert pull == pytest.approx(load * (9.80665 * 0.02 * 2.0 + 0.5))
    assert "Setting a full drawer going takes about" in found.sentence("lifting_tray")
    assert "what a person may push" in found.verdicts["lifting_tray"].caution
    assert "Setting a full drawer" not in judged(TRAYS).sentence("lifting_tray")


def test_a_light_tray_is_put_in_whole() -> None:
    """Parts of 100 g."""
    assert judged(TRAYS, shop(raw_mass=0.1, finished_mass=0.08)).verdicts["lifting_tray"].holds


def test_no_tray_no_lift() -> None:
    """A lane is filled part by part, and where nobody is there nobody lifts."""
    asked = asked_of(TRAYS, shop(shifts__early__manned="no"))

    assert "lifting_tray" not in judged(LANE).verdicts
    assert lifting_tray(asked) is None


def test_a_door_without_a_drive_asks_the_supplier() -> None:
    """None of two doors is driven: a warning that names who has to agree."""
    hand, powered = judged(), judged(TRACK, shop(door="powered"))

    assert hand.numbers("door") == (2.0, 0.0)
    assert "the supplier has to agree to either" in hand.sentence("door")
    assert (hand.verdicts["door"].holds, hand.verdicts["door"].kills) == (False, False)
    assert powered.numbers("door") == (2.0, 2.0)
    assert "door" not in judged(TRACK, shop(door="none")).verdicts


def test_wires_are_agreed_with_the_supplier_and_the_warranty_with_them() -> None:
    """In words beside the count; an old control is named with its age."""
    plain, new, old = (judged(TRACK, shop(**changes)) for changes in ({}, {"warranty": "yes"}, {"age": 22}))

    assert "the machine's own supplier agrees in writing" in plain.sentence("interface")
    assert "warranty" not in plain.sentence("interface")
    assert "the warranty of 2 of them stays" in new.sentence("interface")
    assert "The oldest is 22 years old: beyond 15 years" in old.sentence("interface")


def test_visits_of_a_shift_are_counted_and_timed() -> None:
    """170 parts in trays of 66 are three visits, each four minutes and six seconds a part."""
    found = judged(TRAYS)

    assert found.sheet.value(f"concepts.{TRAYS}.feasibility.capacity_refill.visits") == 3.0
    assert found.sheet.value(f"concepts.{TRAYS}.feasibility.capacity_refill.takes") == pytest.approx(240 + 66 * 6)

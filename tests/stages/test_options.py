"""What a cell has besides its choices: where it is needed, what it costs, how long it takes."""

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.concept import Concept
from millhand.stages.concepts import CHOICES, Choices, cell_concept
from millhand.stages.estimate import estimate
from millhand.trace import Sheet
from tests.stages.test_turning_verdicts import CELLS, LATHES, MILLS, VISES, example, judged

MOULD = ("from_mould", "out_box", "pedestal", "fenced_20", "vacuum_single", "fence")


def concept_of(name: str, picked: tuple[str, ...] | None = None) -> Concept:
    """A cell of an example."""
    whole = read_catalogue()
    names = picked or CELLS[name]
    return cell_concept(
        Choices(**dict(zip(CHOICES, (whole.components[each] for each in names), strict=True))),
        example(name),
        whole,
    )


@pytest.mark.parametrize(
    ("name", "picked", "options"),
    [
        (MILLS, None, {"blow_off", "seat_sensing", "dress_pack"}),
        (LATHES, None, {"blow_off", "seat_sensing", "spring_plate", "dress_pack"}),
        (VISES, None, {"blow_off", "seat_sensing", "dress_pack"}),
        ("3_moulding", MOULD, {"dress_pack"}),
    ],
)
def test_each_is_there_where_it_is_needed(name: str, picked: tuple[str, ...] | None, options: set[str]) -> None:
    """A mould needs nothing blown off or sensed; parts are pressed home in chucks alone."""
    assert {each.component.id for each in concept_of(name, picked).options} == options


def test_what_stands_at_each_machine_is_paid_for_each() -> None:
    """Three lathes: three air gauges, three spring plates; nozzle and hoses are in the gripper's price as a rule."""
    of, whole, sheet = example(LATHES), read_catalogue(), Sheet()
    fixed = tuple("pedestal" if each == "floor_track" else each for each in CELLS[LATHES])
    priced = estimate(of, concept_of(LATHES, fixed), whole, sheet)
    amounts = {line.id: line.amount.value for line in priced.lines}
    factor = sheet.value("money.price_factor")

    assert sum(machine.count.value for machine in of.machines) == 3
    assert amounts["blow_off"] == 0.0
    assert amounts["seat_sensing"] == pytest.approx(3 * 1000 * factor)
    assert amounts["spring_plate"] == pytest.approx(3 * 1200 * factor)
    assert amounts["dress_pack"] == 0.0
    (line,) = (line for line in priced.lines if line.id == "seat_sensing")
    assert line.words == "seat sensing by air: a part that sits wrong is found before it is cut"


def test_pressing_a_part_home_stands_in_the_element_table() -> None:
    """Half a second at a lathe for each part, between the way in and the clamping; nothing of it at a mill."""
    elements = {}
    for name in (LATHES, MILLS):
        _, sheet = judged(name, example(name), read_catalogue())
        elements[name] = sheet
    ids = [fact.id for fact in elements[LATHES] if fact.id == "catalogue.spring_plate.each_s"]
    (exchange,) = (fact for fact in elements[LATHES] if fact.id.endswith("turning.exchange_one"))

    assert ids
    assert elements[LATHES].value("catalogue.spring_plate.each_s") == 0.5
    assert ("elements_s[]", "catalogue.spring_plate.each_s") in exchange.inputs
    mills = [fact for fact in elements[MILLS] if fact.id.endswith(".exchange_one")]
    assert mills
    assert not any(("elements_s[]", "catalogue.spring_plate.each_s") in fact.inputs for fact in mills)

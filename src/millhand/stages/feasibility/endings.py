"""What ends a run alone: room for raw and finished parts, the lot, tools, chips, coolant, gauging; each in parts."""

from collections.abc import Iterator, Mapping

from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.solvers.packing.first_limit import Ending, Kind, Limit, first_limit
from millhand.stages.feasibility.asked import Asked, operations, part_of
from millhand.stages.feasibility.rate import groups, rate
from millhand.trace import apply

CUTTING = ("mill", "lathe", "other")  # machines whose chips fill a box
WET = (*CUTTING, "grinder")  # machines that a tank of coolant serves
CURLY = ("steel", "stainless", "aluminium", "titanium", "plastic")  # turned, they give long curls
SAID: Mapping[Kind, str] = {
    "infeed": "the room in the presenter",
    "outfeed": "the room in the outfeed",
    "lot": "the end of the lot",
    "tools": "tool life",
    "chips": "a full chip box",
    "coolant": "coolant at its least level",
    "hopper": "a hopper whose steps bring up no more",
    "gauge": "gauging by people",
}


def ending(asked: Asked) -> tuple[Fact, Ending]:
    """The parts after which a run alone ends, and what ends it, with what would end it next."""
    named = list(limits(asked))
    limit = apply(asked.sheet, "least", asked.id("capacity_night.limit"), values=tuple(fact for _, fact in named))
    found = first_limit(
        [Limit(kind=kind, parts=fact.value) for kind, fact in named], rate_parts_per_h=rate(asked).value
    )
    return limit, found


def next_of(asked: Asked, first: Ending) -> Fact | None:
    """The parts of what would end the run next."""
    own = [fact for kind, fact in limits(asked) if kind == first.next_kind]
    return min(own, key=lambda fact: fact.value) if own else None


def limits(asked: Asked) -> Iterator[tuple[Kind, Fact]]:
    """What ends a run alone, and after how many parts of the cell."""
    part = part_of(asked)
    yield from emptied(asked, rooms(asked)).items()
    if part.families.value > 1.0:
        yield "lot", part.lot_size
    for machine in groups(asked):
        here = [operation for operation, _ in operations(asked) if operation.machine == machine.name]
        yield from of_machine(asked, machine, here)


def of_machine(asked: Asked, machine: Machine, here: list[Operation]) -> Iterator[tuple[Kind, Fact]]:
    """Chips, coolant, tools and gauging of all machines of a kind."""
    yield "chips", together(asked, f"chips.{machine.name}", machine.chip_limit_parts, machine.count)
    loose = loose_chips(asked, machine)
    if loose is not None:
        yield "chips", together(asked, f"loose_chips.{machine.name}", loose, machine.count)
    if machine.kind.value in WET and machine.inside.fluid.value != "none":
        yield "coolant", coolant(asked, machine)
    for operation in here:
        yield "tools", together(asked, f"tools.{operation.name}", operation.tool_life_parts, machine.count)
    for operation in here if not gauges_itself(asked) else ():
        gauge = apply(
            asked.sheet, "gauge_limit_parts", asked.id(f"capacity_night.gauge_each.{operation.name}"),
            every_n=operation.gauge_every, since=asked.figure("gauge_since_parts"),
            waiting_places=asked.figure("gauge_waiting_places"),
        )  # fmt: skip
        yield "gauge", together(asked, f"gauge.{operation.name}", gauge, machine.count)


def gauges_itself(asked: Asked) -> bool:
    """Whether the arm gauges, so that no part waits for people to do it."""
    return any(each.words.get("each") == "gauge_every" for each in asked.concept.works)


def rooms(asked: Asked) -> dict[Kind, Fact]:
    """Room for raw parts (infeed) and for finished ones (outfeed), each where the cell has it of its own."""
    ids = [fact_id for key, fact_id in asked.sheet[asked.layout.pockets].inputs if key.startswith("values")]
    if len(ids) == 2:
        return {"infeed": asked.sheet[ids[0]], "outfeed": asked.sheet[ids[1]]}
    presenter = asked.concept.presenter
    from_mould = presenter is not None and presenter.id == "from_mould"
    return {"outfeed" if from_mould else "infeed": asked.sheet[asked.layout.pockets]}


def emptied(asked: Asked, found: dict[Kind, Fact]) -> dict[Kind, Fact]:
    """The rooms; of a hopper only what its steps bring up, as the last parts lie where none of them gets."""
    presenter = asked.concept.presenter
    if presenter is None or "volume_m3" not in presenter.figures or "infeed" not in found:
        return found
    reached = apply(
        asked.sheet, "pickable_parts", asked.id("capacity_night.hopper"), parts=found["infeed"],
        usable_share=asked.figure("hopper_usable_share"), residue_parts=asked.figure("hopper_residue_parts"),
    )  # fmt: skip
    return {"hopper": reached, **{kind: fact for kind, fact in found.items() if kind != "infeed"}}


def coolant(asked: Asked, machine: Machine) -> Fact:
    """Parts of the cell until a machine's coolant is down to its least level, all machines running at their pace."""
    lasts = apply(
        asked.sheet, "coolant_limit_s", asked.id(f"capacity_night.coolant_lasts.{machine.name}"),
        usable_m3=asked.figure("coolant_usable_m3"), loss_m3_per_h=asked.figure("coolant_loss_m3_per_h"),
    )  # fmt: skip
    return apply(
        asked.sheet, "parts_in_time", asked.id(f"capacity_night.coolant.{machine.name}"),
        rate_parts_per_h=rate(asked), time_s=lasts,
    )  # fmt: skip


def loose_chips(asked: Asked, machine: Machine) -> Fact | None:
    """Parts whose chips fill a box by their loose volume; None where the limit was told, or nothing is cut."""
    part = part_of(asked)
    if machine.chip_limit_parts.basis != "assumed" or machine.kind.value not in CUTTING:
        return None
    if part.raw_mass_kg.value <= part.finished_mass_kg.value:
        return None
    cut = apply(
        asked.sheet, "cut_volume_m3", asked.id(f"capacity_night.cut.{machine.name}"), raw_kg=part.raw_mass_kg,
        finished_kg=part.finished_mass_kg, density_kg_m3=asked.figure(f"density_{part.material.value}_kg_m3"),
    )  # fmt: skip
    curls = machine.kind.value == "lathe" and part.material.value in CURLY
    return apply(
        asked.sheet, "chip_box_limit_parts", asked.id(f"capacity_night.chip_box.{machine.name}"),
        box_m3=asked.figure("chip_box_m3"), fill_share=asked.figure("chip_fill_share"), cut_m3=cut,
        bulk=asked.figure("chip_bulk_curly" if curls else "chip_bulk_broken"),
    )  # fmt: skip


def together(asked: Asked, name: str, each: Fact, count: Fact) -> Fact:
    """A limit of each machine, for all machines of its kind."""
    return apply(
        asked.sheet, "limit_of_machines_parts", asked.id(f"capacity_night.{name}"), each_parts=each, machines=count
    )

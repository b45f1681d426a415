"""What stands in a cell and around its machines, line by line."""

from collections.abc import Iterator

from millhand.model.estimate import PriceLine
from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.pool import kinds_in
from millhand.stages.estimate.quote import Quote
from millhand.trace import apply, found

INTERFACES = {"free_outputs": "interface_free_outputs", "fieldbus": "interface_fieldbus", "none": "interface_none"}
CLAMPING = {"hand_vise": "powered_vise", "hand_chuck": "powered_chuck"}
FURTHER_HANDS = "further hands of the tool changer, in its dock"
TRACK_TRAVEL = "layout.track.travel"  # under the concept
EACH_ARM = ("arm", "gripper")  # once for each of them
SECOND_CARRIAGE = "second carriage with its drive on the same rack, and what keeps the two apart"
FURTHER_FENCE = "metres of fence besides, where it stands further out"
MORE_FENCE = "layout.fence.more"  # the same; only where distances moved the fence out
MORE_GATES = "layout.gates.more"  # the same; only where a fence has more than one


def equipment_lines(quote: Quote) -> list[PriceLine]:
    """All equipment of a cell and around its machines."""
    concept = quote.concept
    built = (
        ("arm", concept.arm), ("gripper", concept.gripper), ("presenter", concept.presenter),
        ("outfeed", concept.outfeed), ("safeguarding", concept.safeguarding),
    )  # fmt: skip
    arms = arms_of(quote)
    lines = [
        quote.line(name, each.title, each.figures["price"], arms if name in EACH_ARM else ())
        for name, each in built
        if each is not None and each.figures["price"].value > 0.0
    ]
    lines += [
        *_gates(quote),
        *_more_fence(quote),
        *_mount(quote),
        *_second_carriage(quote),
        *_fingers(quote),
        *_hands(quote),
        *_options(quote),
        *_around_machines(quote),
    ]
    return lines


def arms_of(quote: Quote) -> tuple[Fact, ...]:
    """How many arms there are, where there are more than one."""
    sharing = quote.concept.sharing
    return (found(quote.sheet, sharing.figures["arms"]),) if sharing is not None else ()


def _second_carriage(quote: Quote) -> Iterator[PriceLine]:
    """What a second arm on the track needs beside the arm and its gripper."""
    if quote.concept.sharing is not None:
        yield quote.line("second_carriage", SECOND_CARRIAGE, quote.concept.sharing.figures["price"])


def _mount(quote: Quote) -> tuple[PriceLine, ...]:
    """Pedestal or stand at its price; a track by the travel that the layout found."""
    mount = quote.concept.mount
    if mount is None:
        return ()
    if "price_per_m" not in mount.figures:
        return (quote.line("mount", mount.title, mount.figures["price"]),)
    price = apply(
        quote.sheet, "track_money", quote.id("track_price"),
        price_money=found(quote.sheet, mount.figures["price"]),
        money_per_m=found(quote.sheet, mount.figures["price_per_m"]),
        travel_m=quote.sheet[f"concepts.{quote.concept.id}.{TRACK_TRAVEL}"],
        included_m=found(quote.sheet, mount.figures["travel_m"]),
    )  # fmt: skip
    return (quote.line("mount", mount.title, price),)


def _gates(quote: Quote) -> Iterator[PriceLine]:
    """Gates that are drawn in a fence beyond the one that comes with it."""
    guard, name = quote.concept.safeguarding, f"concepts.{quote.concept.id}.{MORE_GATES}"
    if guard is not None and "gate_price" in guard.figures and name in quote.sheet:
        yield quote.line("gates", "interlocked gate besides", guard.figures["gate_price"], (quote.sheet[name],))


def _more_fence(quote: Quote) -> Iterator[PriceLine]:
    """Metres of a fence that is drawn further out than by its margin, beyond those that come with it."""
    guard, name = quote.concept.safeguarding, f"concepts.{quote.concept.id}.{MORE_FENCE}"
    if guard is not None and "price_per_m" in guard.figures and name in quote.sheet:
        price = apply(
            quote.sheet, "metres_money", quote.id("more_fence"), length_m=quote.sheet[name],
            money_per_m=found(quote.sheet, guard.figures["price_per_m"]), price_factor=quote.factor,
        )  # fmt: skip
        yield PriceLine(id="more_fence", words=FURTHER_FENCE, group="equipment", amount=price)


def _fingers(quote: Quote) -> tuple[PriceLine, ...]:
    """One finger set for each family; fingers that take all of them come with their gripper."""
    if quote.concept.gripper is not None and "fingers" in quote.concept.gripper.words:
        return ()
    two = quote.concept.sharing is not None
    families = tuple(part.families for part in quote.inquiry.parts) * (2 if two else 1)
    words = f"finger sets, one for each family{' and arm' if two else ''}"
    return (quote.line("fingers", words, quote.part("finger_set").figures["price"], families),)


def _hands(quote: Quote) -> Iterator[PriceLine]:
    """The further hands of a tool changer, one in each place of its dock."""
    gripper = quote.concept.gripper
    if gripper is not None and "hand_price" in gripper.figures:
        places = found(quote.sheet, gripper.figures["dock_places"])
        yield quote.line("hands", FURTHER_HANDS, gripper.figures["hand_price"], (places,))


def _options(quote: Quote) -> Iterator[PriceLine]:
    """What the cell has besides its choices, at each machine that needs it or once."""
    for option in quote.concept.options:
        component = option.component
        counts = tuple(machine.count for machine in quote.inquiry.machines if machine.name in option.machines)
        counts = arms_of(quote) if component.words.get("for") == "arm" else counts
        yield quote.line(component.id, f"{component.title}: {option.words}", component.figures["price"], counts)
        if "family_price" in component.figures:
            words = f"{component.title}: {component.words['family']}"
            families = tuple(part.families for part in quote.inquiry.parts)
            yield quote.line(f"{component.id}_families", words, component.figures["family_price"], families)


def _around_machines(quote: Quote) -> list[PriceLine]:
    """What each machine needs: an interface by its control, a powered door and powered clamping where a hand works."""
    wanted: dict[str, list[Fact]] = {}
    for group, machine in ((owner, each) for owner in quote.inquiry.machines for each in kinds_in([owner])):
        wanted.setdefault(INTERFACES[machine.control.value], []).append(machine.count)
        if machine.door.value == "hand":
            wanted.setdefault("door_retrofit", []).append(machine.count)
        if machine.clamping.value in CLAMPING:
            wanted.setdefault(CLAMPING[machine.clamping.value], []).extend([machine.count] * _vises(quote, group))
    return [
        quote.line(name, quote.part(name).title, quote.part(name).figures["price"], tuple(counts))
        for name, counts in wanted.items()
    ]


def _vises(quote: Quote, machine: Machine) -> int:
    """How many clamping devices one machine has: two where first and second side sit in two vises."""
    operations = (operation for part in quote.inquiry.parts for operation in part.operations)
    return 2 if any(each.machine == machine.name and each.sides.value == "two_vises" for each in operations) else 1

"""What a cell asks of people in a shift, where the study holds the figure: refills, changeovers, further families."""

from collections.abc import Iterator

from millhand.model.route import comes_again
from millhand.report.proposal.ground import Ground, ends, figure
from millhand.report.proposal.records import Block, Column, Figure, Item, Joined, Paragraph, Say, Table

STEPS = ("machine", "cell")  # of a changeover: what today has too, then what the cell adds
FORMS = {"count": "count", "hours": "hours"}


def attending(ground: Ground) -> Iterator[Item]:
    """One sentence for each thing that somebody does at the cell."""
    refill = "feasibility.capacity_refill"
    made = ground.subject.performance.parts_per_shift if ground.subject and ground.subject.performance else None
    mean = "simulated" if of_a_shift(ground) else "mean"
    takes = ground.of_concept(f"{refill}.takes")
    behind = dict(ground.facts[takes].inputs) if takes else {}
    by_part = {"visit": (behind.get("walk_s"), "seconds"), "each": (behind.get("part_s"), "seconds")}
    yield from told(ground, "hand.refill" if "part_s" in behind else "hand.refill_trolley", {
        "places": (ground.of_concept("feasibility.pockets"), "count"),
        "demand": (ground.of_concept(f"{refill}.demand"), "count"),
        "visits": (ground.of_concept(f"{refill}.visits"), "count"), "time": (takes, "minutes"),
        **(by_part if "part_s" in behind else {}),
    }, Joined(items=(Say(key=f"hand.refill_{mean}", slots={"made": figure(made, "parts", "value")}),
                     *(called_at(ground) if mean == "simulated" else ())), between=" "))  # fmt: skip
    if mean == "mean":  # else the hours of a simulated shift are told
        yield from told(ground, "hand.a_part", {
            "duties": (ground.of_concept("performance.duties_s"), "seconds"),
            "inside": (ground.of_concept("performance.inside_s"), "seconds"),
        })  # fmt: skip
    yield from told(ground, "hand.changeover", {
        "stands": (ground.of_concept("performance.changeover_stands"), "minutes"),
        "work": (ground.of_concept("performance.changeover_work"), "minutes"),
    }, others(ground))  # fmt: skip
    yield from told(ground, "hand.family", {
        "hours": (next(ground.known("catalogue.programming_family_h"), None), "hours"),
        "count": (next(ground.known("catalogue.new_families_per_y"), None), "count"),
        "money": (ground.of_case("by_family"), "money_2"),
    })  # fmt: skip


def called_at(ground: Ground) -> Iterator[Item]:
    """At which level of the stock somebody fills in the simulation: its minutes are not those of whole fillings."""
    for level in ground.known("catalogue.refill_level_share"):
        yield Say(key="hand.refill_level", slots={"level": figure(level, "percent", "value")})


def others(ground: Ground) -> Item | None:
    """What the other machines are counted to do during a changeover, and what of the arm is not; None for one machine.

    The rate with changeovers takes one machine for each lot out; whether the arm stands meanwhile is in no sum.
    """
    if sum(each.count.value for each in ground.study.inquiry.machines) <= 1.0 or ground.subject is None:
        return None
    guard = ground.subject.concept.safeguarding
    stops = guard is not None and guard.words.get("inside") == "stop"
    return Say(key="hand.others_stop" if stops else "hand.others")


def changeover_steps(ground: Ground) -> Iterator[Block]:
    """The steps of a changeover with their minutes, how many there are in a year, and their hours."""
    stands = ground.of_concept("performance.changeover_stands")
    given = [fact_id for _, fact_id in ground.facts[stands].inputs] if stands else []
    if len(given) != len(STEPS):
        return
    named = [*zip(STEPS, given, strict=True), ("stands", stands), ("work", "changeover_work"), ("count", "changeovers"),
             ("hours", "changeovers_h")]  # fmt: skip
    again = {"count": "count_again"} if comes_again(ground.study.inquiry.parts[0]) else {}
    rows = []
    for name, fact_id in named:
        own = fact_id if fact_id in ground.facts else ground.of_concept(f"performance.{fact_id}")
        if own is not None:
            form = FORMS.get(name, "minutes")
            rows.append(
                (
                    Say(key=f"hand.step_{again.get(name, name)}"),
                    figure(own, form, "value"),
                    ends(ground, own, form, "ends"),
                )
            )
    heads = (Column(head="hand.step", width=1.0), Column(head="hand.time", align="right"),
             Column(head="hand.range", align="right"))  # fmt: skip
    yield Table(columns=heads, rows=tuple(rows), caption=timed(ground), sums=(len(STEPS),))
    if one_set(ground):
        yield Paragraph(item=Say(key="hand.one_set"))


def timed(ground: Ground) -> Item:
    """How far these minutes were timed, and by whom they will be."""
    return Say(key="hand.steps" if ground.offered else "hand.steps_found")


def one_set(ground: Ground) -> bool:
    """Whether several machines are loaded with one set of fingers, and families have sets of their own."""
    inquiry, gripper = ground.study.inquiry, ground.subject.concept.gripper if ground.subject else None
    several = sum(each.count.value for each in inquiry.machines) > 1.0 and inquiry.parts[0].families.value > 1.0
    return several and gripper is not None and "changeover_left_share" not in gripper.figures


def set_up(ground: Ground) -> Iterator[Item]:
    """How long somebody sets up between two lots where the work stays by hand."""
    yield from told(ground, "people.set_up", {"work": (ground.of_concept("performance.set_ups_work"), "minutes")})
    made = ground.study.decision.introduction
    if made is not None and made.by_hand is not None and made.by_hand.moving:
        yield Say(key="people.set_up_device")


def several_cells(ground: Ground) -> Iterator[Item]:
    """How many such cells one person could look after, and what of his hours falls to this one."""
    performance = ground.subject.performance if ground.subject is not None else None
    people = performance.people if performance is not None else None
    if people is None or people.cells is None:
        return
    post = dict(ground.facts[people.busy].inputs).get("post_h_per_y") if people.busy else None
    base = {"busy": (people.busy, "percent"), "post": (post, "hours")}
    if ground.value(people.cells) < 1.0:
        yield from told(ground, "people.cells_none", base)
    else:
        yield from told(ground, "people.cells", base | {"cells": (people.cells, "count")})
    if people.post is not None:
        yield from told(ground, "people.post", {
            "post": (people.post, "hours"), "wages": (ground.of_case("shared_wages"), "money_2"),
        })  # fmt: skip


def of_a_shift(ground: Ground) -> bool:
    """Whether the study says of a simulated shift what people do at the cell, refills among it."""
    made = ground.study.decision.introduction
    own = made is not None and ground.subject is not None and made.concept == ground.subject.concept.id
    return bool(own and made and any(each.kind == "refill" for each in made.care))


def told(
    ground: Ground, key: str, figures: dict[str, tuple[str | None, str]], more: Item | None = None
) -> Iterator[Item]:
    """The sentence with its figures, and one more behind it; nothing where the study lacks one of them."""
    slots: dict[str, Item] = {
        name: Figure(fact=fact, form=form, part="value") for name, (fact, form) in figures.items() if fact is not None
    }
    if len(slots) == len(figures):
        yield (
            Say(key=key, slots=slots) if more is None else Joined(items=(Say(key=key, slots=slots), more), between=" ")
        )


def with_breaks(ground: Ground, shifts: Item) -> Item:
    """The shifts with the breaks of each in the long form; without them where there are none."""
    known = list(ground.known(*(f"shifts.{each.name}.breaks" for each in ground.study.inquiry.shifts)))
    if not ground.long or not any(ground.value(each) > 0.0 for each in known):
        return shifts
    told = tuple(figure(each, "minutes", "value") for each in known)
    told = told[:1] if len({ground.value(each) for each in known}) == 1 else told
    return Say(key="job.shifts_breaks", slots={"words": shifts, "breaks": Joined(items=told)})

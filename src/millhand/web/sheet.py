"""The call sheet: the dozen facts that a first talk on the phone gives, then the rest of it, folded by subject."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations

from millhand.catalogue.figures import figures
from millhand.intake.fields import MISSING, Field, Paper, written
from millhand.intake.form import Word
from millhand.intake.yaml_edit import quoted
from millhand.model.fact import Fact
from millhand.web.folds import Fold, Group, shown_in
from millhand.web.sheet_words import IN_SHIFT, PLAIN, USUAL, plain, worded

MACHINE = ("kind", "count", "control", "door", "clamping", "spacing")
MACHINE_MORE = ("age", "load_height", "load_depth", "door_width", "door_height", "extra", "probe", "fluid")
PART = ("shape", "raw", "raw_mass", "lot_size", "orders_per_y", "contribution_per_part")
PART_MORE = ("families", "material", "condition", "finished", "finished_mass", "film", "arrives", "leaves", "delicate")
OPERATION = ("machine", "time", "time_is", "parts_per_cycle")
OPERATION_MORE = ("good", "gauge_every", "tool_life")
MOST_CHOICES = 31  # of machines and what they could be together
NUMBERS = ("first", "second", "third")


def call_sheet(paper: Paper) -> tuple[Group, ...]:
    """The subjects of the sheet; whatever is wrong elsewhere comes last, so that nothing has to be looked for."""
    known = {each.path: each for each in paper.all_fields()}
    if not known:
        return ()
    made = (the_job(known), people(known), machines(known), parts(known), today(known), wanted(known))
    shown = {each.path for each in shown_in(made)}
    rest = tuple(each for path, each in known.items() if path not in shown and (each.errors or each.needed))
    return (*made, *((Group(title="To mend elsewhere in the file", fields=rest, elsewhere=True),) if rest else ()))


def elsewhere(paper: Paper) -> tuple[Group, ...]:
    """What is wrong where the sheet has no place of its own for it; no group where nothing is."""
    return tuple(each for each in call_sheet(paper) if each.elsewhere)


def shown_on_sheet(paper: Paper) -> tuple[Field, ...]:
    """Every field of the sheet."""
    return tuple(shown_in(call_sheet(paper)))


def at(known: dict[str, Field], above: str, *keys: str) -> tuple[Field, ...]:
    """The fields below a path that there are, in the words of the sheet."""
    return tuple(plain(known[path], key) for path, key in ((f"{above}{key}", key) for key in keys) if path in known)


def the_job(known: dict[str, Field]) -> Group:
    """What it is called, and the shop that it is for."""
    return Group(title="The job", fields=(*at(known, "", "name"), *at(known, "shop.", "name")))


def people(known: dict[str, Field]) -> Group:
    """Who is there and when, and what an hour costs. Heads are asked once: the rest follows, or differs by shift."""
    own, each_shift = "people.", tuple(of_shifts(known))
    a_head = tuple(each for each in at(known, own, "machines_per_operator") if each.text)
    heads = tuple(each for each in each_shift if each.path.endswith(".operators"))
    return Group(
        title="People and shifts",
        fields=(*at(known, own, "wage", "operators"), *a_head, *at(known, "", "shifts")),
        folds=(
            Fold(title="Each shift", words="breaks and whether they are paid, work days a year", usual=True,
                 fields=(*at(known, "shop.", "work_days_per_y"), *(each for each in each_shift if each not in heads))),
            Fold(title="Not as many operators in each shift", name="heads",
                 words="operators of each, where they differ", fields=heads),
            Fold(
                title="What an hour costs", words="on-cost on the wage, premiums, absence", usual=True,
                fields=at(known, own, "on_cost", "on_cost_per", "premium_late", "premium_night", "absence"),
            ),
            Fold(
                title="How the machines are tended", words="breaks, being called away, how much of freed hours counts",
                fields=at(known, own, "break_cover", "allowance", "handover", "away", "share_usable"),
            ),
        ),
    )  # fmt: skip


def of_shifts(known: dict[str, Field]) -> Iterator[Field]:
    """Heads and breaks of each shift, told in short or listed."""
    for path, each in known.items():
        listed = re.fullmatch(r"shifts\.([0-9]+)\.(from|to|length|operators|breaks)", path)
        short = re.fullmatch(r"answered\.shifts\.shift_([1-9])\.(operators|breaks\.pause\.(?:length|paid))", path)
        number = int(listed[1]) if listed else int(short[1]) - 1 if short else None
        if number is not None:
            which = NUMBERS[number] if number < len(NUMBERS) else f"{number + 1}th"
            words = IN_SHIFT.get((listed or short)[2], each.entry.help)  # type: ignore[index]
            yield worded(each, f"{which} shift: {words}")


def several(known: dict[str, Field], above: str) -> range:
    """The numbers of the items of a list."""
    found = {int(path.removeprefix(above).partition(".")[0]) for path in known if re.match(rf"{above}[0-9]+\.", path)}
    return range(len(found))


def machines(known: dict[str, Field]) -> Group:
    """The machines of the first group, what else is known of them, and further groups."""
    above = "machines."
    more = [
        Fold(title=f"Further machines: {name_at(known, number)}", name=f"machines-{number + 1}", usual=True,
             words="kind, door, control; what they do stands with the part", fields=further(known, number))
        for number in several(known, above)[1:]
    ]  # fmt: skip
    return Group(
        title="Machines", fields=at(known, f"{above}0.", "name", *MACHINE),
        folds=(
            Fold(title="Build of the machines", words="age, load height, door opening, feeder, probe",
                 fields=at(known, f"{above}0.", *MACHINE_MORE)),
            *more,
            Fold(title="Not all alike, or other machines too", words="one has another door, control, clamping or age; "
                 "or a machine for another operation", fields=(), adds="machines",
                 one_more="Add machines for other work", shares=f"Add machines that do the same work as "
                 f"{name_at(known, 0)}"),
        ),
    )  # fmt: skip


def further(known: dict[str, Field], number: int) -> tuple[Field, ...]:
    """What is asked of machines after the first: no spacing where no other one stands behind the only one."""
    above = f"machines.{number}."
    fields = at(known, above, "name", *MACHINE, *MACHINE_MORE)
    alone = number + 1 == len(several(known, "machines.")) and known[f"{above}count"].text == "1"
    return tuple(each for each in fields if not (alone and each.entry.key == "spacing"))


def name_at(known: dict[str, Field], number: int) -> str:
    """What some machines are called, as people read it."""
    own = known.get(f"machines.{number}.name")
    return own.text.replace("_", " ") if own is not None and own.text else f"machine {number + 1}"


def doing(known: dict[str, Field], above: str) -> tuple[Field, ...]:
    """Which machines do an operation, as a choice of words: each by its name, and any of several."""
    own = known.get(f"{above}machine")
    if own is None:
        return ()
    names = [known[f"machines.{number}.name"].text for number in several(known, "machines.")]
    options = tuple(", ".join(each) for count in range(1, len(names) + 1) for each in combinations(names, count))
    text = ", ".join(name for name in names if name in own.text.split(", ")) or own.text  # in the order of the sheet
    words = PLAIN["machine"]
    entry = Word(key="machine", field="machine", options=options[:MOST_CHOICES], help=words, gap="ask")
    return (replace(own, entry=entry, text=text),)


def parts(known: dict[str, Field]) -> Group:
    """The first part with its first operation, what else is known of it, further operations, further parts."""
    return Group(
        title="Parts",
        fields=(
            *at(known, "parts.0.", *PART), *done_by(known), *at(known, "parts.0.operations.0.", *OPERATION[1:]),
        ),
        folds=(
            Fold(title="Material, scrap, finished part", usual=True,
                 words="families, cost of a raw part, how parts come and go",
                 fields=(*at(known, "parts.0.", *PART_MORE), *at(known, "parts.0.operations.0.", "good"),
                         *at(known, "money.", "raw_cost"))),
            Fold(title="Gauging and tools", usual=True,
                 words="each how many-th part is gauged, how often tools or inserts are changed, how long that takes",
                 fields=(*at(known, "parts.0.operations.0.", *OPERATION_MORE[1:]), *tool_change(known))),
            *operations(known, 0),
            *(Fold(title=f"Part {number + 1}", usual=True, words="another one than the first",
                   fields=(*at(known, f"parts.{number}.", "name", *PART),
                           *doing(known, f"parts.{number}.operations.0."),
                           *at(known, f"parts.{number}.operations.0.", *OPERATION[1:])))
              for number in several(known, "parts.")[1:]),
        ),
    )  # fmt: skip


def tool_change(known: dict[str, Field]) -> tuple[Field, ...]:
    """How long it takes to change a tool; while nobody says, what is counted meanwhile is the catalogue's figure."""
    found = at(known, "today.", "tool_change")
    return tuple(each if each.text else replace(each, known=usual_tool_change()) for each in found)


@cache
def usual_tool_change() -> Fact:
    """As in common shops."""
    return figures([])["tool_change_s"]


def done_by(known: dict[str, Field]) -> tuple[Field, ...]:
    """Which machines do the first operation, where there is more than one answer."""
    found = doing(known, "parts.0.operations.0.")
    several_there = len(several(known, "machines.")) > 1
    return found if several_there or any(each.errors or each.needed for each in found) else ()


def operations(known: dict[str, Field], part: int) -> Iterator[Fold]:
    """Each further operation of a part, and room for one more."""
    above = f"parts.{part}.operations."
    count = len(several(known, above))
    for number in range(1, count):
        own = f"{above}{number}."
        fields = (*doing(known, own), *at(known, own, *OPERATION[1:], *OPERATION_MORE))
        yield Fold(
            title=f"Operation {number + 1}", usual=True, fields=fields,
            words="which machines, time, parts in a cycle, gauging",
        )  # fmt: skip
    which = NUMBERS[count] if count < len(NUMBERS) else f"{count + 1}th"
    yield Fold(
        title=f"A {which} operation", words="a second side on the same machines, or further work on others",
        fields=(), adds=above.removesuffix("."), one_more=f"Add a {which} operation",
    )  # fmt: skip


def fresh_item(paper: Paper, path: str, *, shares: bool = False) -> tuple[int, dict[str, str]] | None:
    """The number of one more item of a list, and what it begins with; None where the sheet adds nothing there.

    A further operation is put on the machines of the first, and gauged as it; machines that share its work begin as
    what those are. Any stand as far apart.
    """
    folds = [fold for group in call_sheet(paper) for fold in group.folds]
    if all(fold.adds != path for fold in folds):
        return None
    known = {each.path: each for each in paper.fields()}
    number = len(several(known, f"{path}."))
    kind = path.rpartition(".")[2].removesuffix("s")
    taken = {each.text for each in known.values() if each.path.endswith(".name")}
    called = next(f"{kind}_{count}" for count in range(number + 1, number + 999) if f"{kind}_{count}" not in taken)
    item = {"name": called}
    machine = known.get(f"{path}.0.machine")
    if machine is not None and machine.text:
        item["machine"] = written(machine.entry, machine.text, {})
    alike = [known.get(f"{path}.0.{key}") for key in (("kind", *MACHINE[2:]) if shares else ("spacing", "gauge_every"))]
    item |= {each.entry.key: quoted(each.text) for each in alike if each is not None and each.text}
    if shares:
        item["count"] = "1"
    return number, item


def today(known: dict[str, Field]) -> Group:
    """What leaves the shop, and the work by hand."""
    return Group(
        title="Today", fields=at(known, "today.", "parts_per_shift"),
        folds=(
            Fold(title="Times by hand", usual=True,
                 words="loading, unloading, deburring, gauging, walking, changeover of a machine",
                 fields=(*by_hand(known), *at(known, "today.", "walk", "setup"))),
        ),
    )  # fmt: skip


def by_hand(known: dict[str, Field]) -> Iterator[Field]:
    """The time of each element, and how often it is done where it is not each load: the usual ones, or those listed."""
    for path, each in known.items():
        usual = re.fullmatch(r"answered\.today\.elements\.(\w+)\.(time|every_n)", path)
        if usual and usual[2] == "time":
            name = usual[1].replace("_", " ")
            words = USUAL.get(f"{usual[1]}.{usual[2]}", f"{name}: {each.entry.help}")
            yield worded(each, words)
        elif re.fullmatch(r"today\.elements\.[0-9]+\.(time|every_n)", path) and (path.endswith("time") or each.text):
            name = each.fact.split(".")[2].replace("_", " ")
            yield worded(each, f"{name}: {each.entry.help}")


def wanted(known: dict[str, Field]) -> Group:
    """What it may cost, what it shall do, and what room there is."""
    above = "wishes."
    return Group(
        title="What is wanted",
        fields=(*at(known, above, "hurdle", "budget", "unattended"), *at(known, "people.", "freed_use")),
        folds=(
            Fold(title="Room and people", usual=True, words="free floor, height, whether people pass, who builds it",
                 fields=at(known, above, "floor", "height", "people_pass", "must_move", "integrator")),
        ),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """One place to fill in or mend: what it is called, and where it is: the end of its address in the inquiry."""

    words: str
    at: str


def to_mend(paper: Paper, *, sheet: bool = True) -> tuple[Mend, ...]:
    """Every place that something is wrong with or missing at; on the sheet itself what stands there is named first."""
    missing = {each.read.removeprefix("no ") for each in paper.errors if each.code == MISSING}
    fields = [each for each in paper.all_fields() if each.errors or each.needed]
    of_form = {each.path for each in paper.fields()}
    lists = [each.path for each in paper.sections if each.lists and each.path in missing]
    lists = [path for path in lists if path not in {each.path for each in fields}]
    on_sheet = {each.path for each in shown_on_sheet(paper)} if sheet else set()
    here = [each for each in fields if each.path in on_sheet]
    found = [Mend(words=called(each.fact), at=f"#field-{each.path}") for each in here]
    found += [
        Mend(words=called(each.fact), at=f"{form_of(each, paper) if each.path in of_form else '?'}#field-{each.path}")
        for each in fields if each not in here
    ]  # fmt: skip
    return (*found, *(Mend(words=called(path), at=f"/form?of={path}") for path in lists))


def form_of(field: Field, paper: Paper) -> str:
    """The end of the address of the form that a field stands in: that of its subject, or of the job itself."""
    first = field.path.partition(".")[0]
    return f"/form?of={first if paper.section(first) is not None else ''}"


def called(fact: str) -> str:
    """A path as people read it."""
    return fact.replace("_", " ").replace(".", ", ")

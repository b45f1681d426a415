"""The call sheet: the dozen facts that a first talk on the phone gives, then the rest of it, folded by subject."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from millhand.intake.fields import MISSING, Field, Paper, kind_of
from millhand.intake.yaml_edit import quoted

MACHINE = ("kind", "count", "control", "door", "clamping")
MACHINE_MORE = ("age", "spacing", "load_height", "load_depth", "door_width", "door_height", "extra", "probe", "fluid")
PART = ("shape", "raw", "raw_mass", "lot_size", "orders_per_y", "contribution_per_part")
PART_MORE = ("families", "material", "condition", "finished", "finished_mass", "film", "arrives", "leaves", "delicate")
OPERATION = ("machine", "time", "time_is", "parts_per_cycle")
OPERATION_MORE = ("good", "gauge_every", "tool_life")
USUAL = {
    "exchange.time": "from the end of a cycle to the next start, all together: door, blowing off, unloading, loading",
    "fetch.time": "beside the running machine: fetching the next part, putting the finished one away",
    "deburr.time": "deburring beside the running machine",
    "gauge.time": "gauging one part",
    "gauge.every_n": "a part is gauged at each so many-th load",
}
IN_SHIFT = {
    "operators": "operators at these machines", "breaks": "breaks, the length of one or [] for none",
    "breaks.pause.length": "length of its break",
}  # fmt: skip
NUMBERS = ("first", "second", "third")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Facts of one subject that stand folded, with a word of what is in there; `adds`: the list that grows here."""

    title: str
    words: str
    fields: tuple[Field, ...]
    adds: str = ""
    one_more: str = ""

    @property
    def is_open(self) -> bool:
        """Whether something in it waits to be filled in or mended."""
        return any(each.needed or each.errors for each in self.fields)

    @property
    def given(self) -> int:
        """How many of its facts were given."""
        return sum(kind_of(each) == "typed" for each in self.fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """One subject of the sheet: what is asked first, and what is folded."""

    title: str
    fields: tuple[Field, ...]
    folds: tuple[Fold, ...] = ()
    elsewhere: bool = False  # what has no place of its own on the sheet, and is wrong


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


def shown_in(groups: Iterable[Group]) -> Iterator[Field]:
    """Every field of some subjects."""
    for group in groups:
        yield from group.fields
        for fold in group.folds:
            yield from fold.fields


def at(known: dict[str, Field], above: str, *keys: str) -> tuple[Field, ...]:
    """The fields below a path that there are."""
    return tuple(known[path] for path in (f"{above}{key}" for key in keys) if path in known)


def the_job(known: dict[str, Field]) -> Group:
    """What it is called."""
    return Group(title="The job", fields=at(known, "", "name"))


def people(known: dict[str, Field]) -> Group:
    """Who is there and when, and what an hour costs."""
    own = "people."
    return Group(
        title="People and shifts", fields=(*at(known, own, "wage", "operators"), *at(known, "", "shifts")),
        folds=(
            Fold(title="Each shift", words="operators and breaks of each", fields=tuple(of_shifts(known))),
            Fold(
                title="What an hour costs", words="on-cost on the wage, premiums, absence",
                fields=at(known, own, "on_cost", "on_cost_per", "premium_late", "premium_night", "absence"),
            ),
            Fold(
                title="How the machines are tended", words="machines a head, breaks, being called away, freed hours",
                fields=at(known, own, "machines_per_operator", "break_cover", "allowance", "handover", "away",
                          "freed_use", "share_usable"),
            ),
        ),
    )  # fmt: skip


def of_shifts(known: dict[str, Field]) -> Iterator[Field]:
    """Heads and breaks of each shift, told in short or listed."""
    for path, each in known.items():
        listed = re.fullmatch(r"shifts\.([0-9]+)\.(from|to|length|operators|breaks)", path)
        short = re.fullmatch(r"answered\.shifts\.shift_([1-9])\.(operators|breaks\.pause\.length)", path)
        number = int(listed[1]) if listed else int(short[1]) - 1 if short else None
        if number is not None:
            which = NUMBERS[number] if number < len(NUMBERS) else f"{number + 1}th"
            words = IN_SHIFT.get((listed or short)[2], each.entry.help)  # type: ignore[index]
            yield replace(each, entry=replace(each.entry, help=f"{which} shift: {words}"))


def several(known: dict[str, Field], above: str) -> range:
    """The numbers of the items of a list."""
    found = {int(path.removeprefix(above).partition(".")[0]) for path in known if re.match(rf"{above}[0-9]+\.", path)}
    return range(len(found))


def machines(known: dict[str, Field]) -> Group:
    """The machines of the first group, what else is known of them, and further groups."""
    above = "machines."
    more = [
        Fold(title=f"Group {number + 1} of machines", words="others than the first",
             fields=at(known, f"{above}{number}.", "name", *MACHINE))
        for number in several(known, above)[1:]
    ]  # fmt: skip
    return Group(
        title="Machines", fields=at(known, f"{above}0.", *MACHINE),
        folds=(
            Fold(title="Build of the machines", words="age, spacing, load height, door opening, feeder, probe",
                 fields=at(known, f"{above}0.", *MACHINE_MORE)),
            *more,
            Fold(title="Other machines too", words="a second group, not alike the first", fields=(), adds="machines",
                 one_more="One more group of machines"),
        ),
    )  # fmt: skip


def parts(known: dict[str, Field]) -> Group:
    """The first part with its first operation, what else is known of it, further operations, further parts."""
    return Group(
        title="Parts", fields=(*at(known, "parts.0.", *PART), *at(known, "parts.0.operations.0.", *OPERATION[1:])),
        folds=(
            Fold(title="Material, scrap, finished part", words="families, cost of a raw part, how parts come and go",
                 fields=(*at(known, "parts.0.", *PART_MORE), *at(known, "parts.0.operations.0.", "good"),
                         *at(known, "money.", "raw_cost"))),
            Fold(title="Gauging and tools", words="each how many-th part is gauged, life of a tool",
                 fields=at(known, "parts.0.operations.0.", *OPERATION_MORE[1:])),
            *operations(known, 0),
            *(Fold(title=f"Part {number + 1}", words="another one than the first",
                   fields=(*at(known, f"parts.{number}.", "name", *PART),
                           *at(known, f"parts.{number}.operations.0.", *OPERATION)))
              for number in several(known, "parts.")[1:]),
        ),
    )  # fmt: skip


def operations(known: dict[str, Field], part: int) -> Iterator[Fold]:
    """Each further operation of a part, and room for one more."""
    above = f"parts.{part}.operations."
    count = len(several(known, above))
    for number in range(1, count):
        fields = at(known, f"{above}{number}.", "name", *OPERATION, *OPERATION_MORE)
        yield Fold(title=f"Operation {number + 1}", words="machine, time, parts in a cycle", fields=fields)
    which = NUMBERS[count] if count < len(NUMBERS) else f"{count + 1}th"
    yield Fold(
        title=f"A {which} operation", words="the same part once more on a machine: a second side, another machine",
        fields=(), adds=above.removesuffix("."), one_more=f"Add a {which} operation",
    )  # fmt: skip


def fresh_item(paper: Paper, path: str) -> tuple[int, dict[str, str]] | None:
    """The number of one more item of a list, and what it begins with; None where the sheet adds nothing there.

    A further operation is put on the machines of the first where there are no others.
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
    if machine is not None and machine.text and len(several(known, "machines.")) == 1:
        item["machine"] = quoted(machine.text)
    return number, item


def today(known: dict[str, Field]) -> Group:
    """What leaves the shop, and the work by hand."""
    return Group(
        title="Today", fields=at(known, "today.", "parts_per_shift"),
        folds=(
            Fold(title="Times by hand", words="loading, unloading, deburring, gauging, walking, setting up",
                 fields=(*by_hand(known), *at(known, "today.", "walk", "setup"))),
        ),
    )  # fmt: skip


def by_hand(known: dict[str, Field]) -> Iterator[Field]:
    """The time of each element, and how often it is done where it is not each load: the usual ones, or those listed."""
    for path, each in known.items():
        usual = re.fullmatch(r"answered\.today\.elements\.(\w+)\.(time|every_n)", path)
        if usual and (usual[2] == "time" or usual[1] == "gauge"):
            name = usual[1].replace("_", " ")
            words = USUAL.get(f"{usual[1]}.{usual[2]}", f"{name}: {each.entry.help}")
            yield replace(each, entry=replace(each.entry, help=words))
        elif re.fullmatch(r"today\.elements\.[0-9]+\.(time|every_n)", path) and (path.endswith("time") or each.text):
            name = each.fact.split(".")[2].replace("_", " ")
            yield replace(each, entry=replace(each.entry, help=f"{name}: {each.entry.help}"))


def wanted(known: dict[str, Field]) -> Group:
    """What it may cost, what it shall do, and what room there is."""
    above = "wishes."
    return Group(
        title="What is wanted", fields=at(known, above, "hurdle", "budget", "unattended"),
        folds=(
            Fold(title="Room and people", words="free floor, height, whether people pass, who builds it",
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

"""The call sheet: the dozen facts that a first talk on the phone gives, out of the whole form."""

from dataclasses import dataclass

from millhand.intake.fields import MISSING, Field, Paper

FACTS = (
    "name",
    "people.wage", "people.machines_per_operator", "shifts", "machines.0.kind", "machines.0.count",
    "machines.0.control", "machines.0.door", "machines.0.clamping", "parts.0.shape", "parts.0.raw", "parts.0.raw_mass",
    "parts.0.families", "parts.0.lot_size", "parts.0.orders_per_y", "parts.0.operations.0.time",
    "parts.0.operations.0.time_is", "parts.0.operations.0.parts_per_cycle", "today.parts_per_shift",
    "wishes.unattended", "wishes.hurdle",
)  # fmt: skip
GROUPS = (
    ("The job", ("name",)), ("People and shifts", ("people.", "shifts")),
    ("Machines", ("machines.",)), ("Parts", ("parts.",)),
    ("Today and what is wanted", ("today.", "wishes.")),
)  # fmt: skip


def call_sheet(paper: Paper) -> tuple[tuple[str, tuple[Field, ...]], ...]:
    """The fields of the sheet under their headings."""
    known = {each.path: each for each in paper.fields()}
    found = [known[path] for path in FACTS if path in known]
    groups = [(title, tuple(each for each in found if each.path.startswith(starts))) for title, starts in GROUPS]
    return tuple((title, fields) for title, fields in groups if fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """One place to fill in or mend: what it is called, and where it is: the end of its address in the inquiry."""

    words: str
    at: str


def to_mend(paper: Paper, *, sheet: bool = True) -> tuple[Mend, ...]:
    """Every place that something is wrong with or missing at; on the sheet itself what stands there is named first."""
    missing = {each.read.removeprefix("no ") for each in paper.errors if each.code == MISSING}
    fields = [each for each in paper.fields() if each.errors or each.needed]
    lists = [each.path for each in paper.sections if each.lists and each.path in missing]
    lists = [path for path in lists if path not in {each.path for each in fields}]
    here = [each for each in fields if sheet and each.path in FACTS]
    found = [Mend(words=called(each.fact), at=f"#field-{each.path}") for each in here]
    found += [
        Mend(words=called(each.fact), at=f"/form?of={subject_of(each, paper)}#field-{each.path}")
        for each in fields if each not in here
    ]  # fmt: skip
    return (*found, *(Mend(words=called(path), at=f"/form?of={path}") for path in lists))


def subject_of(field: Field, paper: Paper) -> str:
    """The subject whose form a field stands in; '' for the job itself."""
    first = field.path.partition(".")[0]
    return first if paper.section(first) is not None else ""


def called(fact: str) -> str:
    """A path as people read it."""
    return fact.replace("_", " ").replace(".", ", ")

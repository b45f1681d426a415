"""The call sheet: the dozen facts that a first talk on the phone gives, out of the whole form."""

from millhand.intake.fields import Field, Paper

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

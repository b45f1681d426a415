"""The page of keys: how each key of an inquiry is written, what stands in where it is left out, and the question."""

from collections.abc import Iterator, Mapping
from itertools import groupby

from millhand.intake.form import Entry, Group, Number, Several, Text, Word
from millhand.intake.form_work import INQUIRY
from millhand.intake.text import PLAIN, duration, example_of
from millhand.intake.units import DIMENSIONS
from millhand.model.fact import Assumption

HEAD = ("key", "what it says", "written as", "left out", "question")
FINISHED = "parts.*.finished.size"
# Keys whose assumptions go by another path than the key itself.
ROWS = {
    "shifts[].breaks[].length": "shifts.*.breaks.*.length",
    "shifts[].breaks[].paid": "shifts.*.breaks.*.paid",
    **{f"parts[].finished.{name}": FINISHED for name in ("length", "width", "height", "diameter")},
}
OPEN = ("machines[].rate", "wishes.budget", "wishes.floor", "wishes.height", "wishes.floor_load", "money.tax")
OTHERWISE = {
    **dict.fromkeys(("parts[].raw", "parts[].raw_mass"), "must be given, or a mesh of the raw part"),
    "parts[].mesh_unit": "must be given with `mesh`",
    "parts[].mesh_is": "raw",
    "money.raw_cost": "by its mass",
    "money.upkeep": "a share of the price",
    **dict.fromkeys(("money.energy_price", "money.floor_cost", "wishes.aisle"), "the catalogue's figure"),
    "money.grant": "none",
    "money.books": "with a tax, straight line",
    "money.financing": "none",
    "claims": "none",
    "today.elements[].time": "must be given, or `readings`",
    "today.elements[].readings.allowance": "people.allowance",
}  # what stands in for a key that no assumption fills
RUNNING = ("short_every", "long_every")  # running time of a machine, which is not a time of the calendar
OF_RAW = (FINISHED, "parts.*.finished_mass")


def key_table(assumptions: Mapping[str, Assumption]) -> str:
    """The table of all keys in Markdown."""
    return markdown(HEAD, rows(INQUIRY.entries, "", assumptions))


def unit_table() -> str:
    """The table of all units in Markdown, by the kind of quantity."""
    kinds = (each for each in DIMENSIONS.values() if not each.money)
    lines = ((each.name.replace("_", " "), ", ".join(unit or "plain number" for unit in each.units), each.example)
             for each in kinds)  # fmt: skip
    return markdown(("kind", "units", "looks like"), lines)


def markdown(head: tuple[str, ...], lines: Iterator[tuple[str, ...]]) -> str:
    """A table in Markdown."""
    return "".join(f"| {' | '.join(line)} |\n" for line in (head, ("---",) * len(head), *lines))


def rows(entries: tuple[Entry, ...], above: str, assumptions: Mapping[str, Assumption]) -> Iterator[tuple[str, ...]]:
    """One line for each key, those of inner tables after it."""
    for entry in entries:
        key = f"{above}{entry.key}"
        many = "[]" if isinstance(entry, Several) or (isinstance(entry, Text) and entry.many) else ""
        behind = fitting(key, assumptions)
        question = behind[0].question if behind else ""
        yield f"`{key}{many}`", entry.help, form_words(entry), left_out(key, entry, behind), question
        if isinstance(entry, Group | Several):
            yield from rows(entry.entries, f"{key}{many}.", assumptions)


def fitting(key: str, assumptions: Mapping[str, Assumption]) -> list[Assumption]:
    """The rows behind a key, the one without words first."""
    path = ROWS.get(key, key.replace(".operations[]", "[]").replace("[]", ".*"))
    found = [row for row_key, row in assumptions.items() if row_key.partition("@")[0] == path]
    return sorted(found, key=lambda row: (row.key.count("@") + row.key.count("+"), row.key))


def form_words(entry: Entry) -> str:
    """How a value of this entry looks."""
    if isinstance(entry, Number):
        read = entry.bare or DIMENSIONS[entry.dimension].bare
        alone = f"; a number alone counts {read}" if read and not DIMENSIONS[entry.dimension].money else ""
        return example_of(DIMENSIONS[entry.dimension], PLAIN) + alone
    if isinstance(entry, Word):
        return ", ".join(entry.options) + (", unknown" if entry.unknown else "")
    if isinstance(entry, Text):
        return entry.example
    kind_words = "a table" if isinstance(entry, Group) else "a list"
    return f"{kind_words}, or `{entry.short}`" if entry.short else kind_words


def left_out(key: str, entry: Entry, behind: list[Assumption]) -> str:
    """What stands in where the key is left out."""
    if behind and not (entry.gap == "ask" and key not in ROWS):
        share = isinstance(entry, Number) and entry.dimension == "share"
        texts = [(stands_in(row, percent=share), row.key.partition("@")[2].replace("+", " and ")) for row in behind]
        groups = (
            (text, [words for _, words in held if words]) for text, held in groupby(texts, key=lambda pair: pair[0])
        )
        return "; ".join(f"{', '.join(words)}: {text}" if words else text for text, words in groups)
    if key in OTHERWISE:
        return OTHERWISE[key]
    if entry.gap == "ask":
        return "must be given"
    if key in OPEN:
        return "stays open"
    return "follows from other facts" if isinstance(entry, Number) and entry.gap == "assume" else ""


def stands_in(row: Assumption, *, percent: bool) -> str:
    """The value of an assumption with its range, short."""
    if row.word is not None or row.value is None:
        return row.word or ""
    if row.key.endswith(RUNNING):
        return f"{row.value / 3600:g} h ({(row.low or 0) / 3600:g} h to {(row.high or 0) / 3600:g} h)"
    ends = [amount(end, row.unit, percent=percent) for end in (row.value, row.low, row.high) if end is not None]
    text = f"{ends[0]} ({ends[1]} to {ends[2]})" if len(ends) == 3 else ends[0]
    return f"{text} of the raw part" if row.key.partition("@")[0] in OF_RAW else text


def amount(value: float, unit: str, *, percent: bool) -> str:
    """One number with its unit; times in the unit that a person would use."""
    if percent:
        return f"{value * 100:g} %"
    if unit == "m" and value < 0.1:
        return f"{value * 1000:g} mm"
    plain = unit == "1" or (unit.startswith("money") and not value)
    return duration(value) if unit == "s" else f"{value:g}" if plain else f"{value:g} {unit}"

"""The inquiry file as a form to fill in: each entry with what was typed for it, right or wrong, and what is wrong."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from millhand.errors import InputError, InputErrors
from millhand.intake.form import Entry, Group, Number, Several, Text, Word
from millhand.intake.form_shop import BREAKS, SHIFTS
from millhand.intake.form_work import ELEMENTS, INQUIRY
from millhand.intake.inquiry import inquiry_and_form, opened_for
from millhand.intake.inquiry_facts import marked, quantity
from millhand.intake.inquiry_gaps import facts_of
from millhand.intake.inquiry_groups import wanted
from millhand.intake.inquiry_opened import Opened
from millhand.intake.inquiry_shifts import how_many
from millhand.intake.told import is_to_tell
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_put import ANSWERED
from millhand.intake.yaml_tree import Listing, Node, Scalar, Table, tree_of
from millhand.model.fact import Assumption, Choice, Fact
from millhand.model.inquiry import Inquiry

FILE = "inquiry.yaml"
MISSING = "missing_key"  # the code of an error about what is not there
ASKED = ("today.elements.", "shifts.")  # begin the paths of what may have no place of its own
USUAL_ELEMENTS = tuple(f"today.elements.{name}.time" for name in ("exchange", "fetch", "deburr", "gauge"))
USUAL_ELEMENTS += ("today.elements.gauge.every_n",)
OF_SHIFT = ("operators", "breaks.pause.length", "breaks.pause.paid")
SIZES, ROUND = ("raw", "finished"), "70 dia x 35 mm"  # outer measures, and an example of those of a round part
BESIDE = ("basis", "source", "note")  # what may be written beside a value


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One entry of the form. `path` is its place in the file, `fact` the path of its fact.

    `text` is what was typed, with its range; `beside` the basis, source and note that were typed; `kept` what else the
    long form holds. `known` is the fact or choice that the inquiry has there, its assumption where nothing was typed.
    """

    path: str
    fact: str
    entry: Number | Word | Text
    text: str = ""
    beside: Mapping[str, str] = field(default_factory=dict)
    kept: Mapping[str, str] = field(default_factory=dict)
    errors: tuple[InputError, ...] = ()
    known: Fact | Choice | None = None
    example: str = ""
    read: Fact | None = None  # what a number was read as, where it could have been another one
    currency: str = ""
    needed: bool = False  # nothing was typed, and without it the inquiry cannot be worked out


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A table of the form, or the list of such tables: its fields, what stands below, and what may be added."""

    path: str
    title: str
    help: str
    fields: tuple[Field, ...] = ()
    below: tuple["Section", ...] = ()
    lists: bool = False  # a list: what stands below are its items, and one more may be added
    written: bool = False  # the file has something there
    errors: tuple[InputError, ...] = ()

    def count(self, what: str) -> int:
        """How many fields here and below are 'wrong', 'typed' or 'assumed'."""
        own = sum(kind_of(each) == what for each in self.fields)
        return own + (len(self.errors) if what == "wrong" else 0) + sum(each.count(what) for each in self.below)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A whole inquiry file as a form, with the inquiry where it can be used, and all that is wrong where not."""

    sections: tuple[Section, ...]
    errors: tuple[InputError, ...]
    inquiry: Inquiry | None
    opened: Opened | None
    asked: tuple[Field, ...] = ()  # what has no place of its own and is written under `answered`

    def section(self, path: str) -> Section | None:
        """The section of a subject."""
        return next((each for each in self.sections if each.path == path), None)

    def fields(self) -> Iterator[Field]:
        """Every field, from the top down."""
        for each in self.sections:
            yield from fields_in(each)

    def all_fields(self) -> Iterator[Field]:
        """Those that are written under `answered` too."""
        yield from self.fields()
        yield from self.asked


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reading:
    """What fields are made with: errors by their place, what is missing, facts, and how the file is read."""

    at: Mapping[str, tuple[InputError, ...]]
    missing: frozenset[str]
    facts: Mapping[str, Fact | Choice]
    opened: Opened


def kind_of(each: Field) -> str:
    """What a field is now: 'wrong', 'typed', 'assumed' or 'open'."""
    if each.errors:
        return "wrong"
    if each.text:
        return "typed"
    return "assumed" if each.known is not None else "open"


def fields_in(section: Section) -> Iterator[Field]:
    """The fields of a section and below."""
    yield from section.fields
    for each in section.below:
        yield from fields_in(each)


Ahead = Callable[[Inquiry], tuple[InputError, ...]]  # what would be refused of an inquiry that can be read


def paper_of(
    text: str,
    folder: Path,
    assumptions: Mapping[str, Assumption],
    ahead: Ahead = lambda inquiry: (),
    meanwhile: Mapping[str, Fact | Choice] | None = None,
) -> Paper:
    """The form of an inquiry's text; where that is no YAML at all there are errors and no section.

    meanwhile: what is assumed, by path, where the text cannot be read as an inquiry yet.
    """
    try:
        tree = tree_of(text.encode("utf-8"), FILE)
    except InputErrors as trouble:
        return Paper(sections=(), errors=tuple(trouble.errors), inquiry=None, opened=None)
    inquiry, opened, errors = read_of(tree, folder, assumptions)
    errors = (*errors, *(ahead(inquiry) if inquiry is not None else ()))
    at: dict[str, tuple[InputError, ...]] = {}
    for error in errors:
        at[error.where] = (*at.get(error.where, ()), error)
    facts = {fact.id: fact for fact in facts_of(inquiry)} if inquiry is not None else dict(meanwhile or {})
    missing = frozenset(error.read.removeprefix("no ") for error in errors if error.code == MISSING)
    reading = _Reading(at=at, missing=missing, facts=facts, opened=opened)
    first = [entry for entry in INQUIRY.entries if not isinstance(entry, Group | Several)]
    job = Section(
        path="", title="The job", help="what it is called, and how numbers are written", written=True,
        fields=tuple(field_of(entry, tree.entries.get(entry.key), entry.key, entry.key, reading) for entry in first),
    )  # fmt: skip
    rest = [section_of(entry, tree, "", "", reading) for entry in INQUIRY.entries if isinstance(entry, Group | Several)]
    sections = (job, *(each for each in rest if each.path != "answered"))
    own = {each.fact for section in sections for each in fields_in(section)}
    return Paper(
        sections=sections, errors=tuple(errors), inquiry=inquiry, opened=opened,
        asked=tuple(each for each in asked_of(tree, reading) if each.fact not in own),
    )  # fmt: skip


def asked_of(tree: Table, reading: _Reading) -> Iterator[Field]:
    """What may be said of usual elements and of shifts told in short: all that was read, or what most files have."""
    node, today, shifts = tree.entries.get("answered"), tree.entries.get("today"), tree.entries.get("shifts")
    answers = node.entries if isinstance(node, Table) else {}
    usual = [] if isinstance(today, Table) and "elements" in today.entries else list(USUAL_ELEMENTS)
    usual += [] if isinstance(shifts, Listing) else usual_of_shifts(shifts)
    for path in dict.fromkeys((*(reading.opened.entries or usual), *answers)):
        entry = reading.opened.entries.get(path) or entry_at(path)
        if path.startswith(ASKED) and isinstance(entry, Number | Word):
            each = field_of(entry, answers.get(path), f"{ANSWERED}{path}", path, reading)
            heads = reading.facts.get("people.operators") if path.endswith(".operators") else None
            yield replace(each, known=each.known or heads)


def usual_of_shifts(node: Node | None) -> list[str]:
    """What may be said of shifts told in short: of as many as there are, of the first where none are told yet."""
    count = how_many(node.text) if isinstance(node, Scalar) else 0
    return [f"shifts.shift_{number}.{name}" for number in range(1, max(count, 1) + 1) for name in OF_SHIFT]


def entry_at(path: str) -> Entry | None:
    """What the form says of an element, a shift or a break at a path."""
    form = ELEMENTS if path.startswith(ASKED[0]) else BREAKS if ".breaks." in path else SHIFTS
    return next((each for each in form.entries if each.key == path.rpartition(".")[2]), None)


def read_of(
    tree: Table, folder: Path, assumptions: Mapping[str, Assumption]
) -> tuple[Inquiry | None, Opened, tuple[InputError, ...]]:
    """The inquiry of a tree where it can be used, and what is wrong where not."""
    try:
        inquiry, opened = inquiry_and_form(tree, folder, assumptions)
    except InputErrors as trouble:
        return None, opened_for(tree, assumptions), tuple(trouble.errors)
    return inquiry, opened, ()


def section_of(entry: Group | Several, table: Table | None, above: str, fact: str, reading: _Reading) -> Section:
    """The section of a table or list below a table of the file."""
    node = table.entries.get(entry.key) if table is not None else None
    path, fact = joined(above, entry.key), fact if entry.key == "operations" else joined(fact, entry.key)
    made = Section(
        path=path, title=title_of(entry.key), help=entry.help, lists=isinstance(entry, Several),
        written=node is not None and not is_nothing(node), errors=errors_at(node, reading),
    )  # fmt: skip
    short = isinstance(node, Scalar) and not is_nothing(node)
    if entry.short and (short or not made.written):
        example = ROUND if entry.key in SIZES and is_round(table) else entry.short
        typed = Text(key=entry.key, field=entry.field, help=entry.help, example=example)
        one = field_of(typed, node, path, fact, reading)
        made = replace(made, fields=(one,), errors=() if short else made.errors)
        if short:
            return made
    if isinstance(entry, Several):
        items = node.items if isinstance(node, Listing) else ()
        return replace(made, below=tuple(
            item_of(entry, item, joined(path, str(number)), fact, (number, reading))
            for number, item in enumerate(items)
        ))  # fmt: skip
    inner = inside(entry.entries, node if isinstance(node, Table) else None, (path, fact), reading)
    return replace(made, fields=(*made.fields, *inner.fields), below=inner.below)


def item_of(entry: Several, item: Node, path: str, fact: str, at: tuple[int, _Reading]) -> Section:
    """One table of a list, called by its name, or by its number from 1."""
    number, reading = at
    name = item.entries.get("name") if isinstance(item, Table) and entry.named else None
    called = name.text if isinstance(name, Scalar) and name.text else str(number + 1)
    found = inside(entry.entries, item if isinstance(item, Table) else None, (path, joined(fact, called)), reading)
    return replace(
        found, path=path, title=called.replace("_", " "), help=entry.help, written=True, errors=errors_at(item, reading)
    )


def inside(entries: tuple[Entry, ...], table: Table | None, at: tuple[str, str], reading: _Reading) -> Section:
    """The fields and sections of one table."""
    path, fact = at
    nodes = table.entries if table is not None else {}
    fields = tuple(
        field_of(entry, nodes.get(entry.key), joined(path, entry.key), joined(fact, entry.key), reading)
        for entry in entries if not isinstance(entry, Group | Several)
    )  # fmt: skip
    below = tuple(
        section_of(entry, table, path, fact, reading) for entry in entries if isinstance(entry, Group | Several)
    )
    return Section(path=path, title="", help="", fields=fields, below=below)


def field_of(entry: Number | Word | Text, node: Node | None, path: str, fact: str, reading: _Reading) -> Field:
    """One field with what was typed."""
    text, beside = typed(node)
    return Field(
        path=path, fact=fact, entry=entry, text=text,
        beside={key: beside[key] for key in BESIDE if key in beside},
        kept={key: told for key, told in beside.items() if key not in BESIDE},
        errors=() if node is None else tuple(errors_in(node, reading)),
        known=reading.facts.get(fact), example=wanted(entry, reading.opened),
        read=read_of_text(entry, text, fact, reading.opened), currency=reading.opened.manner.currency,
        needed=node is None and is_needed(entry, fact, reading),
    )  # fmt: skip


def read_of_text(entry: Number | Word | Text, text: str, fact: str, opened: Opened) -> Fact | None:
    """What a text was read as, where that should be said beside it; whatever else is wrong in the file."""
    plain = marked(text)[1]
    if not isinstance(entry, Number) or not is_to_tell(entry, plain):
        return None
    aside = replace(opened, errors=[])
    found = quantity(entry, Scalar(text=plain, where=""), aside)
    if found is None:
        return None
    return Fact(
        id=fact, value=found.value, low=found.low, high=found.high, unit=found.unit, basis="given", source="as typed",
        shape="triangular" if found.low is not None else "point",
    )  # fmt: skip


def is_needed(entry: Number | Word | Text, fact: str, reading: _Reading) -> bool:
    """Whether the inquiry lacks a fact, by itself or with the whole table that it stands in."""
    above = fact.rpartition(".")[0] in reading.missing
    return fact in reading.missing or (above and (entry.gap == "ask" or fact == "people.operators"))


def typed(node: Node | None) -> tuple[str, dict[str, str]]:
    """What was typed as a value, with its range, and what stands beside it."""
    if isinstance(node, Scalar):
        return node.text, {}
    if isinstance(node, Listing):
        return ", ".join(item.text for item in node.items if isinstance(item, Scalar)), {}
    if node is None:
        return "", {}
    words = {key: each.text for key, each in node.entries.items() if isinstance(each, Scalar)}
    value, low, high = (words.pop(key, "") for key in ("value", "low", "high"))
    return (f"{value} ({low} to {high})" if low and high else value), words


def written(entry: Entry, text: str, beside: Mapping[str, str]) -> str:
    """What was typed as YAML on one line: short where nothing stands beside it; '' where nothing was typed."""
    text = " ".join(text.split())
    if not text:
        return ""
    if isinstance(entry, Text) and entry.many:
        return "[" + ", ".join(quoted(each.strip()) for each in text.split(",") if each.strip()) + "]"
    told = {key: " ".join(words.split()) for key, words in beside.items() if words.strip()}
    told = {key: words for key, words in told.items() if (key, words) != ("basis", "given")}
    if not told or isinstance(entry, Text):
        return quoted(text)
    return "{" + ", ".join(f"{key}: {quoted(words)}" for key, words in {"value": text, **told}.items()) + "}"


def errors_in(node: Node, reading: _Reading) -> Iterator[InputError]:
    """What is said to a node and to what stands in it."""
    yield from reading.at.get(node.where, ())
    if isinstance(node, Table):
        for key, each in node.entries.items():
            yield from reading.at.get(node.places[key], ())
            yield from errors_in(each, reading)
    elif isinstance(node, Listing):
        for each in node.items:
            yield from errors_in(each, reading)


def errors_at(node: Node | None, reading: _Reading) -> tuple[InputError, ...]:
    """What is said to a table or list itself: what it lacks, and keys that it should not have."""
    if node is None or isinstance(node, Scalar):
        return reading.at.get(node.where, ()) if node is not None else ()
    places = node.places.values() if isinstance(node, Table) else ()
    return tuple(error for where in dict.fromkeys((node.where, *places)) for error in reading.at.get(where, ()))


def is_round(table: Table | None) -> bool:
    """Whether a part is told to be round."""
    shape = table.entries.get("shape") if table is not None else None
    return "round" in typed(shape)[0]


def is_nothing(node: Node) -> bool:
    """Whether a key has no value behind it."""
    return isinstance(node, Scalar) and node.plain and not node.text


def joined(above: str, key: str) -> str:
    """A path with one step more."""
    return f"{above}.{key}" if above else key


def title_of(key: str) -> str:
    """A key as a heading."""
    return key.replace("_", " ").capitalize()

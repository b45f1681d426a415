"""One value of an inquiry to a Fact or a Choice: given, measured, assumed or judged, each with its place and range."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import cast

from millhand.errors import InputError
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.digits import NUMERAL
from millhand.intake.form import Number, Word
from millhand.intake.inquiry_opened import Opened, Place, child
from millhand.intake.text import Reading, duration, example_of, read_quantity, sides_in
from millhand.intake.units import DIMENSIONS
from millhand.intake.yaml_tree import Node, Scalar, Table
from millhand.model.fact import Assumption, Basis, Choice, Fact, Shape

LONG_KEYS = ("value", "low", "high", "basis", "shape", "source", "evidence", "note")
WRITTEN_BASES = ("given", "measured", "assumed")
ASSUMED = re.compile(r"assumed\s+(?=\S)")  # stands before a value that whoever wrote the file assumed
SHAPES = ("point", "triangular", "lognormal", "uniform")
# Steps of a path that name no thing of the shop's own.
TABLES = frozenset(
    [
        "shop", "people", "shifts", "machines", "parts", "today", "wishes", "money", "stops", "stands", "raw",
        "finished", "breaks", "operations", "elements",
    ]
)  # fmt: skip
FROM_FILE = "assumptions.csv, "  # begins the source of what nobody gave
DOUBTFUL_PREMIUM = 3.0  # up to here a number without its sign, on top of a wage, could be a share and could be percent
BEFORE = ".before"  # stands behind the id of a fact that was replaced by a judged one


@dataclass(frozen=True, slots=True, kw_only=True)
class Long:
    """What stands beside a value in the long form; `value` is the node of the value itself."""

    value: Scalar
    words: Mapping[str, str]  # basis, shape, source, evidence, note
    ends: Mapping[str, Scalar]  # low, high


def fact_of(entry: Number, node: Node | None, place: Place, opened: Opened, gap: Fact | None = None) -> Fact | None:
    """The number at a place, judged where the engineer says so; None where it is left open or cannot be read.

    `gap` is the fact that stands in where the file says nothing; without it the assumptions are asked.
    """
    opened.entries[place.id] = entry
    node = _said(entry, node, place, opened)
    own = _given(entry, node, place, opened) if node is not None else gap or _assumed(entry, place, opened)
    if own is not None and own.id == place.id:  # what stands in from elsewhere keeps its own title
        own = replace(own, title=title_of(entry, place))
    judgement = opened.judged.get(place.id)
    if judgement is None:
        return own
    new = _given(entry, judgement.value, place, opened)
    if new is None:
        return None
    before = f"{place.id}{BEFORE}" if own is not None else None
    if own is not None:
        opened.before.append(replace(own, id=f"{place.id}{BEFORE}"))
    return replace(
        new, basis="judged", source=judgement.where, note=judgement.reason, instead_of=before,
        question=own.question if own is not None else None, title=title_of(entry, place),
    )  # fmt: skip


def title_of(entry: Number | Word, place: Place) -> str:
    """What a value is, and in brackets the things with a name that it belongs to."""
    owners = [step for step in place.id.split(".")[:-1] if step not in TABLES]
    return f"{entry.help} ({', '.join(step.replace('_', ' ') for step in owners)})" if owners else entry.help


def choice_of(entry: Word, node: Node | None, place: Place, opened: Opened) -> Choice | None:
    """The word at a place, judged where the engineer says so; None where it cannot be read."""
    opened.entries[place.id] = entry
    node = _said(entry, node, place, opened)
    own = _written(entry, node, place, opened)
    own = replace(own, title=title_of(entry, place)) if own is not None else None
    judgement = opened.judged.get(place.id)
    if judgement is None:
        return own
    new = _written(replace(entry, unknown=False), judgement.value, place, opened)
    if new is None or own is None:
        return None
    opened.before.append(replace(own, id=f"{place.id}{BEFORE}"))
    return replace(
        new, basis="judged", source=judgement.where, note=judgement.reason, instead_of=f"{place.id}{BEFORE}",
        question=own.question, title=own.title,
    )  # fmt: skip


def assumed_fact(place: Place, row: Assumption, note: str | None = None) -> Fact:
    """The number that a row of the assumptions puts at a place."""
    return Fact(
        id=place.id, value=cast(float, row.value), unit=row.unit, basis="assumed", source=row_source(row), low=row.low,
        high=row.high, shape=row.shape if row.low is not None else "point", question=row.question, note=note,
    )  # fmt: skip


def share_fact(place: Place, row: Assumption, whole: Fact) -> Fact:
    """The number that a row puts at a place as a share of another number of the same thing."""
    share = assumed_fact(place, row)
    ends = [end * whole.value if end is not None else None for end in (share.low, share.high)]
    return replace(
        share, value=share.value * whole.value, low=ends[0], high=ends[1], unit=whole.unit,
        note=f"a share of {whole.id}: {share.value:g}",
    )  # fmt: skip


def row_source(row: Assumption) -> str:
    """Where an assumed value comes from: the row, and the row's own source."""
    return f"{FROM_FILE}{row.key}: {row.source}"


def long_form(node: Node, opened: Opened) -> Long | None:
    """The value with what stands beside it; a bare value has nothing beside it but that it was assumed."""
    if isinstance(node, Scalar):
        mark, text = marked(node.text)
        return Long(value=replace(node, text=text), words={"basis": "assumed"} if mark else {}, ends={})
    value = child(node, "value") if isinstance(node, Table) else None
    if not isinstance(node, Table) or not isinstance(value, Scalar):
        opened.bad_node(
            node, f"one value, or a table with 'value' and, where known, {listed(LONG_KEYS[1:])}", "not_a_value"
        )
        return None
    known_keys(node, LONG_KEYS, opened)
    texts: dict[str, Scalar] = {}
    for key, one in node.entries.items():
        if isinstance(one, Scalar):
            texts[key] = one
        elif key in LONG_KEYS:
            opened.bad_node(one, f"one value for {key!r}", "not_a_value")
    words = {key: one.text for key, one in texts.items() if key in LONG_KEYS[3:]}
    _known_word(texts.get("basis"), WRITTEN_BASES, opened)
    _known_word(texts.get("shape"), SHAPES, opened)
    _known_word(texts.get("evidence"), sorted(opened.evidence), opened)
    return Long(value=value, words=words, ends={key: texts[key] for key in ("low", "high") if key in texts})


def marked(text: str) -> tuple[str, str]:
    """The mark 'assumed ' of a value, '' where it has none, and the value without it.

    >>> marked("assumed 24 USD/h"), marked("24 USD/h")
    (('assumed ', '24 USD/h'), ('', '24 USD/h'))
    """
    match = ASSUMED.match(text)
    return ("assumed ", text[match.end() :]) if match else ("", text)


def open_question(basis: str, entry: Number | Word, place: Place, opened: Opened) -> str | None:
    """What would replace a value that whoever wrote the file assumed; None where it was given or measured."""
    if basis != "assumed":
        return None
    row = opened.assumption(place)
    return row.question if row is not None and row.question else f"What is it here: {title_of(entry, place)}?"


def known_keys(table: Table, known: tuple[str, ...], opened: Opened) -> None:
    """Note every key that this table does not know, with the nearest that it does."""
    for key in table.entries:
        if key not in known:
            write = f"one of {listed(known)}{nearest(key, known)}"
            opened.bad(table.places[key], key or "an empty key", write, "unknown_key")


def quantity(entry: Number, node: Scalar, opened: Opened) -> Reading | None:
    """The number in a text, inside the limits of its entry."""
    try:
        found = in_percent(entry, node.text, read_quantity(node.text, entry.dimension, opened.manner, bare=entry.bare))
    except InputError as error:
        opened.errors.append(replace(error, where=node.where))
        return None
    ends = [end for end in (found.low, found.value, found.high) if end is not None]
    if not all(entry.least <= end <= entry.most for end in ends):
        opened.bad(node.where, node.text, f"{wanted_number(entry, opened)}{limits_of(entry)}", "outside_limits")
        return None
    if entry.whole and found.value != int(found.value):
        opened.bad(node.where, node.text, "a whole number", "not_whole")
        return None
    return found


def in_percent(entry: Number, text: str, found: Reading) -> Reading:
    """A share without its sign: in percent where it is beyond all shares; InputError, without a place, in doubt.

    >>> share = Number(key="on_cost", field="on_cost", dimension="share", most=2, help="on-cost")
    >>> [in_percent(share, each, Reading(value=float(each))).value for each in ("26", "1.5", "300")]
    [0.26, 1.5, 300.0]
    """
    text = text.strip()
    if entry.dimension != "share" or found.low is not None or not re.fullmatch(NUMERAL, text):
        return found
    if found.value <= entry.most:
        return found
    if found.value <= (DOUBTFUL_PREMIUM if entry.most > 1 else 1):
        both = f"{text} % or {found.value * 100:g} %: {text!r} can be read both ways"
        raise InputError("", text, both, "unit_missing")
    percent = found.value / 100
    return replace(found, value=percent) if entry.least <= percent <= min(entry.most, 1.0) else found


def wanted_number(entry: Number, opened: Opened) -> str:
    """What a number looks like, in words."""
    return example_of(DIMENSIONS[entry.dimension], opened.manner)


def limits_of(entry: Number) -> str:
    """The limits of a number in words, in SI: ', from 1 to 100', ', from 0.1 to 5 m'."""
    unit = DIMENSIONS[entry.dimension].si
    if unit == "s":
        return f", from {duration(entry.least)} to {duration(entry.most)}"
    return f", from {entry.least:g} to {entry.most:g}" + ("" if unit == "1" else f" {unit}")


def _said(entry: Number | Word, node: Node | None, place: Place, opened: Opened) -> Node | None:
    """What the file says of a value: at its own place, else among the answers; a word 'unknown' says nothing."""
    answer = opened.answered.get(place.id)
    silent = isinstance(entry, Word) and entry.unknown and isinstance(node, Scalar) and node.text == "unknown"
    if answer is None or node is None or silent:
        return answer or node
    opened.bad_node(answer, f"{place.id} once: it stands at {node.where} too", "given_twice")
    return node


def _known_word(node: Scalar | None, known: tuple[str, ...] | list[str], opened: Opened) -> None:
    """Note a word beside a value that is not one of the known."""
    if node is not None and node.text not in known:
        write = (
            f"{listed(known)}{nearest(node.text, known)}" if known else "a name out of 'evidence'; there is none yet"
        )
        opened.bad(node.where, node.text, write, "not_a_choice")


def _given(entry: Number, node: Node, place: Place, opened: Opened) -> Fact | None:
    """The number that the file gives."""
    long = long_form(node, opened)
    found = quantity(entry, long.value, opened) if long is not None else None
    if long is None or found is None:
        return None
    low, high = _ends(entry, long, found, opened)
    if low is not None and high is not None and not low <= found.value <= high:
        opened.bad_node(long.value, "a value between the low and the high end of its range", "range_order")
        return None
    basis = long.words.get("basis", "given")
    sides = sides_in(long.value.text) if entry.dimension == "area" else ""
    return Fact(
        id=place.id, value=found.value, unit=found.unit, low=low, high=high, source=_source(node.where, long),
        basis=cast(Basis, basis), note=long.words.get("note") or sides or None,
        question=open_question(basis, entry, place, opened), attachment=long.words.get("evidence"),
        shape=cast(Shape, long.words.get("shape", "triangular" if low is not None else "point")),
    )  # fmt: skip


def _source(where: str, long: Long) -> str:
    """The place in the file, and who or what said so."""
    said = long.words.get("source")
    return f"{where}, {said}" if said else where


def _ends(entry: Number, long: Long, found: Reading, opened: Opened) -> tuple[float | None, float | None]:
    """P10 and P90: from the text itself, or from low and high of the long form."""
    if not long.ends:
        return found.low, found.high
    if found.low is not None or len(long.ends) == 1:
        one = next(iter(long.ends.values()))
        opened.bad_node(one, "both low and high, or the range once, such as 45 s (30 s to 70 s)", "half_a_range")
        return None, None
    ends = [quantity(entry, long.ends[key], opened) for key in ("low", "high")]
    return (ends[0].value, ends[1].value) if ends[0] and ends[1] else (None, None)


def _assumed(entry: Number, place: Place, opened: Opened) -> Fact | None:
    """The number out of the assumptions; None where the entry may stay open or the gap was noted elsewhere."""
    row = opened.assumption(place) if entry.gap in ("assume", "known") else None
    return assumed_fact(place, row) if row is not None and row.value is not None else None


def _written(entry: Word, node: Node | None, place: Place, opened: Opened) -> Choice | None:
    """The word that the file gives, or the one out of the assumptions."""
    long = long_form(node, opened) if node is not None else None
    if node is not None and long is None:
        return None
    if long is None or (entry.unknown and long.value.text == "unknown"):
        row = opened.assumption(place)
        return _assumed_choice(entry, place, row) if row is not None and row.word is not None else None
    if long.value.text not in entry.options:
        options = (*entry.options, "unknown") if entry.unknown else entry.options
        opened.bad_node(long.value, f"{listed(options)}{nearest(long.value.text, options)}", "not_a_choice")
        return None
    basis = long.words.get("basis", "given")
    return Choice(
        id=place.id, value=long.value.text, options=entry.options, basis=cast(Basis, basis),
        source=_source(node.where, long), note=long.words.get("note"), attachment=long.words.get("evidence"),
        question=open_question(basis, entry, place, opened),
    ) if node is not None else None  # fmt: skip


def _assumed_choice(entry: Word, place: Place, row: Assumption) -> Choice:
    """The word that a row of the assumptions puts at a place."""
    return Choice(
        id=place.id, value=cast(str, row.word), options=entry.options, basis="assumed", source=row_source(row),
        question=row.question,
    )  # fmt: skip

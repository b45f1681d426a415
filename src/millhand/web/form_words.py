"""Words of the forms, where those of the file's description are no label: somebody reads them without the file."""

import re
from dataclasses import replace

from millhand.intake.fields import MISSING, Field, Section
from millhand.web.sheet_words import worded

SHORT_LIST = 3  # items of a list that all stand open; of a longer one those that wait for something
CALLED = "what it is called here"
PLAIN = {
    "decimal": "how numbers are written here; point or comma",
    "shop.name": "what the shop is called; it stands on the proposal",
    "shop.country": "the country of the shop; its two letters, such as US",
    "shop.currency": "the currency of all money; its three letters; left out, that of the wage",
    "shop.holidays": "days on which nobody works; dates, for the reader: they are left out of the work days already",
    "people.tend": "how several operators share the machines; own: each his own ones; together: whoever is free goes "
    "to the machine that calls",
    "shifts.*.from": "when it begins; a time of day",
    "shifts.*.to": "when it ends; a time of day, or give its length",
    "shifts.*.length": "how long it is, from coming to going; breaks inside; or give its end",
    "shifts.*.breaks.*.from": "when the break begins; a time of day",
    "parts.*.arrives": "how raw parts come; ordered: in trays or stacks",
    "parts.*.orders_per_y": "parts a year that could be sold, if all could be made; no more counts as sold",
    "parts.*.operations.*.machine": "which machine does it; several, with commas between: any of them does any part",
    "parts.*.operations.*.time_is": "what that time holds; cycle: the machine's own, from start to end; floor to "
    "floor: door and loading are in it",
    "parts.*.operations.*.sides": "how many sides are made in one door opening; two vises: first and second side in "
    "two vises, exchanged in one opening",
    "parts.*.operations.*.gauge_every": "a part is gauged by hand at each so many-th",
    "parts.*.operations.*.bar.length": "length of one bar",
    "parts.*.operations.*.bar.remnant": "what is left of each bar and thrown away",
    "parts.*.operations.*.bar.cut_off": "what is lost between two parts",
    "parts.*.operations.*.bar.change": "how long the machine stands from one bar to the next, without anybody",
    "parts.*.operations.*.dressing.every": "the wheel is dressed at each so many-th part",
    "part_list.bad_rows": "what becomes of rows with a bad cell; leave out: they are counted and listed; ask: they are "
    "errors",
    "today.tool_change": "how long a change of tools or inserts takes, with measuring; how often it comes is the tool "
    "life of each operation: no element here as well",
    "today.elements.*.side": "whether the machine stands meanwhile; outside: it stands; inside: it runs",
    "today.elements.*.every_n": "at each how many-th load it is done; left out, at each",
    "today.elements.*.every_parts": "or at each how many-th part; 1: at every part of a load",
    "today.elements.*.place": "where it is done; the name of a machine, or bench; left out, at the machine",
    "today.elements.*.readings.file": "the file of the readings; CSV or XLSX beside the inquiry, a column for each "
    "element, a row for each load",
    "today.elements.*.readings.allowance_of": "what the allowance is a share of; work: of the normal time, NT (1 + A); "
    "day: of the whole day, NT / (1 - A)",
    "today.elements.*.readings.confidence": "how surely the mean lies so near",
    "money.tax": "share of profit that goes as tax; left out, the case is before tax",
    "money.books.other_last": "of that equipment, what came in the last quarter",
    "money.financing.way": "how it is paid; a loan on a share of it, or a lease of all of it",
    "money.financing.share": "share that is lent, of what is paid before hand-over",
    "money.financing.years": "years until all is paid back",
    "money.financing.payment": "payment of a lease, such as 3200 a month; left out, as a loan over all of it",
    "money.financing.end": "what is paid at the end of a lease to keep the cell",
    "claims.by": "who makes these claims; such as the owner's sheet",
}


def in_words(section: Section) -> Section:
    """A section with the words of the forms, where they have some."""
    fields = tuple(worded(each, words_of(each)) for each in section.fields)
    return replace(section, fields=fields, below=tuple(in_words(each) for each in section.below))


def words_of(each: Field) -> str:
    """What a field asks for."""
    path = re.sub(r"\.[0-9]+\.", ".*.", each.path)
    return CALLED if path.endswith("*.name") else PLAIN.get(path, each.entry.help)


def in_short(section: Section) -> str:
    """What was typed of an item of a list, in its order, for who sees its heading alone; '' of nothing."""
    return ", ".join(each.text.replace("_", " ") for each in section.fields if each.text and each.entry.key != "name")


def stands_open(section: Section, count: int) -> bool:
    """Whether a part of a form stands open: in a list of so many, where something of it waits or the list is short."""
    return bool(section.count("wrong")) or (section.written and count <= SHORT_LIST)


def left_to_say(section: Section) -> Section:
    """A section without the errors that one of its fields says by itself: that something is needed there."""
    asked = {f"no {each.fact}" for each in section.fields if each.needed}
    return replace(section, errors=tuple(
        each for each in section.errors if not (each.code == MISSING and each.read in asked)
    ))  # fmt: skip

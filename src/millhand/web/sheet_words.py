"""The words of the call sheet, in the place of those of the file's form: somebody reads them without a file."""

import re
from dataclasses import replace

from millhand.intake.fields import Field
from millhand.intake.form import Number

PLAIN = {
    "shop.name": "what the shop is called; it stands on the proposal",
    "orders_per_y": "parts a year that could be sold, if all could be made; no more counts as sold. What is sold "
    "today follows from the good parts a shift, under Today",
    "machine": "which machines do it; of several, any of them does any part",
    "time_is": "what that time holds; cycle: the machine's own, from start to end; floor to floor: door and loading "
    "are in it",
    "gauge_every": "a part is gauged by hand at each so many-th",
    "name": "what it is called here",
    "work_days_per_y": "work days a year; of the busiest shift, holidays left out",
    "raw": "outer measures of the raw part; a round one 70 dia x 35 mm, any other 120 x 80 x 40 mm",
    "parts_per_shift": "good parts that leave in a shift today; all machines together, of one shift and not of a day",
    "people.operators": "operators at these machines, in each shift; told once: how many machines one of them tends "
    "follows from it, and a shift with more or fewer has a place of its own below",
    "freed_use": "what operators do with hours that become free; where somebody is missing, it is the work of a post "
    "that is empty, whatever that work is",
    "spacing": "from the middle of one machine to the middle of the next; of machines in a row",
    "setup": "changeover of a machine from one lot to the next, for one operation; a part with two operations has two "
    "of them in each lot: of a time for both sides together, half",
    "tool_life": "parts until somebody must change a tool or insert; sister tools used up. Each change counts: with "
    "inserts that last 100 and 200 parts somebody comes each 67",
    "arrives": "how raw parts come; ordered: in trays or stacks",
    "tool_change": "how long a change of tools or inserts takes, with measuring; at the machine, which stands. It "
    "comes after as many parts as are told above, by hand and in a cell: no element of the work by hand as well",
    "floor": "free floor at the machines; as 9 m x 3 m a cell is held against the 27 m2 and against its sides, either "
    "way round, from the door planes on",
}
FURTHER = {
    "spacing": "from the middle of this machine to the middle of the next; as between the first ones, until another "
    "is typed here",
    "gauge_every": "a part is gauged by hand at each so many-th; as at the first operation, until another is typed "
    "here",
}  # of machines and operations after the first: they take over what is typed at those
USUAL = {
    "exchange.time": "from the end of a cycle to the next start, with door and blowing off in it; all that the machine "
    "stands for: door open, blown off, finished part out, next one in, clamped, door shut. None of it is added again",
    "fetch.time": "beside the running machine: fetching the next part, putting the finished one away",
    "deburr.time": "deburring beside the running machine",
    "gauge.time": "gauging one part",
}
IN_SHIFT = {
    "operators": "operators at these machines", "breaks": "breaks, the length of one or [] for none",
    "breaks.pause.length": "length of its break", "breaks.pause.paid": "whether its break is paid",
}  # fmt: skip
SOURCES = ("read from the control", "stop watch", "order paper", "told on the phone", "estimated")  # of a time
OF_CYCLES, OF_WORK = "from the control, a watch, …", "by a watch, estimated, …"  # the same in short, below its field
OPTIONS = {
    "freed_use": {
        "none": "nothing is planned", "finishing": "finishing, nobody missing",
        "setups": "set-ups", "vacancy": "work of somebody missing",
        "overtime": "less overtime", "temporary": "fewer temporary people",
    },
    "shape": {"prismatic": "prismatic: a block", "flat": "flat: a plate"},
    "time_is": {"cycle": "cycle: start to end", "floor_to_floor": "floor to floor: loading in it"},
}  # fmt: skip  # words that say more than the key of a choice does
OF_CYCLE = re.compile(r"parts\.[0-9]+\.operations\.[0-9]+\.time")
AFTER_FIRST = re.compile(r".*\b(machines|operations)\.[1-9][0-9]*\.")


def plain(each: Field, key: str) -> Field:
    """A field with the sheet's own words, where it has some."""
    if each.path == "name":
        return each
    further = FURTHER.get(key) if AFTER_FIRST.match(each.path) else None
    return worded(each, further or PLAIN.get(each.path) or PLAIN.get(key) or each.entry.help)


def worded(each: Field, words: str) -> Field:
    """A field with other words."""
    return replace(each, entry=replace(each.entry, help=words))


def usual_source(each: Field) -> str:
    """Where the time of a cycle, or of work by hand, is usually known from; '' of anything else."""
    if not isinstance(each.entry, Number) or each.entry.dimension != "time":
        return ""
    by_hand = each.path.startswith(("today.", "answered.today."))
    return OF_CYCLES if OF_CYCLE.fullmatch(each.path) else OF_WORK if by_hand else ""


def option_words(each: Field, option: str) -> str:
    """A word that may be chosen as people read it; of several machines any of them."""
    if not option:
        return "not known"
    words = OPTIONS.get(each.entry.key, {}).get(option) or option.replace("_", " ")
    if each.entry.key != "machine" or "," not in option:
        return words
    *others, last = words.split(", ")
    return f"any of {', '.join(others)} and {last}"

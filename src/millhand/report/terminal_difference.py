"""Two studies beside each other on the terminal: the answers, what moved them, and what else went in otherwise."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from millhand.model.difference import Change, Difference, Effect, Moved, Told
from millhand.model.fact import Choice, Fact
from millhand.report.comparison import ANSWERS, opening
from millhand.report.terminal import heading, plain
from millhand.report.view import listed, listed_span, moved, shown

RESTS = {
    "together": "What several of them do together",
    "simulated": "What was simulated anew",
    "otherwise": "What is built or counted otherwise",
}
MEANING = {
    "together": "what changes do beyond what each does alone",
    "simulated": "loads, parts and people's time that schedule and simulation gave anew; they follow from what "
    "changed, and no formula tells by which of it",
    "otherwise": "other lines, other equipment or another version: what has no counterpart in the other study",
}
ALL_ORDERS = "Shared out: what each change adds, in the mean over all orders of the changes"
FIRST_AND_LAST = "Shared out: what each change does as the first of all and as the last of all, in the mean"
THERE_AND_BACK = "from the first study to the second and back."
ROUNDED = "Each line is rounded by itself; the exact figures (--json) add up to the whole difference."
NO_CELLS = (
    "No cells stand beside study.json, so what changes of times do to the load of the machines is counted as simulated "
    "anew; compare whole folders to tell it apart."
)
MOST = 30  # changes that are listed by name


def difference_parts(found: Difference) -> Iterator[RenderableType]:
    """All of it, the answers first."""
    yield heading("Two studies compared")
    yield from told_parts(found)
    titles = {change.id: change_words(change, found.currency) for change in found.changes}
    for each in found.moved:
        yield heading(f"What moved: {each.title}")
        yield from moved_parts(each, titles, found.currency)
    if not found.with_cells and any(each.effects for each in found.moved):
        yield Text(NO_CELLS, style="italic")
    yield from change_parts(found)


def told_parts(found: Difference) -> Iterator[RenderableType]:
    """What each study answered, and whether it is the same."""
    for mark, each in (("First", found.first), ("Second", found.second)):
        yield Text(f"{mark}: {each.name} ({each.file}), version {each.version}, seed {each.seed}")
        yield Text(f"  {ANSWERS[each.answer]}: {each.title}")
    yield Text(f"\n{advice_words(found)}", style="bold")


def advice_words(found: Difference) -> str:
    """Whether the advice is the same."""
    if found.first.winner == found.second.winner:
        return "The advice is the same."
    words = f"The advice differs: {found.first.title}, then {found.second.title}."
    return f"{words} Both are compared in both studies." if len(found.moved) > 1 else words


def moved_parts(each: Moved, titles: dict[str, str], currency: str) -> Iterator[RenderableType]:
    """One concept: its figures, and the lines that add up to their difference."""
    yield figures_table(each, currency)
    if each.reason:
        yield Text(each.reason)
    if each.whole is None:
        return
    if not each.effects:
        yield from () if each.reason else (Text("Nothing moved its figures."),)
        return
    yield Text("")
    yield effects_table(each, titles, currency)
    rests = [effect.kind for effect in each.effects if effect.kind in MEANING]
    for kind in rests:
        yield Padding(Text(f"{RESTS[kind]}: {MEANING[kind]}.", style="italic"), (0, 0, 0, 2))
    yield Text(f"{ALL_ORDERS if each.all_orders else FIRST_AND_LAST}, {THERE_AND_BACK} {ROUNDED}", style="italic")


def figures_table(each: Moved, currency: str) -> Table:
    """Present worth and payback in both studies."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("")
    for head in ("first", "second"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_row(f"worth, {currency}", *(figure(fact, "money_2", "-") for fact in each.npv))
    lacking = ["-" if fact is None else "never" for fact in each.npv]
    backs = zip(each.payback_months, lacking, strict=True)
    table.add_row("payback", *(figure(fact, "months", words) for fact, words in backs))
    return table


def figure(fact: Fact | None, form: str, lacking: str) -> str:
    """A figure, or the word for none."""
    return plain(shown(fact, form)) if fact is not None else lacking


def effects_table(each: Moved, titles: dict[str, str], currency: str) -> Table:
    """One row a change, the remainders below, and the whole."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in (f"worth\n{currency}", "payback\nmonths"):
        table.add_column(head, justify="right", no_wrap=True)
    for effect in each.effects:
        words = titles.get(effect.of or "", effect.of or RESTS.get(effect.kind, ""))
        table.add_row(words, *effect_cells(effect))
    assert each.whole is not None
    table.add_row("Whole difference", *effect_cells(each.whole), style="bold")
    return table


def effect_cells(effect: Effect) -> tuple[str, str]:
    """What one line moved, with its sign."""
    back = effect.payback_months
    return plain(moved(effect.npv, "money_2")), plain(moved(back, "months_moved")) if back is not None else "-"


def change_parts(found: Difference) -> Iterator[RenderableType]:
    """What went in otherwise and stands in no line above; then how the runs differ."""
    lines = {effect.of for each in found.moved for effect in each.effects}
    rest = [change for change in found.changes if change.id not in lines]
    yield from run_parts(found.first, found.second)
    for kind, title in (
        ("moved", "Changed too: its effect is none, or lies in what was simulated or built anew"),
        ("known", "The same figure, known otherwise: it moves ranges, not the figures above"),
        ("gone", "Only in the first"),
        ("new", "Only in the second"),
    ):
        those = [change for change in rest if change.kind == kind]
        if those:
            yield heading(title)
            for change in those[:MOST]:
                yield Text(f"- {change_words(change, found.currency)}")
            if len(those) > MOST:
                yield Text(f"and {len(those) - MOST} more: --json has them all.")
    if not found.changes:
        yield Text("No figure and no word of inquiry and catalogue differs.")


def run_parts(first: Told, second: Told) -> Iterator[RenderableType]:
    """Seed and version, where they differ."""
    if first.seed != second.seed:
        yield Text(f"Another seed ({first.seed}, then {second.seed}): simulated figures differ by chance alone.")
    if first.version != second.version:
        yield Text(f"Another version ({first.version}, then {second.version}): it may count otherwise.")


def change_words(change: Change, currency: str) -> str:
    """One change in words: what it is, and the values on both sides."""
    either = change.second or change.first
    assert either is not None
    name = opening((either.title or spoken_path(either.id)).replace("_", " "))
    values = [
        value_words(each, currency, known=change.kind == "known") for each in (change.first, change.second) if each
    ]
    return f"{name}: {', now '.join(values)}"


def spoken_path(path: str) -> str:
    """A path as words."""
    return path.removeprefix("catalogue.").replace("_", " ").replace(".", ", ")


def value_words(fact: Fact | Choice, currency: str, *, known: bool) -> str:
    """A value; with its range and basis where only these differ."""
    if isinstance(fact, Choice):
        return fact.value.replace("_", " ") + (f", {fact.basis}" if known else "")
    value = plain(listed(fact, currency=currency))
    ends = plain(listed_span(fact, currency=currency))
    return f"{value}{f' ({ends})' if ends else ''}, {fact.basis}" if known else value

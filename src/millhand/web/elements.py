"""One more element of work by hand: the usual ones, whose place a list of own ones takes, are listed first."""

from dataclasses import replace

from millhand.intake.fields import Paper
from millhand.intake.yaml_put import typed_at, with_item, with_value
from millhand.model.fact import Fact
from millhand.model.part import ManualElement
from millhand.web.desk import Change, of_item

ELEMENTS = "today.elements"
ANSWERED, ASSUMED = "answered", "assumed "
PARTS = ("time", "side", "every_n")  # of an element, where it was answered under its name


def of_further(paper: Paper, path: str, item: dict[str, str], base: int) -> Change:
    """One more item of a list; of elements behind the usual ones where none were listed yet."""
    change, inquiry = of_item(path, item, base), paper.inquiry
    if path != ELEMENTS or inquiry is None:
        return change
    usual = inquiry.today.elements

    def edit(old: str) -> str:
        """The usual ones in the list, then the new one."""
        return change.edit(old if typed_at(old, ELEMENTS) else with_listed(old, usual))

    return replace(change, edit=edit)


def with_listed(text: str, usual: tuple[ManualElement, ...]) -> str:
    """The text with the usual elements in a list: as they were answered, or assumed with their ranges as before."""
    items = [listed(text, each) for each in usual]
    if any("\n" in value for item in items for value in item.values()):
        return text  # an answer over several lines: whoever wrote it lists the others too
    for each in usual:
        for part in PARTS:
            text = without_answer(text, f"{ELEMENTS}.{each.name}.{part}")
    for item in items:
        text = with_item(text, ELEMENTS, item)
    return text


def listed(text: str, element: ManualElement) -> dict[str, str]:
    """One of them as an item: what is not its own follows from its name as before."""
    said = {part: typed_at(text, f"{ANSWERED}.{ELEMENTS}.{element.name}.{part}") for part in PARTS}
    often = "" if element.every_n.value == 1.0 else told(element.every_n, "")
    item = {"name": element.name, **said}
    item |= {"time": said["time"] or told(element.time_s, " s"), "every_n": said["every_n"] or often}
    item["side"] = said["side"] or f"{ASSUMED if element.side.basis == 'assumed' else ''}{element.side.value}"
    return {key: value for key, value in item.items() if value}


def told(fact: Fact, unit: str) -> str:
    """A fact as it is typed: what is assumed stays so, with its range."""
    if fact.basis != "assumed":
        return f"{fact.value:.10g}{unit}"
    ends = "" if fact.low is None or fact.high is None else f" ({fact.low:.10g}{unit} to {fact.high:.10g}{unit})"
    return f"{ASSUMED}{fact.value:.10g}{unit}{ends}"


def without_answer(text: str, path: str) -> str:
    """The text without the answer at a path; the last one takes the table of answers along."""
    if not typed_at(text, f"{ANSWERED}.{path}"):
        return text
    lines = (line.strip() for line in typed_at(text, ANSWERED).split("\n"))
    others = [line for line in lines if line and not line.startswith(path)]
    return with_value(text, f"{ANSWERED}.{path}", "") if others else with_value(text, ANSWERED, "")

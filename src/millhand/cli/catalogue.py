"""`millhand catalogue [KIND]`: components and default ranges, and where each figure comes from."""

import math
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from millhand.catalogue.components import read_catalogue
from millhand.catalogue.starters import starters
from millhand.cli.starter_words import starter_lines
from millhand.errors import InputError
from millhand.model.arm import Linkage
from millhand.model.canonical import canonical
from millhand.model.catalogue import Catalogue, HandChange, Safeguards
from millhand.model.concept import Component
from millhand.model.fact import Assumption, Fact

WIDTH = 80
OTHERS = {
    "links": "Links and joints of the arms, rows of Denavit and Hartenberg",
    "figures": "Default times, rates and shares",
    "by_hand": "Cheap changes of the manual process",
    "assumptions": "What fills the gaps of an inquiry",
    "rules": "Why combinations are not looked at",
    "guards": "Ways of safeguarding that are compared, how each is judged, and what rules contact out",
    "hazards": "Hazards by task, to start a risk assessment from",
    "starters": "Generic cells to start from: when each fits, when not, its typical figures",
}


@click.command(name="catalogue")
@click.argument("kind", required=False)
@click.option("--prices", type=click.Path(path_type=Path), help="Own prices, laid over the built-in ones (CSV).")
@click.option(
    "--components", type=click.Path(path_type=Path), multiple=True,
    help="Own components, or own arms' links (CSV, URDF); may be given several times.",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def command(kind: str | None, prices: Path | None, components: tuple[Path, ...], as_json: bool) -> None:
    """List components and default ranges, and where each figure comes from.

    KIND is a kind of component (arm, gripper, presenter ...), links, figures, by_hand, assumptions, rules, guards,
    hazards or starters; without it the kinds are listed. Ranges are written low to high: one in ten lies below, one in
    ten above.
    """
    catalogue = read_catalogue(prices=prices, components=components)
    if kind is not None and kind not in kinds(catalogue):
        raise InputError("catalogue", kind, f"one of {', '.join(kinds(catalogue))}", code="unknown_kind")
    if as_json:
        click.echo(canonical(data_of(catalogue, kind)), nl=False)
    else:
        click.echo("\n".join(lines(catalogue, kind)))


def kinds(catalogue: Catalogue) -> dict[str, str]:
    """What can be listed, with a line about each."""
    found: dict[str, str] = {}
    for each in catalogue.components.values():
        found[each.kind] = f"{found[each.kind]}, {each.id}" if each.kind in found else each.id
    return found | OTHERS


def data_of(catalogue: Catalogue, kind: str | None) -> Any:
    """The records for machines, all of them or one kind."""
    parts: Mapping[str, Any] = {
        "links": catalogue.arms,
        "figures": catalogue.figures,
        "by_hand": catalogue.hand_changes,
        "assumptions": catalogue.assumptions,
        "rules": catalogue.rules,
        "guards": catalogue.safeguards,
        "hazards": catalogue.safeguards.hazards,
        "starters": starters(),
    }
    if kind is None:
        return catalogue
    if kind in parts:
        return parts[kind]
    return [each for each in catalogue.components.values() if each.kind == kind]


def lines(catalogue: Catalogue, kind: str | None) -> Iterator[str]:
    """The listing of one kind, or of the kinds."""
    if kind is None:
        yield f"Money in {catalogue.currency} of {catalogue.price_year}. Every figure is a starting value, in SI."
        for name, words in kinds(catalogue).items():
            yield from wrapped(name, words)
    elif kind == "links":
        for arm in catalogue.arms.values():
            yield from link_lines(arm)
    elif kind == "figures":
        for fact in catalogue.figures.values():
            yield from figure_lines(fact, fact.id.removeprefix("catalogue."))
    elif kind == "by_hand":
        for change in catalogue.hand_changes:
            yield from change_lines(change)
    elif kind == "assumptions":
        for assumption in catalogue.assumptions.values():
            yield from assumption_lines(assumption)
    elif kind == "rules":
        for rule in catalogue.rules:
            yield rule.id
            yield from wrapped("", rule.words)
    elif kind == "guards":
        yield from guard_lines(catalogue.safeguards)
    elif kind == "hazards":
        for each in catalogue.safeguards.hazards:
            yield from wrapped(each.task, each.hazard, indent="")
            yield from wrapped("ask", each.ask)
    elif kind == "starters":
        for starter in starters().values():
            yield from starter_lines(starter)
    else:
        for component in catalogue.components.values():
            yield from component_lines(component) if component.kind == kind else ()


def link_lines(arm: Linkage) -> Iterator[str]:
    """Each joint of an arm with the link behind it: lengths in m, angles in rad."""
    yield f"{arm.id}: {arm.family}"
    yield from wrapped("", arm.source)
    for at, joint in enumerate(arm.joints, start=1):
        unit = "m" if joint.slides else "rad"
        yield from wrapped(
            f"{at} {'slides' if joint.slides else 'turns'}",
            f"a {joint.a_m:g}, d {joint.d_m:g}, quarters {joint.alpha_rad / math.pi * 2.0:g}, offset "
            f"{joint.offset_rad:g}; {joint.low:g} to {joint.high:g} {unit}, {joint.speed:g} {unit}/s, "
            f"{joint.accel:g} {unit}/s2",
        )


def guard_lines(safeguards: Safeguards) -> Iterator[str]:
    """Each choice with its judgement, then what does not fit, what rules contact out, what the machine loses."""
    for guard in safeguards.choices:
        yield f"{guard.id}: {guard.title}"
        yield from wrapped("function", guard.function)
        for name, fact in guard.judged.items():
            yield from figure_lines(fact, name, indent="  ")
    for rule in (*safeguards.misfits, *safeguards.contact, *safeguards.machine):
        yield rule.id
        yield from wrapped("", rule.words.replace("{hand}", "force"))
        yield from wrapped("ask", rule.question) if rule.question else ()


def component_lines(component: Component) -> Iterator[str]:
    """One component with all its figures."""
    yield f"{component.id}: {component.title}"
    for word, value in component.words.items():
        yield from wrapped(word, value)
    for name, fact in component.figures.items():
        yield from figure_lines(fact, name, indent="  ")


def change_lines(change: HandChange) -> Iterator[str]:
    """One change by hand with its price and effects."""
    yield f"{change.id}: {change.title}"
    yield from wrapped("for", ", ".join(change.kinds))
    yield from wrapped("when", change.when)
    yield from wrapped("ask", change.question)
    yield from figure_lines(change.price, f"price, per {change.per}" if change.per != "once" else "price", "  ")
    for name, fact in change.effects.items():
        yield from figure_lines(fact, f"factor on {name}", "  ")
    for thing in change.moving:
        yield from wrapped(thing.id.replace("_", " "), f"{thing.hazard}; {thing.guard}")


def figure_lines(fact: Fact, name: str, indent: str = "") -> Iterator[str]:
    """A figure with its range, then where it comes from and what it holds."""
    yield f"{indent}{name}: {stated(fact)}"
    yield from wrapped("", fact.source if fact.note is None else f"{fact.source}: {fact.note}", indent=f"{indent}  ")


def stated(fact: Fact) -> str:
    """A figure as its data file has it, no digit lost, in SI with its range."""
    unit = "" if fact.unit == "1" else f" {fact.unit}"
    ends = "" if fact.low is None or fact.high is None else f" ({plain(fact.low)} to {plain(fact.high)})"
    return f"{plain(fact.value)}{unit}{ends}"


def plain(number: float) -> str:
    """A number in full, without an exponent.

    >>> plain(0.00005), plain(42000.0)
    ('0.00005', '42000')
    """
    return format(Decimal(repr(number)).normalize(), "f")


def assumption_lines(assumption: Assumption) -> Iterator[str]:
    """What an inquiry is given where it says nothing, and the question that would replace it."""
    if assumption.value is None:
        yield f"{assumption.key}: {assumption.word}"
    else:
        fact = Fact(
            id=assumption.key, value=assumption.value, low=assumption.low, high=assumption.high, unit=assumption.unit,
            basis="assumed", source=assumption.source,
        )  # fmt: skip
        yield from wrapped(assumption.key, stated(fact), indent="")
    yield from wrapped("", assumption.source)
    yield from wrapped("", assumption.question)


def wrapped(name: str, words: str, indent: str = "  ") -> Iterator[str]:
    """A text in lines of at most 80 columns, its first line after a name."""
    yield from click.wrap_text(
        f"{name}: {words}" if name else words, width=WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  "
    ).splitlines()

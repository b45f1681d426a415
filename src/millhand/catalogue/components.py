"""The catalogue out of its data files, with a user's own prices and components laid over it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from millhand.catalogue.arms import arms
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.figures import figures
from millhand.catalogue.own import own_arms, own_files, unlinked
from millhand.catalogue.past import past_jobs
from millhand.catalogue.safeguards import safeguards
from millhand.catalogue.table import Row, numbers, table
from millhand.catalogue.words import DATA, component_words, hand_changes, option_rules, rules
from millhand.errors import InputError, InputErrors
from millhand.model.arm import Linkage
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component
from millhand.model.fact import Fact

CURRENCY, PRICE_YEAR = "USD", 2026
COLUMNS = ("component", "kind", "title", "figure", "unit", "low", "value", "high", "source")
PRICE_COLUMNS = ("component", "low", "value", "high", "source")
# What the stages cannot do without, by kind of component.
NEEDED: Mapping[str, tuple[str, ...]] = {
    "presenter": ("price", "pick_s", "footprint_length_m", "footprint_width_m"),
    "outfeed": ("price", "place_s", "footprint_length_m", "footprint_width_m"),
    "mount": ("price", "base_height_m", "footprint_length_m", "footprint_width_m"),
    "sharing": ("price", "work_price", "arms", "apart_m", "braking_m_s2", "reaction_s"),
    "arm": (
        "price",
        "payload_kg",
        "reach_m",
        "repeatability_m",
        "moving_mass_kg",
        "bar_radius_m",
        "wrist_radius_m",
        "speed_m_s",
        "stop_accel_m_s2",
    ),
    "gripper": ("price", "mass_kg", "fingers_kg", "hands"),
    "safeguarding": ("price", "margin_m"),
    "guarding": ("price", "margin_m"),
    "interface": ("price",),
    "door": ("price", "each_way_s"),
    "clamping": ("price", "each_way_s"),
    "extra": ("price",),
    "work": ("price", "work_price", "time_a_part_s", "left_to_people_share"),
    "service": ("price",),
}
NEEDED_WORDS: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "arm": {"class": ("force_limited", "fenced")},
    "sharing": {"way": ("own", "feed", "free")},
    "gripper": {"jaws": ("parallel", "centric", "vacuum", "inside", "magnet", "adaptive"), "hands": ("one", "two")},
}
# What holds a part, by the jaws of a gripper.
HOLDING: Mapping[str, tuple[str, ...]] = {
    "parallel": ("force_n", "stroke_m"),
    "centric": ("force_n", "stroke_m"),
    "vacuum": ("cups", "cup_diameter_m", "pressure_drop_pa"),
    "inside": ("force_n", "stroke_m", "closed_m"),
    "magnet": ("pull_n", "quarter_gap_m", "full_m"),
    "adaptive": ("force_n", "stroke_m", "jaws_s"),
}
# What a presenter or outfeed holds is worked out from one of these sets of figures.
HOLDS = (
    ("tray_length_m", "tray_width_m", "layers", "mass_max_kg"),
    ("lane_length_m", "lane_width_m", "mass_max_kg"),
    ("volume_m3", "fill_share", "mass_max_kg"),
)
# What a beam is placed and judged by; a mount with the first of them needs them all.
BEAM = ("beam_depth_m", "beam_width_m", "carriage_height_m", "column_m", "span_m")
# What is lifted in is weighed by whoever sends it; what hangs on a flange is asked for by the payload.
MASSES = ("mass_kg", "mass_per_m", "column_kg", "control_kg")
WEIGHED = "What does it weigh as it is delivered, by its maker?"
POSITIVE = (
    "payload_kg", "reach_m", "speed_m_s", "stop_accel_m_s2", "hands", "carriage_kg", "pinion_module_m", "pinion_teeth",
    "gear_ratio", "drive_efficiency", "belt_pitch_m", "pulley_teeth", "belt_stiffness_n", "belt_pull_n",
    "beam_moment_m4", "beam_elasticity_pa", "span_m",
)  # fmt: skip


def read_catalogue(
    *, prices: Path | None = None, components: Sequence[Path] = (), past: Path | None = None
) -> Catalogue:
    """The built-in catalogue; own components, arms and prices lie over it. InputErrors, all at once.

    components: tables of components, tables of links and joints, arms as URDF, in any order; past: past jobs.
    """
    errors: list[InputError] = []
    own = own_files(components)
    found = with_rows({}, table(DATA / "components.csv", COLUMNS, errors), errors, own=False)
    words = component_words()
    found = {name: worded(each, words.get(name, {})) for name, each in found.items()}
    rows = tuple(row for path in own.components for row in table(path, COLUMNS, errors))
    found = with_rows(found, rows, errors, own=True)
    if prices is not None:
        found = with_prices(found, table(prices, PRICE_COLUMNS, errors), errors)
    all_figures, built_in = figures(errors), arms(errors)
    told = own_arms(own, errors, ramp_s=all_figures["axis_ramp_s"].value)
    if not errors:
        errors.extend(unlinked(found, built_in | told, arm_places(rows, told)))
    found = {name: with_joints(each, (built_in | told).get(name), own=name in told) for name, each in found.items()}
    if errors:
        raise InputErrors(errors)
    return Catalogue(
        currency=CURRENCY, price_year=PRICE_YEAR, components=found, figures=all_figures, assumptions=assumptions(),
        hand_changes=hand_changes(CURRENCY), rules=rules(), arms=built_in | told,
        safeguards=safeguards(), options=option_rules(), past=past_jobs(past),
    )  # fmt: skip


def worded(component: Component, words: Mapping[str, str]) -> Component:
    """A built-in component with its words; its `question` asks for the time that it takes for a part."""
    figures, time = component.figures, component.figures.get("time_a_part_s")
    if time is not None and "question" in words:
        figures = {**figures, "time_a_part_s": replace(time, question=words["question"])}
    return replace(component, figures=figures, words=words)


def arm_places(rows: Sequence[Row], told: Mapping[str, Linkage]) -> dict[str, str]:
    """The arms that a shop's own files bring or change, each with the place where it is told."""
    tables = {row.texts["component"]: row.where("component") for row in rows if row.texts["kind"] == "arm"}
    places = {name: arm.source.partition(", ")[0] for name, arm in told.items()}
    return {name: place if place.count(":") > 1 else f"{place}:1" for name, place in places.items()} | tables


def with_joints(component: Component, arm: Linkage | None, *, own: bool) -> Component:
    """An arm with the speed of each joint among its figures."""
    if arm is None:
        return component
    speeds = {
        f"joint_{n}_speed": Fact(
            id=f"catalogue.{component.id}.joint_{n}_speed", value=joint.speed, unit="m/s" if joint.slides else "rad/s",
            basis="given" if own else "assumed", source=arm.source, title=f"{component.title}: speed of joint {n}",
        )
        for n, joint in enumerate(arm.joints, start=1)
    }  # fmt: skip
    return replace(component, figures={**component.figures, **speeds})


def with_rows(
    known: Mapping[str, Component], rows: tuple[Row, ...], errors: list[InputError], *, own: bool
) -> dict[str, Component]:
    """The components with these rows laid over them; a component that is new must be complete."""
    found = dict(known)
    last: dict[str, Row] = {}
    units = {name: fact.unit for each in known.values() for name, fact in each.figures.items()}
    for row in rows:
        unit = units.get(row.texts["figure"], row.texts["unit"])
        if row.texts["unit"] not in (unit, "word"):
            errors.append(row.bad("unit", f"{unit}, the unit of {row.texts['figure']}", "unit"))
        found[row.texts["component"]] = with_row(found, row, errors, own=own)
        last[row.texts["component"]] = row
    for name, row in last.items():
        errors.extend(lacks(found[name], row) if name not in known and own else ())
    return found


def with_row(found: Mapping[str, Component], row: Row, errors: list[InputError], *, own: bool) -> Component:
    """The component that a row is about, with the row's figure or word in it."""
    texts = row.texts
    name, figure = texts["component"], texts["figure"]
    old = found.get(name) or Component(id=name, kind=texts["kind"], title=texts["title"], source=row.file)
    if texts["kind"] not in NEEDED or texts["kind"] != old.kind:
        kinds = old.kind if old.kind in NEEDED else ", ".join(NEEDED)
        errors.append(row.bad("kind", f"the kind of the component: {kinds}", "kind"))
    if texts["unit"] == "word":
        return replace(old, title=texts["title"], words={**old.words, figure: texts["value"]})
    fact = fact_of(row, f"catalogue.{name}.{figure}", texts["unit"], errors, own=own)
    return old if fact is None else replace(old, title=texts["title"], figures={**old.figures, figure: fact})


def fact_of(row: Row, fact_id: str, unit: str, errors: list[InputError], *, own: bool) -> Fact | None:
    """The figure of a row: assumed where it is built in, given where it is the user's own."""
    ends = numbers(row, errors)
    if ends is None:
        return None
    low, value, high = ends
    if fact_id.rpartition(".")[2] in POSITIVE and value <= 0.0:
        errors.append(row.bad("value", "a number above 0", "not_positive"))
        return None
    source = f"{row.file}:{row.line}, {row.texts['source'] or 'no source given'}"
    _, named, figure = fact_id.split(".")
    return Fact(
        id=fact_id, value=value, low=low, high=high, shape="point" if low is None else "triangular", unit=unit,
        basis="given" if own else "assumed", source=source,
        title=f"{row.texts.get('title') or named}: {spoken(figure)}",
        question=WEIGHED if figure in MASSES and row.texts.get("kind") != "gripper" and not own else None,
    )  # fmt: skip


def spoken(figure: str) -> str:
    """The name of a figure in words: 'each_way_s' is 'each way'."""
    words = re.sub(r"(?<!_per)_(s|m|kg|n|m2|m3|m_s|m_s2|pa)$", "", figure).replace("_", " ")
    return re.sub(r" per m$", " of a further metre", words)


def lacks(component: Component, row: Row) -> list[InputError]:
    """What a component of the user's own still needs."""
    needed = (*NEEDED.get(component.kind, ()), *HOLDING.get(component.words.get("jaws", ""), ()))
    footprint = component.figures.get("footprint_length_m")
    if component.kind in ("presenter", "outfeed") and footprint is not None and footprint.value > 0.0:
        needed = (*needed, "stand_height_m")
    needed = (*needed, *(BEAM if BEAM[0] in component.figures else ()))
    missing = [name for name in needed if name not in component.figures]
    errors = [row.bad("component", f"a row for {component.id} with the figure {name}", "lacks") for name in missing]
    for word, options in NEEDED_WORDS.get(component.kind, {}).items():
        if component.words.get(word) not in options:
            write = f"a row for {component.id} with the figure {word}, the unit word and one of {', '.join(options)}"
            errors.append(row.bad("component", write, "lacks"))
    if component.kind in ("presenter", "outfeed") and not any(set(each) <= set(component.figures) for each in HOLDS):
        sets = ", or ".join(" and ".join(each) for each in HOLDS)
        errors.append(row.bad("component", f"rows for {component.id} that say what it holds: {sets}", "lacks"))
    return errors


def with_prices(
    found: Mapping[str, Component], rows: tuple[Row, ...], errors: list[InputError]
) -> dict[str, Component]:
    """The components with the user's own prices."""
    priced = dict(found)
    for row in rows:
        name = row.texts["component"]
        if name not in priced:
            errors.append(row.bad("component", "the id of a component; `millhand catalogue` lists them", "unknown"))
            continue
        fact = fact_of(row, f"catalogue.{name}.price", CURRENCY, errors, own=True)
        if fact is not None:
            priced[name] = replace(priced[name], figures={**priced[name].figures, "price": fact})
    return priced

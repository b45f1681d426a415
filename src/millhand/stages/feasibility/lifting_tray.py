"""Can a person lift a full tray, at the height of the lowest and of the highest drawer, and pull a full drawer?"""

from millhand.formulas.pushing import CAUTION as PUSH_CAUTION
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, longest_shift, part_of, shown, verdict
from millhand.stages.feasibility.rate import rate
from millhand.trace import apply

MOST_LIFTS_PER_MIN = 4.0  # beyond, the table of the equation ends for two such tasks together


def lifting_tray(asked: Asked) -> Verdict | None:
    """Mass of a full tray against the weight limit at its worst height; None without trays or without people.

    It warns: a tray that nobody can lift is filled where it lies, part by part, which the check on lifting is about, or
    comes on a trolley. The concept works either way, and the refill takes longer.
    """
    presenter, shift = asked.concept.presenter, longest_shift(asked)
    if asked.concept.arm is None or presenter is None or shift is None or "tray_length_m" not in presenter.figures:
        return None
    parts = parts_of_a_tray(asked, presenter)
    if parts.value < 1.0:
        return None
    demand = apply(
        asked.sheet, "full_tray_kg", asked.id("lifting_tray.demand"), parts=parts,
        part_kg=part_of(asked).raw_mass_kg, tray_kg=asked.figure("tray_mass_kg"),
    )  # fmt: skip
    places = heights(presenter)
    lifts = apply(
        asked.sheet, "trays_per_min", asked.id("lifting_tray.lifts"),
        rate_parts_per_h=rate(asked), parts_per_tray=parts,
    )  # fmt: skip
    hours = apply(asked.sheet, "length_h", asked.id("lifting_tray.hours"), length_s=shift.length_s)
    limits = tuple(limit_at(asked, name, height, lifts, hours) for name, height in places.items())
    limit = apply(asked.sheet, "least", asked.id("lifting_tray.limit"), values=limits)
    drawers = "drawers_height_m" in presenter.figures and presenter.words.get("pulled") != "no"
    what = "drawer" if drawers else "tray"
    where = "between the lowest and the highest drawer" if drawers else "at its height"
    words = (
        f"A full {what} of {shown(parts, 'parts')} parts weighs {shown(demand, 'mass')}; {where} the lifting equation "
        f"gives a limit of {shown(limit, 'mass')}"
    )
    index = composite(asked, demand, places, lifts, hours)
    in_and_out = f", with an index of {shown(index, 'ratio')} for putting in and taking out together" if index else ""
    pull = f" Setting a full drawer going takes about {shown(pulled(asked, demand), 'force')}." if drawers else ""
    return verdict(
        asked,
        Finding(
            check="lifting_tray",
            demand=demand,
            limit=limit,
            well=f"{words}{in_and_out}.{pull}",
            ill=f"{words}{in_and_out}: filled where it lies, part by part, or changed by a trolley or a lift table."
            f"{pull}",
            formula="recommended_weight_limit_kg",
            coarse=True,
            caution=f"{caution_of('recommended_weight_limit_kg')} {PUSH_CAUTION}"
            if drawers
            else caution_of("recommended_weight_limit_kg"),
        ),
    )


def parts_of_a_tray(asked: Asked, presenter: Component) -> Fact:
    """Parts that lie in one tray, by its places and by its mass, as the layout has them."""
    gripper = asked.concept.gripper
    assert gripper is not None
    own = f"layout.{presenter.id}.{gripper.words['jaws']}"
    return apply(
        asked.sheet, "least", asked.id("lifting_tray.parts"),
        values=tuple(asked.sheet[f"{own}.{by}"] for by in ("by_area", "by_mass")),
    )  # fmt: skip


def heights(presenter: Component) -> dict[str, Fact]:
    """Heights of the hands: putting in at one, taking out at the other; of trays on a table both are the same."""
    figures = presenter.figures
    if "bottom_height_m" in figures and "top_height_m" in figures:
        return {"bottom": figures["bottom_height_m"], "top": figures["top_height_m"]}
    return {"bottom": figures["stand_height_m"], "top": figures["stand_height_m"]}


def free_limit(asked: Asked, name: str, height: Fact) -> Fact:
    """The weight limit at a height without the frequency of lifts."""
    return apply(
        asked.sheet, "recommended_weight_limit_kg", asked.id(f"lifting_tray.{name}.free"),
        horizontal_m=asked.figure("lift_horizontal_m"), vertical_m=height, travel_m=asked.figure("lift_travel_m"),
        twist_rad=asked.figure("lift_twist_rad"), frequency=asked.figure("lift_without_frequency"),
        coupling=asked.figure("lift_coupling"),
    )  # fmt: skip


def limit_at(asked: Asked, name: str, height: Fact, lifts: Fact, hours: Fact) -> Fact:
    """The weight limit at a height, as if this were the only task."""
    frequency = apply(
        asked.sheet, "frequency_multiplier", asked.id(f"lifting_tray.{name}.frequency"),
        lifts_per_min=lifts, vertical_m=height, duration_h=hours,
    )  # fmt: skip
    return apply(
        asked.sheet, "single_task_limit_kg", asked.id(f"lifting_tray.{name}.limit"),
        limit_kg=free_limit(asked, name, height), frequency=frequency,
    )  # fmt: skip


def composite(asked: Asked, load: Fact, places: dict[str, Fact], lifts: Fact, hours: Fact) -> Fact | None:
    """The index of putting in at one height and taking out at the other; None where the equation's table ends."""
    if lifts.value > MOST_LIFTS_PER_MIN:
        return None
    single, free = (
        tuple(
            apply(
                asked.sheet,
                "lifting_index",
                asked.id(f"lifting_tray.{name}.{of}_index"),
                load_kg=load,
                limit_kg=asked.sheet[asked.id(f"lifting_tray.{name}.{of}")],
            )
            for name in places
        )
        for of in ("limit", "free")
    )
    return apply(
        asked.sheet, "composite_lifting_index", asked.id("lifting_tray.index"), single_task=single,
        frequency_independent=free, lifts_per_min=(lifts,) * len(places), verticals_m=tuple(places.values()),
        duration_h=hours,
    )  # fmt: skip


def pulled(asked: Asked, load: Fact) -> Fact:
    """Force that sets a full drawer going."""
    return apply(
        asked.sheet, "push_start_n", asked.id("lifting_tray.pull"), mass_kg=load,
        rolling=asked.figure("drawer_rolling"), start=asked.figure("drawer_start"),
        accel_m_s2=asked.figure("drawer_accel_m_s2"),
    )  # fmt: skip

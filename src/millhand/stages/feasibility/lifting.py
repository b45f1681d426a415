"""What does a person lift: parts into the machine today, parts into the presenter tomorrow."""

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import (
    Asked,
    Finding,
    caution_of,
    heaviest,
    longest_shift,
    operations,
    shown,
    verdict,
)
from millhand.stages.feasibility.rate import groups, rate, rate_of_a_person
from millhand.trace import apply

TOO_HEAVY = ": it takes a hoist, a lift table, or whole pallets brought by truck."
TOO_OFTEN = (
    ", for its table ends at nine to fifteen lifts a minute: light parts at such a pace are a question of repetitive "
    "handling, which somebody competent looks at by other rules than those of lifting."
)


def lifting(asked: Asked) -> Verdict | None:
    """The heaviest part against the recommended weight limit at the pace of the work; None where nobody lifts parts."""
    shift, height = longest_shift(asked), lift_height(asked)
    feeds = any(operation.cycles_per_visit is not None for operation, _ in operations(asked))
    if shift is None or height is None or feeds:  # bars, coils and boxes are lifted, whose mass nobody told
        return None
    demand = heaviest(asked)
    limit = weight_limit(asked, shift.length_s, height)
    doing = "Putting parts into the presenter" if asked.concept.arm is not None else "Loading by hand"
    words = (
        f"{doing} means lifting {shown(demand, 'mass')} at a time; at this pace the lifting equation gives a limit of "
        f"{shown(limit, 'mass')}"
    )
    return verdict(
        asked,
        Finding(
            check="lifting",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}{TOO_OFTEN if limit.value <= 0.0 else TOO_HEAVY}",
            formula="recommended_weight_limit_kg",
            coarse=True,
            caution=caution_of("recommended_weight_limit_kg"),
        ),
    )


def lift_height(asked: Asked) -> Fact | None:
    """Height of the hands at the place where the part is set down."""
    presenter = asked.concept.presenter
    if asked.concept.arm is None or presenter is None:
        return groups(asked)[0].load_height_m
    by_hand = "tray_length_m" in presenter.figures or "lane_length_m" in presenter.figures
    return presenter.figures["stand_height_m"] if by_hand else None


def weight_limit(asked: Asked, shift_length: Fact, height: Fact) -> Fact:
    """Recommended weight limit of one person's lifts, averaged over the shift."""
    sheet = asked.sheet
    lifts = apply(
        sheet, "mean_lifts_per_min", asked.id("lifting.lifts"), lifts_per_part=asked.figure("lifts_per_part"),
        rate_parts_per_h=rate(asked) if asked.concept.arm is not None else rate_of_a_person(asked),
    )  # fmt: skip
    hours = apply(sheet, "length_h", asked.id("lifting.hours"), length_s=shift_length)
    frequency = apply(
        sheet, "frequency_multiplier", asked.id("lifting.frequency"),
        lifts_per_min=lifts, vertical_m=height, duration_h=hours,
    )  # fmt: skip
    return apply(
        sheet, "recommended_weight_limit_kg", asked.id("lifting.limit"),
        horizontal_m=asked.figure("lift_horizontal_m"), vertical_m=height, travel_m=asked.figure("lift_travel_m"),
        twist_rad=asked.figure("lift_twist_rad"), frequency=frequency, coupling=asked.figure("lift_coupling"),
    )  # fmt: skip

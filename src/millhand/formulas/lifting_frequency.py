"""Frequency multiplier of the revised lifting equation, with its table as printed."""

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import formula

MIDDLE_HEIGHT_M = 0.75
CAUTION = (
    "An aid for concept work. The equation does not cover one-handed, seated, kneeling or hurried lifting, carrying, "
    "pushing, unstable loads, tight space, slippery floors or heat; competent persons assess the real task under "
    "local rules."
)

# niosh94110, table 5: lifts a minute of the rows.
LIFTS_PER_MIN = (0.2, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0)

# Greatest duration in hours: the multipliers for hands below 0.75 m, and for hands at 0.75 m or higher.
MULTIPLIERS = {
    1.0: (
        (1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.00, 0.00, 0.00),
        (1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28),
    ),
    2.0: (
        (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.00, 0.00, 0.00, 0.00, 0.00),
        (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21, 0.00, 0.00, 0.00),
    ),
    8.0: (
        (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
        (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0.00, 0.00, 0.00, 0.00, 0.00),
    ),
}


@formula(
    source="niosh94110, table 5",
    unit="1",
    valid={"lifts_per_min": (0.0, 15.0), "vertical_m": NOT_NEGATIVE, "duration_h": (0.0, 8.0)},
    caution=CAUTION,
)
def frequency_multiplier(lifts_per_min: float, *, vertical_m: float, duration_h: float) -> float:
    """Multiplier for the lifts a minute, by duration and by the height of the hands at the start [0..1].

    Between the table's rows it is interpolated; below 0.2 lifts a minute counts as 0.2; above 15 it is 0.
    Source: niosh94110, table 5.  Valid to 8 hours, with the recovery time that each duration asks for.
    """
    if lifts_per_min > LIFTS_PER_MIN[-1]:
        return 0.0
    column = MULTIPLIERS[next((hours for hours in MULTIPLIERS if duration_h <= hours), 8.0)]
    values = column[1 if vertical_m >= MIDDLE_HEIGHT_M else 0]
    rate = max(lifts_per_min, LIFTS_PER_MIN[0])
    row = next(i for i, upper in enumerate(LIFTS_PER_MIN) if rate <= upper)
    if LIFTS_PER_MIN[row] == rate:
        return values[row]
    share = (rate - LIFTS_PER_MIN[row - 1]) / (LIFTS_PER_MIN[row] - LIFTS_PER_MIN[row - 1])
    return values[row - 1] + share * (values[row] - values[row - 1])

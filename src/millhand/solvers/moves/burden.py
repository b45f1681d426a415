"""What a load leaves of an arm's speed and acceleration: a simple law, judged, until the arm's own data are known."""

from dataclasses import dataclass

from millhand.formulas.derating import load_use_share, payload_accel_factor, payload_speed_factor


@dataclass(frozen=True, slots=True, kw_only=True)
class Burden:
    """What hangs on the flange during a move: its mass, and its centre of gravity's distance from the flange."""

    mass_kg: float
    lever_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """The load that an arm is rated for, and how much it slows the arm down.

    inertia_ratio: inertia of the rated load over the arm's own; speed_loss: share of the speed lost at the rated load.
    """

    rated_kg: float
    rated_lever_m: float
    inertia_ratio: float
    speed_loss: float


# Judged, no source: the rated load doubles the inertia that the slowest axis turns, and costs a fifth of the speed.
JUDGED_INERTIA_RATIO = 1.0
JUDGED_SPEED_LOSS = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Shares of speed and acceleration that are kept."""

    speed: float
    accel: float


def kept_under(burden: Burden, rating: Rating) -> Kept:
    """The shares that a load leaves; a ValueError where it is more than the arm is rated for."""
    use = load_use_share(
        burden.mass_kg, rated_kg=rating.rated_kg, lever_m=burden.lever_m, rated_lever_m=rating.rated_lever_m
    )
    if use > 1.0:
        raise ValueError(
            f"{burden.mass_kg:g} kg at {burden.lever_m:g} m use {use:.0%} of the rated load; take a greater arm or less"
        )
    return Kept(
        speed=payload_speed_factor(use, loss_at_full=rating.speed_loss),
        accel=payload_accel_factor(use, inertia_ratio=rating.inertia_ratio),
    )

"""The force that one grip asks for in its worst direction and at an emergency stop, against gripper and part."""

from dataclasses import dataclass
from typing import Literal

from millhand.formulas.jaws import (
    form_fit_force_n,
    three_jaw_across_force_per_jaw_n,
    v_jaw_across_force_per_jaw_n,
    v_jaw_friction_force_per_jaw_n,
    worst_grip_force_n,
)

Hold = Literal["friction", "v_jaws", "ledge"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """How a part is held: by friction of flat jaws, in two V-jaws, or on a ledge of the jaws.

    Inside and outside grips balance alike; they differ in the gripper's force (opening or closing) and in what the part
    bears, and both of those are given with the window.
    """

    hold: Hold
    jaws: Literal[2, 3]
    half_angle_rad: float  # of V-jaws, face to middle plane; unused else


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What pulls at the part: its mass under the program's and the emergency stop's acceleration."""

    mass_kg: float
    accel_m_s2: float
    stop_accel_m_s2: float
    friction: float
    factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Force of each jaw: asked for at the least, allowed at the most, and who sets each of the two."""

    least_n: float
    most_n: float
    asked_by: Literal["friction", "lift_off", "inertia"]
    limited_by: Literal["gripper", "part"]

    @property
    def margin_n(self) -> float:
        """What is left between both; below 0 no force holds the part without passing a limit."""
        return self.most_n - self.least_n


def window_of(grip: Grip, *, load: Load, gripper_n: float, part_n: float) -> Window:
    """The window of forces of one jaw; both limits are given for one jaw."""
    asked = forces_asked(grip, load)
    asked_by = max(asked, key=lambda name: asked[name])
    return Window(
        least_n=asked[asked_by],
        most_n=min(gripper_n, part_n),
        asked_by=asked_by,
        limited_by="gripper" if gripper_n <= part_n else "part",
    )


def forces_asked(grip: Grip, load: Load) -> dict[Literal["friction", "lift_off", "inertia"], float]:
    """What each way to lose the part asks of one jaw, in newtons."""
    hard = max(load.accel_m_s2, load.stop_accel_m_s2)
    if grip.hold == "ledge":
        return {"inertia": form_fit_force_n(load.mass_kg, accel_m_s2=hard, factor=load.factor) / grip.jaws}
    if grip.hold == "v_jaws":
        if grip.jaws != 2:
            raise ValueError("V-jaws come in pairs; give jaws=2, or hold='friction' for three jaws")
        along = v_jaw_friction_force_per_jaw_n(
            load.mass_kg,
            accel_m_s2=hard,
            friction=load.friction,
            half_angle_rad=grip.half_angle_rad,
            factor=load.factor,
        )
        across = v_jaw_across_force_per_jaw_n(
            load.mass_kg, accel_m_s2=hard, half_angle_rad=grip.half_angle_rad, factor=load.factor
        )
        return {"friction": along, "lift_off": across}
    total = worst_grip_force_n(
        load.mass_kg,
        accel_m_s2=load.accel_m_s2,
        stop_accel_m_s2=load.stop_accel_m_s2,
        friction=load.friction,
        factor=load.factor,
    )
    if grip.jaws == 2:
        return {"friction": total / 2.0}
    lift_off = three_jaw_across_force_per_jaw_n(load.mass_kg, accel_m_s2=hard, factor=load.factor)
    return {"friction": total / 3.0, "lift_off": lift_off}

"""What the axes of an arm and its tool can do."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisLimits:
    """Greatest speed, acceleration and jerk of each axis, in rad or m and seconds; the same number of axes in each."""

    speeds: tuple[float, ...]
    accels: tuple[float, ...]
    jerks: tuple[float, ...]

    def arrays(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Speeds, accelerations and jerks as arrays."""
        return np.array(self.speeds), np.array(self.accels), np.array(self.jerks)

    def kept(self, *, speed: float, accel: float) -> "AxisLimits":
        """The limits of which a load leaves these shares; jerk falls as acceleration does."""
        return AxisLimits(
            speeds=tuple(each * speed for each in self.speeds),
            accels=tuple(each * accel for each in self.accels),
            jerks=tuple(each * accel for each in self.jerks),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLimits:
    """Greatest speed, acceleration and jerk of the tool along its way."""

    speed_m_s: float
    accel_m_s2: float
    jerk_m_s3: float

    def kept(self, *, speed: float, accel: float) -> "ToolLimits":
        """The limits of which a load leaves these shares."""
        return ToolLimits(
            speed_m_s=self.speed_m_s * speed, accel_m_s2=self.accel_m_s2 * accel, jerk_m_s3=self.jerk_m_s3 * accel
        )

    def capped(self, speed_m_s: float) -> "ToolLimits":
        """The same with no more than this speed, such as the one that safeguarding sets."""
        return ToolLimits(
            speed_m_s=min(self.speed_m_s, speed_m_s), accel_m_s2=self.accel_m_s2, jerk_m_s3=self.jerk_m_s3
        )

"""One door to the performance of any concept."""

from millhand.model.performance import Performance
from millhand.stages.performance.arm import arm_performance
from millhand.stages.performance.hand import hand_performance, today_performance
from millhand.stages.performance.shared import Scope


def performance(scope: Scope, pockets: str) -> Performance:
    """Output and people's hours of one concept; `pockets` is the fact id of the presenter's places (cells only)."""
    if scope.concept.kind == "today":
        return today_performance(scope)
    if scope.concept.kind == "by_hand":
        return hand_performance(scope)
    return arm_performance(scope, pockets)

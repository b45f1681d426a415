"""The answer: ranking, recommendation with reasons, the figure that would have to change, and what to ask."""

from millhand.stages.decision.build import decision
from millhand.stages.decision.over_hand import over_hand
from millhand.stages.decision.rule import focus

__all__ = ["decision", "focus", "over_hand"]

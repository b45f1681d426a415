"""The answer: ranking, recommendation with reasons, the figure that would have to change, and what to ask."""

from millhand.stages.decision.build import decision

__all__ = ["decision"]

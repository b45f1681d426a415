"""What a concept costs to buy."""

from millhand.stages.estimate.build import estimate

__all__ = ["estimate"]

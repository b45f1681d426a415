"""Which concept will physically do the work: one check a file, each with demand, limit and margin."""

from millhand.stages.feasibility.checks import verdicts

__all__ = ["verdicts"]

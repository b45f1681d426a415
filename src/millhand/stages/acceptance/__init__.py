"""What is shown and agreed before the advised way is taken over, and what it takes to bring it into the shop."""

from millhand.stages.acceptance.cell import acceptance
from millhand.stages.acceptance.introduction import introduction

__all__ = ["acceptance", "introduction"]

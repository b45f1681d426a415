"""What is shown and agreed before the advised way is taken over."""

from millhand.stages.acceptance.cell import acceptance

__all__ = ["acceptance"]

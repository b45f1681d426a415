"""Where things stand, how the arm gets to its targets, the floor it takes, and how many parts the presenter holds."""

from millhand.stages.layout.build import layout

__all__ = ["layout"]

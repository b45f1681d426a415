"""Where things stand, coarsely: spots, distances, floor, and how many parts the presenter holds."""

from millhand.stages.layout.build import layout

__all__ = ["layout"]

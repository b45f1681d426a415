"""What a concept earns against today: the lines of a steady year, the years, the measures, the steps from naive."""

from millhand.stages.case.build import case

__all__ = ["case"]

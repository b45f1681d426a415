"""What changed between two studies, and its effect on present worth and payback, shared out among the changes.

Each study's map of facts is a calculation graph. The changed inputs of the other study are put into it, all of them and
some of them, and what comes out is shared out among them. It is done from the first study towards the second and back,
and the mean of the two is told: so the exchange of the studies changes every sign.
"""

from millhand.stages.difference.build import difference
from millhand.stages.difference.changes import changes

__all__ = ["changes", "difference"]

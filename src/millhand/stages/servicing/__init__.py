"""One operator with fewer or more machines: what each number would give, in step and by chance."""

from millhand.stages.servicing.bench import MOST, bench, looked_at
from millhand.stages.servicing.build import serviced, summed

__all__ = ["MOST", "bench", "looked_at", "serviced", "summed"]

"""What all tests share: one profile of random checks, the same on every machine and in every run."""

import os
from pathlib import Path

from hypothesis import HealthCheck, settings

settings.register_profile(
    "same_everywhere",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("same_everywhere")

os.environ["MILLHAND_NO_CACHE"] = "1"  # no test reads what an earlier run kept, nor leaves anything in a home folder
os.environ.setdefault("MILLHAND_CODE", str(Path(__file__).parents[1] / "build" / "code"))  # compiled once for all tests

"""Where results of the simulation are kept between runs, so that a study asked again takes seconds."""

import hashlib
import os
from pathlib import Path

OFF = "MILLHAND_NO_CACHE"  # set to anything: keep nothing, read nothing


def results_folder() -> Path | None:
    """The folder of kept results in the user's cache, named by the simulation's own sources; None when switched off.

    A change of any solver or record gives another name, so that nothing old is ever read for something new.
    """
    if os.environ.get(OFF):
        return None
    from platformdirs import user_cache_path

    sources = hashlib.sha256()
    own = Path(__file__).resolve().parent
    for path in sorted(path for place in ("model", "solvers") for path in (own / place).rglob("*.py")):
        sources.update(path.read_bytes())
    return user_cache_path("millhand", appauthor=False) / "results" / sources.hexdigest()[:16]

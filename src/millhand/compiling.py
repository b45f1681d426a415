"""Where machine code is kept between runs: one file each, whole or not at all, in the user's cache folder."""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import cache
from pathlib import Path

from millhand.run import mark_of, replace_file

OLD_KEPT = 2  # folders of other versions that stay
FOLDER = "MILLHAND_CODE"  # set to a folder: machine code is kept there instead of in the user's cache


@cache
def sources_hash(package: str, names: Iterable[str]) -> str:
    """What the machine code is made from: the text of these files and folders of a package, as one hash."""
    import importlib.util

    found = importlib.util.find_spec(package)
    assert found is not None
    assert found.submodule_search_locations is not None
    top = Path(next(iter(found.submodule_search_locations)))
    paths = [path for name in names for path in (sorted((top / name).rglob("*.py")) or [top / name])]
    return hashlib.sha256(b"".join(path.read_bytes() for path in paths)).hexdigest()[:16]


def kept_code(folder: str, name: str, make: Callable[[], bytes], use: Callable[[bytes], bool]) -> None:
    """Use the code that an earlier run kept, or what `make` gives now, which is then kept.

    A file that is cut off, changed or cannot be used is made anew; a folder that cannot be written costs time alone.
    Two processes may make it at once: each writes a file of its own and puts it in place in one step.
    """
    path = _folder() / folder / name
    with suppress(Exception):  # whatever is wrong with a kept file, it is made anew
        mark, _, whole = path.read_bytes().partition(b"\n")
        if mark == mark_of(whole) and use(whole):
            return
    made = make()
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_file(path, mark_of(made) + b"\n" + made)
        _clear_old(path.parent)


def _clear_old(folder: Path) -> None:
    """Code of earlier versions: the youngest folders of this kind stay, for somebody may still run them."""
    kind = folder.name.partition("-")[0]
    others = [each for each in folder.parent.glob(f"{kind}-*") if each != folder and each.is_dir()]
    for old in sorted(others, key=lambda each: each.stat().st_mtime)[:-OLD_KEPT]:
        shutil.rmtree(old, ignore_errors=True)


def _folder() -> Path:
    """The folder of all kept code; where a home folder cannot be had, one for temporary files."""
    if os.environ.get(FOLDER):
        return Path(os.environ[FOLDER])
    from platformdirs import user_cache_path

    own = user_cache_path("millhand", appauthor=False)
    with suppress(OSError):
        own.mkdir(parents=True, exist_ok=True)
        return own
    return Path(tempfile.gettempdir()) / f"millhand-{os.getuid() if hasattr(os, 'getuid') else 0}"

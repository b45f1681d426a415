"""A STEP file as triangles, by a library that is an extra of its own.

Such a file names its unit: lengths come in metres. Solids are cut into triangles that lie
within a hundredth of a millimetre of them.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

STEP_KINDS = ("step", "stp")
INSTALL = "pip install 'millhand[step]'"
CHORD_MM, TURN_RAD = 0.01, 0.1  # how far triangles lie from the solid, and how far their faces turn to each other


class NoReader(Exception):
    """The extra is not installed."""


def glb_of(data: bytes) -> bytes:
    """The solids of a STEP file as binary glTF in metres; empty where the file cannot be read.

    Raises NoReader where the library is missing.
    """
    try:
        import cascadio
    except ImportError as missing:
        raise NoReader(INSTALL) from missing
    with quiet():
        made: bytes = cascadio.to_glb_bytes(data, cascadio.FileType.STEP, tol_linear=CHORD_MM, tol_angular=TURN_RAD)
    return made


@contextmanager
def quiet() -> Iterator[None]:
    """The library's own messages go nowhere: it writes them past Python, into what others read as data."""
    streams = {}
    for stream, number in ((sys.stdout, 1), (sys.stderr, 2)):
        with suppress(OSError, ValueError):
            stream.flush()
        with suppress(OSError):
            streams[number] = os.dup(number)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        for number in streams:
            os.dup2(nowhere, number)
        yield
    finally:
        os.close(nowhere)
        for number, kept in streams.items():
            os.dup2(kept, number)
            os.close(kept)

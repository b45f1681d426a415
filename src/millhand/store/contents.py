"""Contents of files, each kept once under its hash."""

import hashlib
import zlib

from sqlalchemy import Connection, select

from millhand.store.tables import CONTENTS


def put(connection: Connection, content: bytes) -> str:
    """Keep a content; its hash."""
    name = hashlib.sha256(content).hexdigest()
    known = connection.execute(select(CONTENTS.c.sha256).where(CONTENTS.c.sha256 == name)).first()
    if known is None:
        connection.execute(CONTENTS.insert().values(sha256=name, packed=zlib.compress(content, 6)))
    return name


def get(connection: Connection, name: str) -> bytes:
    """The content with a hash; KeyError where there is none."""
    packed = connection.execute(select(CONTENTS.c.packed).where(CONTENTS.c.sha256 == name)).scalar()
    if packed is None:
        raise KeyError(name)
    return zlib.decompress(packed)

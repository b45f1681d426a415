"""The tables of the database. What is changed here needs a step of its own in `migrations/versions`.

Times are texts in UTC (`2027-01-31T08:00:00Z`), which every database orders alike; contents are kept once, by hash.
"""

from sqlalchemy import (
    Boolean,
    Column,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    false,
)

META = MetaData(naming_convention={"pk": "pk_%(table_name)s", "fk": "fk_%(table_name)s_%(column_0_name)s",
                                   "ix": "ix_%(table_name)s_%(column_0_name)s"})  # fmt: skip
WHEN, NAME, ACCOUNT = String(20), String(200), String(60)

CONTENTS = Table(
    "contents",
    META,
    Column("sha256", String(64), primary_key=True),
    Column("packed", LargeBinary, nullable=False),  # by zlib
)
INQUIRIES = Table(
    "inquiries",
    META,
    Column("id", String(12), primary_key=True),
    Column("name", NAME, nullable=False),
    Column("state", String(12), nullable=False),
    Column("tags", Text, nullable=False),  # words with a space between them
    Column("revision", Integer, nullable=False),  # the current one
    Column("made_at", WHEN, nullable=False),
    Column("changed_at", WHEN, nullable=False),
    Column("put_away", Boolean, nullable=False),  # no longer on the desk; nothing of it is lost
)
REVISIONS = Table(
    "revisions",
    META,
    Column("inquiry", ForeignKey("inquiries.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("base", Integer, nullable=False),  # the revision that it was made from; 0: none
    Column("aside", Boolean, nullable=False),  # kept beside the current one: somebody else was quicker
    Column("made_at", WHEN, nullable=False),
    Column("made_by", NAME, nullable=False),
    Column("why", NAME, nullable=False),
    Column("text", Text, nullable=False),
)
ATTACHED = Table(
    "attached",
    META,
    Column("inquiry", ForeignKey("inquiries.id"), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("name", NAME, primary_key=True),  # its path in the inquiry's folder
    Column("sha256", ForeignKey("contents.sha256"), nullable=False),
)
WORK = Table(
    "work",
    META,
    Column("id", String(12), primary_key=True),
    Column("inquiry", ForeignKey("inquiries.id"), nullable=False, index=True),
    Column("revision", Integer, nullable=False),
    Column("asked", Text, nullable=False),  # how: seed, draws, paper, as JSON
    Column("state", String(12), nullable=False),
    Column("step", NAME, nullable=False),
    Column("done", Integer, nullable=False),
    Column("total", Integer, nullable=False),
    Column("words", Text, nullable=False),  # what went wrong
    Column("made_at", WHEN, nullable=False),
    Column("ended_at", WHEN, nullable=False),
)
STUDIED = Table(
    "studied",
    META,
    Column("work", ForeignKey("work.id"), primary_key=True),
    Column("copy", String(12), primary_key=True),  # own or customer
    Column("name", NAME, primary_key=True),  # the file's path in the study's folder
    Column("sha256", ForeignKey("contents.sha256"), nullable=False),
)
ENTERED = Table(
    "entered",
    META,
    Column("sha256", String(64), primary_key=True),  # of what the cookie holds
    Column("who", NAME, nullable=False),
    Column("ends_at", WHEN, nullable=False),
    Column("account", ACCOUNT, nullable=False, server_default="", index=True),  # '': by the key of this machine
    Column("program", Boolean, nullable=False, server_default=false()),  # a token, not a browser
    Column("made_at", WHEN, nullable=False, server_default=""),
    Column("seen_at", WHEN, nullable=False, server_default=""),  # about when it was last used
)
ACCOUNTS = Table(
    "accounts",
    META,
    Column("name", ACCOUNT, primary_key=True),
    Column("role", String(12), nullable=False),
    Column("password", Text, nullable=False),  # hashed, with the parameters of its hash
    Column("made_at", WHEN, nullable=False),
    Column("changed_at", WHEN, nullable=False),
)
TRIES = Table(
    "tries",
    META,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("of", NAME, nullable=False, index=True),  # the name or the address that signed in, or tried to
    Column("at", WHEN, nullable=False),
)
DEEDS = Table(
    "deeds",
    META,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("at", WHEN, nullable=False),
    Column("who", NAME, nullable=False),
    Column("what", NAME, nullable=False),
    Column("inquiry", String(12), nullable=False, index=True),
    Column("about", Text, nullable=False),
)
COMPANIES = Table(
    "companies",
    META,
    Column("number", Integer, primary_key=True, autoincrement=True),  # the last one counts
    Column("made_at", WHEN, nullable=False),
    Column("made_by", NAME, nullable=False),
    Column("text", Text, nullable=False),  # as a company file holds it
    Column("logo", ForeignKey("contents.sha256"), nullable=True),
    Column("form", String(12), nullable=False),  # of the logo: png, jpg
)
ISSUED = Table(
    "issued",
    META,
    Column("id", String(12), primary_key=True),
    Column("inquiry", ForeignKey("inquiries.id"), nullable=False, index=True),
    Column("work", ForeignKey("work.id"), nullable=False),  # the study that it tells
    Column("name", NAME, nullable=False),  # of the inquiry, as it was then
    Column("counter", Integer, nullable=False),  # of the desk: one for each number
    Column("number", NAME, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("asked", Text, nullable=False),  # language, form and date, as JSON
    Column("sha256", ForeignKey("contents.sha256"), nullable=False),  # of the PDF
    Column("made_at", WHEN, nullable=False),
    Column("made_by", NAME, nullable=False),
    UniqueConstraint("number", "revision", name="uq_issued_number"),
)
ISSUED_FILES = Table(
    "issued_files",
    META,
    Column("issued", ForeignKey("issued.id"), primary_key=True),
    Column("name", NAME, primary_key=True),
    Column("sha256", ForeignKey("contents.sha256"), nullable=False),
)

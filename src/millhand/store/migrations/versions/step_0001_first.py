"""The first tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them all."""
    op.create_table(
        "contents",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_contents"),
    )
    op.create_table(
        "inquiries",
        sa.Column("id", sa.String(12), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("state", sa.String(12), nullable=False),
        sa.Column("tags", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("changed_at", sa.String(20), nullable=False),
        sa.Column("put_away", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_inquiries"),
    )
    of_inquiries()
    of_work()
    of_people()


def of_inquiries() -> None:
    """Revisions and the files that belong to them."""
    op.create_table(
        "revisions",
        sa.Column("inquiry", sa.String(12), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("base", sa.Integer(), nullable=False),
        sa.Column("aside", sa.Boolean(), nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("why", sa.String(200), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["inquiry"], ["inquiries.id"], name="fk_revisions_inquiry"),
        sa.PrimaryKeyConstraint("inquiry", "number", name="pk_revisions"),
    )
    op.create_table(
        "attached",
        sa.Column("inquiry", sa.String(12), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["inquiry"], ["inquiries.id"], name="fk_attached_inquiry"),
        sa.ForeignKeyConstraint(["sha256"], ["contents.sha256"], name="fk_attached_sha256"),
        sa.PrimaryKeyConstraint("inquiry", "revision", "name", name="pk_attached"),
    )


def of_work() -> None:
    """Work under way and what came of it."""
    op.create_table(
        "work",
        sa.Column("id", sa.String(12), nullable=False),
        sa.Column("inquiry", sa.String(12), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("state", sa.String(12), nullable=False),
        sa.Column("step", sa.String(200), nullable=False),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("total", sa.Integer(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("ended_at", sa.String(20), nullable=False),
        sa.ForeignKeyConstraint(["inquiry"], ["inquiries.id"], name="fk_work_inquiry"),
        sa.PrimaryKeyConstraint("id", name="pk_work"),
    )
    op.create_index("ix_work_inquiry", "work", ["inquiry"])
    op.create_table(
        "studied",
        sa.Column("work", sa.String(12), nullable=False),
        sa.Column("copy", sa.String(12), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["work"], ["work.id"], name="fk_studied_work"),
        sa.ForeignKeyConstraint(["sha256"], ["contents.sha256"], name="fk_studied_sha256"),
        sa.PrimaryKeyConstraint("work", "copy", "name", name="pk_studied"),
    )


def of_people() -> None:
    """Who has entered, and who did what."""
    op.create_table(
        "entered",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("who", sa.String(200), nullable=False),
        sa.Column("ends_at", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_entered"),
    )
    op.create_table(
        "deeds",
        sa.Column("number", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.Column("who", sa.String(200), nullable=False),
        sa.Column("what", sa.String(200), nullable=False),
        sa.Column("inquiry", sa.String(12), nullable=False),
        sa.Column("about", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_deeds"),
    )
    op.create_index("ix_deeds_inquiry", "deeds", ["inquiry"])

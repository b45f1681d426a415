"""Issued proposals with their files, and the details of the company."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "companies",
        sa.Column("number", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("logo", sa.String(64), nullable=True),
        sa.Column("form", sa.String(12), nullable=False),
        sa.ForeignKeyConstraint(["logo"], ["contents.sha256"], name="fk_companies_logo"),
        sa.PrimaryKeyConstraint("number", name="pk_companies"),
    )
    op.create_table(
        "issued",
        sa.Column("id", sa.String(12), nullable=False),
        sa.Column("inquiry", sa.String(12), nullable=False),
        sa.Column("work", sa.String(12), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("counter", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(200), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.ForeignKeyConstraint(["inquiry"], ["inquiries.id"], name="fk_issued_inquiry"),
        sa.ForeignKeyConstraint(["work"], ["work.id"], name="fk_issued_work"),
        sa.ForeignKeyConstraint(["sha256"], ["contents.sha256"], name="fk_issued_sha256"),
        sa.PrimaryKeyConstraint("id", name="pk_issued"),
        sa.UniqueConstraint("number", "revision", name="uq_issued_number"),
    )
    op.create_index("ix_issued_inquiry", "issued", ["inquiry"])
    op.create_table(
        "issued_files",
        sa.Column("issued", sa.String(12), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["issued"], ["issued.id"], name="fk_issued_files_issued"),
        sa.ForeignKeyConstraint(["sha256"], ["contents.sha256"], name="fk_issued_files_sha256"),
        sa.PrimaryKeyConstraint("issued", "name", name="pk_issued_files"),
    )

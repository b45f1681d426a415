"""Accounts, what they have entered with, and tries to sign in."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Two tables more, and who has entered says by which account."""
    op.create_table(
        "accounts",
        sa.Column("name", sa.String(60), nullable=False),
        sa.Column("role", sa.String(12), nullable=False),
        sa.Column("password", sa.Text(), nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("changed_at", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_accounts"),
    )
    op.create_table(
        "tries",
        sa.Column("number", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("of", sa.String(200), nullable=False),
        sa.Column("at", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_tries"),
    )
    op.create_index("ix_tries_of", "tries", ["of"])
    op.add_column("entered", sa.Column("account", sa.String(60), nullable=False, server_default=""))
    op.add_column("entered", sa.Column("program", sa.Boolean(), nullable=False, server_default=sa.false()))
    op.add_column("entered", sa.Column("made_at", sa.String(20), nullable=False, server_default=""))
    op.add_column("entered", sa.Column("seen_at", sa.String(20), nullable=False, server_default=""))
    op.create_index("ix_entered_account", "entered", ["account"])

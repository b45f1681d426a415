"""Runs the steps on the connection that `opening` hands over."""

from alembic import context

from millhand.store.tables import META

context.configure(
    connection=context.config.attributes["connection"], target_metadata=META, render_as_batch=True,
    transaction_per_migration=False,
)  # fmt: skip
with context.begin_transaction():
    context.run_migrations()

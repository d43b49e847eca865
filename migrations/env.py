"""Runs the migrations on the connection that the store hands over.

The store turns foreign keys off before and checks them after: while a table is moved, keys that
are on would delete every row that points to it.
"""

from alembic import context

from app.storage.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()

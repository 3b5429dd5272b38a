"""A change of layout that no release has: a table laid anew, rows filled, another table added.

It is here so that a change can be killed in the middle of what real ones will do.
"""

import sqlalchemy as sa
from alembic import op

revision = "9001"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "weather",
        sa.Column("day", sa.String(10), primary_key=True),
        sa.Column("words", sa.Text, nullable=False),
    )
    with op.batch_alter_table("events", recreate="auto") as table:
        table.add_column(sa.Column("length", sa.Integer, nullable=False, server_default="0"))
        table.alter_column("made_at", type_=sa.String(80), existing_nullable=False)
    op.execute(sa.text("UPDATE events SET length = length(body)"))
    op.create_index("ix_events_length", "events", ["length"])

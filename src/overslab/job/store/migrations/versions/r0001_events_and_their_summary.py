"""Events, and the summary written beside them."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "own",
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("value", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_own")),
    )
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("updated_at", sa.String(40), nullable=False),
        sa.Column("sample", sa.Boolean(create_constraint=False), nullable=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("shots", sa.Integer, nullable=False),
        sa.Column("in_tray", sa.Integer, nullable=False),
        sa.Column("job_toml", sa.Text, nullable=False),
        sa.Column("rates_toml", sa.Text, nullable=False),
        sa.Column("shots_base", sa.Text, nullable=False),
        sa.Column("skipped", sa.Text, nullable=False),
        sa.Column("memory", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index(op.f("ix_jobs_state_updated_at_id"), "jobs", ["state", "updated_at", "id"])
    op.create_table(
        "events",
        sa.Column("job", sa.String(32), nullable=False),
        sa.Column("arrival", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("device", sa.String(32), nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(60), nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("received_at", sa.String(40), nullable=False),
        sa.Column("by_office", sa.Boolean(create_constraint=False), nullable=False),
        sa.Column("content", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("job", "arrival", name=op.f("pk_events")),
        sa.UniqueConstraint("id", name=op.f("uq_events_id")),
        sa.ForeignKeyConstraint(["job"], ["jobs.id"], name=op.f("fk_events_job_jobs")),
    )
    op.create_index(op.f("ix_events_job_device_seq"), "events", ["job", "device", "seq"])
    op.create_table(
        "things",
        sa.Column("job", sa.String(32), nullable=False),
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("event", sa.String(32), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("was", sa.Text, nullable=False),
        sa.Column("struck", sa.Boolean(create_constraint=False), nullable=False),
        sa.Column("line", sa.Integer, nullable=True),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(60), nullable=False),
        sa.PrimaryKeyConstraint("job", "id", name=op.f("pk_things")),
        sa.ForeignKeyConstraint(["job"], ["jobs.id"], name=op.f("fk_things_job_jobs")),
    )
    op.create_table(
        "tray",
        sa.Column("number", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("job", sa.Text, nullable=False),
        sa.Column("whole", sa.Text, nullable=False),
        sa.Column("received_at", sa.String(40), nullable=False),
        sa.Column("code", sa.String(60), nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("content", sa.String(64), nullable=False),
        sa.Column("settled", sa.Boolean(create_constraint=False), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_tray")),
        sa.UniqueConstraint("id", "content", name=op.f("uq_tray_id_content")),
    )
    op.create_index(op.f("ix_tray_job"), "tray", ["job"])

"""The tables: events are the truth; jobs and things are the summary written beside them."""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
metadata = MetaData(naming_convention=NAMING)

# What the store knows of itself: the number of the office as a device, when it was made.
own = Table(
    "own",
    metadata,
    Column("name", String(40), primary_key=True),
    Column("value", Text, nullable=False),
)

# One row a job: the summary that lists and pages read.
jobs = Table(
    "jobs",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("updated_at", String(40), nullable=False),
    Column("sample", Boolean(create_constraint=False), nullable=False),
    Column("state", String(20), nullable=False),
    Column("shots", Integer, nullable=False),
    Column("in_tray", Integer, nullable=False),
    Column("job_toml", Text, nullable=False),
    Column("rates_toml", Text, nullable=False),
    Column("shots_base", Text, nullable=False),  # shots.csv as it came; what came since: things
    Column("skipped", Text, nullable=False),  # JSON
    Column("memory", Text, nullable=False),  # JSON: what the next event needs to be understood
    Index(None, "state", "updated_at", "id"),  # the list, in its order
)

# Never updated, never deleted, save that a sample is taken out whole.
events = Table(
    "events",
    metadata,
    Column("job", String(32), ForeignKey("jobs.id"), primary_key=True),
    Column("arrival", Integer, primary_key=True, autoincrement=False),
    Column("id", String(32), nullable=False),
    Column("device", String(32), nullable=False),
    Column("seq", Integer, nullable=False),
    Column("kind", String(40), nullable=False),
    Column("body", Text, nullable=False),  # JSON, ASCII
    Column("made_at", String(60), nullable=False),
    Column("who", Text, nullable=False),
    Column("received_at", String(40), nullable=False),
    Column("by_office", Boolean(create_constraint=False), nullable=False),
    Column("content", String(64), nullable=False),  # SHA-256 of all that its maker gave
    UniqueConstraint("id"),
    Index(None, "job", "device", "seq"),
)

# Shots, photos, findings, tickets, notes as they stand now.
things = Table(
    "things",
    metadata,
    Column("job", String(32), ForeignKey("jobs.id"), primary_key=True),
    Column("id", String(32), primary_key=True),
    Column("place", Integer, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("event", String(32), nullable=False),
    Column("body", Text, nullable=False),  # JSON
    Column("was", Text, nullable=False),  # JSON
    Column("struck", Boolean(create_constraint=False), nullable=False),
    Column("line", Integer, nullable=True),
    Column("who", Text, nullable=False),
    Column("made_at", String(60), nullable=False),
)

# What did not go into a job, with all that was sent.
tray = Table(
    "tray",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    Column("job", Text, nullable=False),
    Column("whole", Text, nullable=False),  # JSON of the event; cut when it is too long
    Column("received_at", String(40), nullable=False),
    Column("code", String(60), nullable=False),
    Column("why", Text, nullable=False),
    Column("content", String(64), nullable=False),
    Column("settled", Boolean(create_constraint=False), nullable=False),
    UniqueConstraint("id", "content"),
    Index(None, "job"),
)

ALL = ("own", "jobs", "events", "things", "tray")

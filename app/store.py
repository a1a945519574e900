"""Sketches and every version of them, in a database: SQLite by default, PostgreSQL by URL.

A sketch is never changed: saving adds a version. (sketch, version) is the primary key, so that of two people who
save at once one is told and nothing is overwritten. What `create` and `save` have returned is on the disk.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
import sqlite3
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sql
from sqlalchemy.exc import IntegrityError, NoSuchModuleError, ProgrammingError, SQLAlchemyError
from sqlalchemy.pool import QueuePool

# Without letters that are mistaken for one another and without signs that end a link when it is pasted into a
# message: 56 characters, 5.8 bits each.
ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnpqrstuvwxyz23456789"
ID_LENGTH = 17  # 98 bits
KEY_LENGTH = 45  # 261 bits
LOCKED_SECONDS = 15.0
"""How long a statement waits for what another one has locked."""

TABLES = sql.MetaData()
SKETCHES = sql.Table(
    "sketches",
    TABLES,
    sql.Column("id", sql.String(40), primary_key=True),
    sql.Column("key_hash", sql.String(64), nullable=False),
    sql.Column("created_at", sql.String(40), nullable=False),
    sql.Column("removed_at", sql.String(40)),
)
VERSIONS = sql.Table(
    "versions",
    TABLES,
    sql.Column("sketch_id", sql.ForeignKey("sketches.id"), primary_key=True),
    sql.Column("version", sql.Integer, primary_key=True, autoincrement=False),
    sql.Column("saved_at", sql.String(40), nullable=False),
    sql.Column("document", sql.Text, nullable=False),
)


class NoDatabase(Exception):
    """The database cannot be opened; the message says why."""


class StoreRefusal(Exception):
    """Why the store did not do what it was asked; every subclass names one reason."""


class SketchUnknown(StoreRefusal):
    """No sketch ever had this id."""


class SketchRemoved(StoreRefusal):
    """The sketch was removed by someone with its key."""


class VersionUnknown(StoreRefusal):
    """The sketch has no such version; `latest` is its latest."""

    def __init__(self, latest: int) -> None:
        super().__init__(latest)
        self.latest = latest


class SavedFirst(StoreRefusal):
    """Someone else saved since the expected version; `current` is the version now."""

    def __init__(self, current: int) -> None:
        super().__init__(current)
        self.current = current


@dataclass(frozen=True)
class Created:
    """A sketch just stored, and the only copy there is of its key."""

    id: str
    version: int
    key: str


@dataclass(frozen=True)
class Stored:
    """One version of a sketch: its JSON text, and the number of the latest version."""

    id: str
    version: int
    latest: int
    document: str


@dataclass(frozen=True)
class Saved:
    """When a version was saved, as ISO 8601 in UTC."""

    version: int
    saved_at: str


class Store:
    """The sketches in one database. Safe to use from many threads and processes at once."""

    def __init__(self, url: str) -> None:
        """Open the database at an SQLAlchemy URL, and make its tables where they are missing. Raises NoDatabase."""
        try:
            self._engine = _engine(url)
            self._writing = self._engine.execution_options(sqlite_begin="IMMEDIATE")
            _make_tables(self._writing)
        except NoSuchModuleError:
            raise NoDatabase(
                "Sketches can be stored in SQLite and PostgreSQL (postgresql://…), nothing else."
            ) from None
        except ModuleNotFoundError:
            raise NoDatabase("PostgreSQL takes one more package: pip install 'psycopg[binary]'.") from None
        except SQLAlchemyError as error:
            reason = str(error.__cause__ or error).partition("\n")[0]
            raise NoDatabase(f"The database cannot be opened: {reason}") from error

    def create(self, document: str) -> Created:
        """Store the first version of a new sketch."""
        created = Created(_random_text(ID_LENGTH), 1, _random_text(KEY_LENGTH))
        with self._writing.begin() as connection:
            row = {"id": created.id, "key_hash": _hash(created.key), "created_at": _now()}
            connection.execute(sql.insert(SKETCHES).values(row))
            connection.execute(sql.insert(VERSIONS).values(_version_row(created.id, 1, document)))
        return created

    def read(self, sketch_id: str, version: int | None = None) -> Stored:
        """The latest version, or the one asked for. Raises SketchUnknown, SketchRemoved, VersionUnknown."""
        with self._engine.connect() as connection:
            latest = _latest(connection, sketch_id)
            wanted = latest if version is None else version
            query = sql.select(VERSIONS.c.document).where(
                VERSIONS.c.sketch_id == sketch_id, VERSIONS.c.version == wanted
            )
            document = connection.execute(query).scalar() if 1 <= wanted <= latest else None
        if document is None:
            raise VersionUnknown(latest)
        return Stored(sketch_id, wanted, latest, document)

    def versions(self, sketch_id: str) -> tuple[Saved, ...]:
        """Every version, the first one first. Raises SketchUnknown, SketchRemoved."""
        with self._engine.connect() as connection:
            _latest(connection, sketch_id)
            query = sql.select(VERSIONS.c.version, VERSIONS.c.saved_at).where(VERSIONS.c.sketch_id == sketch_id)
            rows = connection.execute(query.order_by(VERSIONS.c.version)).all()
        return tuple(Saved(row.version, row.saved_at) for row in rows)

    def key_fits(self, sketch_id: str, key: str) -> bool:
        """Whether this is the key to the sketch, removed or not, in a time that does not depend on it.

        Raises SketchUnknown.
        """
        query = sql.select(SKETCHES.c.key_hash).where(SKETCHES.c.id == _possible(sketch_id))
        with self._engine.connect() as connection:
            stored = connection.execute(query).scalar()
        if stored is None:
            raise SketchUnknown(sketch_id)
        return hmac.compare_digest(stored, _hash(key))

    def save(self, sketch_id: str, expected: int, document: str) -> int:
        """Add a version after `expected` and return its number. Raises SavedFirst, SketchUnknown, SketchRemoved."""
        try:
            with self._writing.begin() as connection:
                _require_version(connection, sketch_id, expected)
                connection.execute(sql.insert(VERSIONS).values(_version_row(sketch_id, expected + 1, document)))
        except IntegrityError:  # the lock on the row makes this rare; the primary key makes it certain
            raise SavedFirst(self.read(sketch_id).latest) from None
        return expected + 1

    def remove(self, sketch_id: str, expected: int) -> None:
        """Delete every version; that there was such a sketch stays known. Raises as `save` does."""
        with self._writing.begin() as connection:
            _require_version(connection, sketch_id, expected)
            connection.execute(sql.delete(VERSIONS).where(VERSIONS.c.sketch_id == sketch_id))
            connection.execute(sql.update(SKETCHES).where(SKETCHES.c.id == sketch_id).values(removed_at=_now()))

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()


def _possible(sketch_id: str) -> str:
    """The id, unless it could never be one: databases differ in what else they can be asked."""
    if not (sketch_id.isascii() and sketch_id.isalnum()):
        raise SketchUnknown(sketch_id)
    return sketch_id


def _latest(connection: sql.Connection, sketch_id: str, lock: bool = False) -> int:
    """The number of the latest version; with `lock`, nobody else changes the sketch until the transaction ends."""
    query = sql.select(SKETCHES.c.removed_at).where(SKETCHES.c.id == _possible(sketch_id))
    row = connection.execute(query.with_for_update() if lock else query).first()
    if row is None:
        raise SketchUnknown(sketch_id)
    if row.removed_at is not None:
        raise SketchRemoved(sketch_id)
    latest = connection.execute(
        sql.select(sql.func.max(VERSIONS.c.version)).where(VERSIONS.c.sketch_id == sketch_id)
    ).scalar_one()
    return int(latest)


def _require_version(connection: sql.Connection, sketch_id: str, expected: int) -> None:
    current = _latest(connection, sketch_id, lock=True)
    if current != expected:
        raise SavedFirst(current)


def _version_row(sketch_id: str, version: int, document: str) -> dict[str, Any]:
    return {"sketch_id": sketch_id, "version": version, "saved_at": _now(), "document": document}


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def _random_text(length: int) -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(length))


def _hash(key: str) -> str:
    # A plain SHA-256 will do: a slow hash protects what people choose, and nobody can guess 256 random bits.
    return hashlib.sha256(key.encode()).hexdigest()


def _engine(url: str) -> sql.Engine:
    parsed = sql.make_url(url)
    if parsed.drivername in ("postgresql", "postgres"):
        parsed = parsed.set(drivername="postgresql+psycopg")
    if parsed.get_backend_name() != "sqlite":
        return sql.create_engine(parsed, pool_pre_ping=True)
    if parsed.database:
        engine = sql.create_engine(parsed, connect_args={"timeout": LOCKED_SECONDS})
    else:
        # In memory the database is its connection: there is one, and threads take turns with it.
        engine = sql.create_engine(
            parsed, poolclass=QueuePool, pool_size=1, max_overflow=0, connect_args={"check_same_thread": False}
        )

    @sql.event.listens_for(engine, "connect")
    def prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # BEGIN is ours to send, below
        _write_ahead(connection)
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")

    @sql.event.listens_for(engine, "begin")
    def begin(connection: sql.Connection) -> None:
        # A writer takes its lock at once: one that read first and wrote later could be refused halfway.
        kind = connection.get_execution_options().get("sqlite_begin", "DEFERRED")
        connection.exec_driver_sql(f"BEGIN {kind}")

    return engine


def _write_ahead(connection: Any) -> None:
    """Switch the file to write-ahead logging.

    This one statement does not wait for a lock: of several servers that start on a new file at once, some are refused.
    """
    give_up = time.monotonic() + LOCKED_SECONDS
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            # The lowest byte is the kind of error, the others say more of it.
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > give_up:
                raise
            time.sleep(0.01)


def _make_tables(engine: sql.Engine) -> None:
    try:
        _create_missing(engine)
    except (IntegrityError, ProgrammingError):  # several servers starting at once: PostgreSQL lets one win
        _create_missing(engine)


def _create_missing(engine: sql.Engine) -> None:
    with engine.begin() as connection:
        for table in TABLES.sorted_tables:
            connection.execute(sql.schema.CreateTable(table, if_not_exists=True))

"""The store keeps every version, and of two who save at once lets one win and tells the other."""

from __future__ import annotations

import contextlib
import os
import threading
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sql

from app.config import IN_MEMORY
from app.store import ALPHABET, SavedFirst, SketchRemoved, SketchUnknown, Store, VersionUnknown

POSTGRESQL = os.environ.get("FARANDOLE_TEST_DATABASE")


def urls() -> list[object]:
    """SQLite always; PostgreSQL where FARANDOLE_TEST_DATABASE names one, which these tests add tables to."""
    no_database = pytest.mark.skipif(not POSTGRESQL, reason="FARANDOLE_TEST_DATABASE names no PostgreSQL database")
    return ["in a file", "in memory", pytest.param("in PostgreSQL", marks=no_database)]


@pytest.fixture(params=urls())
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    kinds = {"in a file": f"sqlite:///{tmp_path / 'sketches.sqlite'}", "in memory": IN_MEMORY}
    return kinds.get(request.param) or str(POSTGRESQL)


@pytest.fixture
def store(url: str) -> Iterator[Store]:
    opened = Store(url)
    yield opened
    opened.close()


def test_versions_are_numbered_from_one_and_all_kept(store: Store):
    created = store.create("first")
    assert created.version == 1
    assert [store.save(created.id, n, f"after {n}") for n in (1, 2, 3)] == [2, 3, 4]
    assert [store.read(created.id, n).document for n in (1, 2, 3, 4)] == ["first", "after 1", "after 2", "after 3"]
    latest = store.read(created.id)
    assert (latest.version, latest.latest, latest.document) == (4, 4, "after 3")
    assert [saved.version for saved in store.versions(created.id)] == [1, 2, 3, 4]


def test_what_is_not_there_is_named(store: Store):
    created = store.create("one")
    for unknown in ("nobody", "", "a'b", "x" * 1000, "nul\0", "µ"):
        for ask in (store.read, store.versions, lambda id: store.save(id, 1, "x"), lambda id: store.remove(id, 1)):
            with pytest.raises(SketchUnknown):
                ask(unknown)
        with pytest.raises(SketchUnknown):
            store.key_fits(unknown, created.key)
    for version in (0, -1, 2, 10**30):
        with pytest.raises(VersionUnknown) as refusal:
            store.read(created.id, version)
        assert refusal.value.latest == 1


def test_a_save_on_an_old_version_changes_nothing(store: Store):
    created = store.create("one")
    store.save(created.id, 1, "two")
    for expected in (0, 1, 3):
        with pytest.raises(SavedFirst) as refusal:
            store.save(created.id, expected, "late")
        assert refusal.value.current == 2
    with pytest.raises(SavedFirst):
        store.remove(created.id, 1)
    assert store.read(created.id).document == "two"


def test_of_many_who_save_at_once_exactly_one_wins_each_time(store: Store):
    created = store.create("0")
    wins: list[int] = []
    told: list[int] = []
    rounds, savers = 5, 8
    barrier = threading.Barrier(savers)

    def save(name: int) -> None:
        for expected in range(1, rounds + 1):
            barrier.wait()
            try:
                wins.append(store.save(created.id, expected, f"{name}"))
            except SavedFirst as refusal:
                told.append(refusal.current)
            barrier.wait()

    threads = [threading.Thread(target=save, args=(name,)) for name in range(savers)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(wins) == [2, 3, 4, 5, 6]
    assert len(told) == rounds * (savers - 1)
    assert [saved.version for saved in store.versions(created.id)] == [1, 2, 3, 4, 5, 6]


def test_the_primary_key_holds_even_where_two_have_read_the_same_version(store: Store, monkeypatch: pytest.MonkeyPatch):
    created = store.create("one")
    store.save(created.id, 1, "two")
    monkeypatch.setattr("app.store._require_version", lambda *_: None)
    with pytest.raises(SavedFirst) as refusal:
        store.save(created.id, 1, "the same version again")
    assert refusal.value.current == 2
    assert store.read(created.id).document == "two"


def test_a_key_fits_its_own_sketch_alone(store: Store):
    one, other = store.create("one"), store.create("other")
    assert store.key_fits(one.id, one.key)
    assert not store.key_fits(one.id, other.key)
    assert not store.key_fits(one.id, "")


def test_ids_and_keys_cannot_be_guessed_or_misread(store: Store):
    created = [store.create("x") for _ in range(50)]
    assert len({each.id for each in created} | {each.key for each in created}) == 100
    assert len(ALPHABET) == 56 == len(set(ALPHABET))
    assert not set("0O1lI-_.~") & set(ALPHABET)
    assert 56 ** len(created[0].id) > 2**96
    assert 56 ** len(created[0].key) > 2**256


def test_a_removed_sketch_leaves_its_id_and_nothing_else(store: Store):
    created = store.create("private")
    store.save(created.id, 1, "private too")
    store.remove(created.id, 2)
    for ask in (
        lambda: store.read(created.id, 1),
        lambda: store.save(created.id, 2, "x"),
        lambda: store.remove(created.id, 2),
    ):
        with pytest.raises(SketchRemoved):
            ask()


def test_a_document_comes_back_to_the_letter(store: Store):
    document = '{"title":"µ Ω ∥ 😀 \\u0000 \'\\" %s :x","big":"' + "x" * 3_000_000 + '"}'
    assert store.read(store.create(document).id).document == document


def test_a_store_that_is_opened_again_has_what_it_had(tmp_path: Path):
    url = f"sqlite:///{tmp_path / 'sketches.sqlite'}"
    first = Store(url)
    created = first.create("kept")
    first.close()
    second = Store(url)
    assert second.read(created.id).document == "kept"
    second.close()


def test_in_memory_nothing_is_kept_and_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    first, second = Store(IN_MEMORY), Store(IN_MEMORY)
    created = first.create("gone soon")
    with pytest.raises(SketchUnknown):
        second.read(created.id)
    first.close()
    second.close()
    assert list(tmp_path.iterdir()) == []


def test_sqlite_writes_ahead_and_waits_for_the_disk(tmp_path: Path):
    store = Store(f"sqlite:///{tmp_path / 'sketches.sqlite'}")
    with store._engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2  # FULL
    store.close()


def test_several_servers_may_start_on_one_new_database_at_once(tmp_path: Path):
    for number in range(20):  # they do not get in each other's way every time
        folder = tmp_path / str(number)
        folder.mkdir()
        with new_database(folder) as url:
            start_several(url)


@contextlib.contextmanager
def new_database(folder: Path) -> Iterator[str]:
    """A database without tables: in PostgreSQL a schema of its own, which is gone afterwards."""
    if not POSTGRESQL:
        yield f"sqlite:///{folder / 'sketches.sqlite'}"
        return
    address, schema = sql.make_url(POSTGRESQL), f"s{uuid.uuid4().hex[:8]}"
    engine = sql.create_engine(address.set(drivername="postgresql+psycopg"))
    with engine.begin() as connection:
        connection.exec_driver_sql(f"CREATE SCHEMA {schema}")
    try:
        inside = address.update_query_dict({"options": f"-csearch_path={schema}"})
        yield inside.render_as_string(hide_password=False)
    finally:
        with engine.begin() as connection:
            connection.exec_driver_sql(f"DROP SCHEMA {schema} CASCADE")
        engine.dispose()


def start_several(url: str) -> None:
    stores: list[Store] = []
    threads = [threading.Thread(target=lambda: stores.append(Store(url))) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(stores) == 6
    created = stores[0].create("one")
    assert [store.read(created.id).document for store in stores] == ["one"] * 6
    for store in stores:
        store.close()

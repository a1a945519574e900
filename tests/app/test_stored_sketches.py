"""A stored sketch can be read by whoever has its link, and changed only with its key and the version it was."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.app.calls import LANTERN, assert_problem, keep

UNFINISHED = {
    "joints": {"a": [0, 0], "0": [0, 4]},
    "parts": [
        {"name": "C1", "kind": "capacitor", "from": "a", "to": "0"},
        {"name": "C1", "kind": "resistor", "value": "a lot", "from": "a", "to": "b"},
    ],
}


def test_storing_gives_the_links_and_the_key_in_the_fragment_of_one_of_them(client: FlaskClient):
    response = client.post("/api/sketches", json=LANTERN)
    assert response.status_code == 201
    sketch_id, links = response.json["id"], response.json["links"]
    assert links["view"] == f"http://localhost/s/{sketch_id}"
    address, _, key = links["edit"].partition("#key=")
    assert address == links["view"]
    assert (len(sketch_id), len(key)) == (17, 45)
    assert response.headers["Location"] == f"/api/sketches/{sketch_id}"
    assert response.headers["ETag"] == '"1"'


def test_what_is_read_is_what_was_stored(client: FlaskClient):
    kept = keep(client)
    response = client.get(kept.path)
    assert response.json["sketch"] == LANTERN
    assert list(response.json["sketch"]["joints"]) == ["z", "a", "0"]
    assert (response.json["version"], response.json["latest"]) == (1, 1)
    assert response.headers["ETag"] == '"1"'
    assert kept.key not in response.text


def test_a_browser_that_has_the_latest_version_is_sent_nothing(client: FlaskClient):
    kept = keep(client)
    assert client.get(kept.path, headers={"If-None-Match": '"1"'}).status_code == 304
    assert client.get(kept.path, headers={"If-None-Match": '"2"'}).status_code == 200


def test_every_version_is_kept(client: FlaskClient):
    kept = keep(client)
    for version in (1, 2, 3):
        saved = client.put(kept.path, json={**LANTERN, "title": f"Number {version + 1}"}, headers=kept.headers(version))
        assert (saved.status_code, saved.json["version"], saved.headers["ETag"]) == (
            200,
            version + 1,
            f'"{version + 1}"',
        )
    titles = [client.get(f"{kept.path}?version={n}").json["sketch"]["title"] for n in (1, 2, 3, 4)]
    assert titles == ["Storm lantern", "Number 2", "Number 3", "Number 4"]
    assert client.get(kept.path).json["sketch"]["title"] == "Number 4"
    listed = client.get(f"{kept.path}/versions").json["versions"]
    assert [each["version"] for each in listed] == [1, 2, 3, 4]
    assert all(each["saved"].endswith("+00:00") for each in listed)


def test_a_version_that_is_not_there_or_no_number_is_told(client: FlaskClient):
    kept = keep(client)
    for version in ("0", "2", "999999999"):
        assert_problem(client.get(f"{kept.path}?version={version}"), 404, "version-unknown")
    for version in ("", "one", "-1", "1.0", "²", "1" * 5000):
        assert_problem(client.get(f"{kept.path}?version={version}"), 400, "query-not-understood")


def test_where_someone_saved_first_nothing_is_overwritten_and_the_present_version_is_told(client: FlaskClient):
    kept = keep(client)
    assert client.put(kept.path, json={**LANTERN, "title": "Hers"}, headers=kept.headers(1)).status_code == 200
    for response in (
        client.put(kept.path, json={**LANTERN, "title": "His"}, headers=kept.headers(1)),
        client.put(kept.path, json=LANTERN, headers=kept.headers(7)),
        client.delete(kept.path, headers=kept.headers(1)),
    ):
        assert assert_problem(response, 412, "saved-first")["version"] == 2
        assert response.headers["ETag"] == '"2"'
    assert client.get(kept.path).json["sketch"]["title"] == "Hers"


@pytest.mark.parametrize("method", ["PUT", "DELETE"])
def test_a_change_takes_the_key_and_the_version(client: FlaskClient, method: str):
    kept, other = keep(client), keep(client)

    def change(**headers: str) -> Any:
        return client.open(
            kept.path,
            method=method,
            json=LANTERN,
            headers={name.replace("_", "-"): text for name, text in headers.items()},
        )

    right = f"Bearer {kept.key}"
    response = change(If_Match='"1"')
    assert_problem(response, 401, "key-missing")
    assert response.headers["WWW-Authenticate"].startswith("Bearer")
    for wrong in ("Basic YTpi", "Bearer", "Bearer ", kept.key):
        assert_problem(change(If_Match='"1"', Authorization=wrong), 401, "key-missing")
    for wrong in (other.key, kept.key[:-1], kept.key + "x", kept.key.swapcase(), "ключ"):
        assert_problem(change(If_Match='"1"', Authorization=f"Bearer {wrong}"), 403, "key-wrong")
    for vague in ({}, {"If_Match": "*"}, {"If_Match": ""}):
        assert_problem(change(Authorization=right, **vague), 428, "version-needed")
    assert client.get(kept.path).json["latest"] == 1


def test_the_key_is_not_in_the_store(client: FlaskClient):
    kept = keep(client)
    with client.application.extensions["store"]._engine.connect() as connection:
        rows = [
            *connection.exec_driver_sql("SELECT * FROM sketches"),
            *connection.exec_driver_sql("SELECT * FROM versions"),
        ]
    assert len(rows) == 2
    assert kept.key not in repr(rows)


def test_a_removed_sketch_is_gone_for_good_and_its_address_says_so(client: FlaskClient):
    kept, other = keep(client), keep(client)
    client.put(kept.path, json=LANTERN, headers=kept.headers(1))
    response = client.delete(kept.path, headers=kept.headers(2))
    assert (response.status_code, response.data) == (204, b"")
    for address in (kept.path, f"{kept.path}?version=1", f"{kept.path}/versions", f"{kept.path}/qr.svg"):
        assert_problem(client.get(address), 410, "sketch-removed")
    assert_problem(client.put(kept.path, json=LANTERN, headers=kept.headers(2)), 410, "sketch-removed")
    assert_problem(client.delete(kept.path, headers=other.headers(2)), 403, "key-wrong")
    assert client.get(f"/s/{kept.id}").status_code == 410
    with client.application.extensions["store"]._engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT sketch_id FROM versions").scalars().all() == [other.id]


def test_an_unfinished_sketch_may_be_stored_though_it_cannot_be_solved(client: FlaskClient):
    kept = keep(client, UNFINISHED)
    assert client.get(kept.path).json["sketch"] == UNFINISHED
    assert client.post("/api/solve", json=UNFINISHED).status_code == 422


def test_what_is_no_sketch_is_not_stored(client: FlaskClient):
    kept = keep(client)
    for sketch, code in (
        ({"joints": {}}, "missing-key"),
        ([], "sketch-not-understood"),
        ({**LANTERN, "titel": "Misspelt"}, "unknown-key"),
        ({**LANTERN, "title": "x" * 121}, "wrong-content"),
    ):
        assert_problem(client.post("/api/sketches", json=sketch), 422, code)
        assert_problem(client.put(kept.path, json=sketch, headers=kept.headers(1)), 422, code)
    assert client.get(kept.path).json["latest"] == 1

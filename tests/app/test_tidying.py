"""A sketch is laid out anew over the web."""

from __future__ import annotations

from flask.testing import FlaskClient

from tests.app.calls import LANTERN, assert_problem


def test_a_sketch_comes_back_laid_out_anew_and_then_stays(client: FlaskClient):
    response = client.post("/api/tidy", json=LANTERN)
    assert response.status_code == 200
    assert response.headers["Cache-Control"] == "no-store"
    tidied = response.json
    assert [part["name"] for part in tidied["parts"]] == ["E1", "C1", "C2", "W1", "W2"]
    assert set(LANTERN["joints"]) <= set(tidied["joints"])
    assert tidied["title"] == LANTERN["title"]
    assert client.post("/api/tidy", json=tidied).json == tidied


def test_a_sketch_that_cannot_be_solved_is_laid_out_all_the_same(client: FlaskClient):
    unfinished = {**LANTERN, "parts": [{**part, "value": ""} for part in LANTERN["parts"]]}
    assert client.post("/api/tidy", json=unfinished).status_code == 200


def test_what_is_no_sketch_is_refused_by_name(client: FlaskClient):
    problem = assert_problem(client.post("/api/tidy", json={**LANTERN, "colour": "red"}), 422, "unknown-key")
    assert problem["title"] == "The sketch cannot be laid out"
    assert_problem(client.post("/api/tidy", data="[", content_type="application/json"), 400, "not-json")

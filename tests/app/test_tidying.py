"""A sketch is laid out anew over the web."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.solver_process import Outcome, SolverProcesses
from tests.app.calls import LANTERN, assert_problem, ladder

TWO_WAY = {
    "joints": {"e": [0, 0], "a": [4, 0], "b": [8, 0], "0": [0, 8]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "e", "to": "0"},
        {"name": "S1", "kind": "two-way switch", "from": "a", "to": "e", "second": "b"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "from": "a", "to": "0"},
        {"name": "C2", "kind": "capacitor", "value": "15 µF", "from": "b", "to": "0"},
    ],
}


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


@pytest.mark.parametrize("sketch", [ladder(30), TWO_WAY], ids=["61 parts", "a two-way switch"])
def test_what_takes_long_to_lay_out_does_not_stand_in_front_of_what_is_solved_at_once(sketch: dict[str, Any]):
    """It waits in the lane of long work, where there is no place here."""
    processes = SolverProcesses()
    body = json.dumps(sketch).encode()
    assert processes.tidy(body, len(sketch["parts"])).outcome is Outcome.ANSWER
    while processes._long._places.acquire(blocking=False):
        pass
    assert processes.tidy(body, len(sketch["parts"])).outcome is Outcome.BUSY
    assert processes.tidy(json.dumps(LANTERN).encode(), len(LANTERN["parts"])).outcome is Outcome.ANSWER
    processes.close()

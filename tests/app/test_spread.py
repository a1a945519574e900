"""The spread of readings over tolerances, asked for over the web."""

from __future__ import annotations

from flask.testing import FlaskClient

from tests.app.calls import LANTERN, assert_problem


def loose(**tolerances: str) -> dict[str, object]:
    parts = [
        {**part, "tolerance": tolerances[part["name"]]} if part["name"] in tolerances else part
        for part in LANTERN["parts"]
    ]
    return {**LANTERN, "parts": parts}


def test_every_reading_comes_with_its_least_and_its_largest(client: FlaskClient):
    response = client.post("/api/spread", json=loose(C1="±10 %"))
    assert response.status_code == 200
    assert response.headers["Cache-Control"] == "no-store"
    assert response.json["proved"] is True
    solution = client.post("/api/solve", json=loose(C1="±10 %")).json
    for reading, found in solution["parts"]["C1"].items():
        spread = response.json["spreads"][f"C1.{reading}"]
        assert spread["low"]["value"] < found["value"] < spread["high"]["value"]


def test_without_a_tolerance_there_is_no_spread(client: FlaskClient):
    assert client.post("/api/spread", json=LANTERN).json == {
        "spreads": {},
        "proved": True,
        "leftOut": [],
        "reason": None,
    }


def test_a_tolerance_that_leaves_nothing_is_refused_by_name(client: FlaskClient):
    problem = assert_problem(client.post("/api/spread", json=loose(C1="±100 %")), 422, "tolerance-out-of-range")
    assert problem["parts"] == ["C1"]
    assert_problem(client.post("/api/solve", json=loose(C1="±100 %")), 422, "tolerance-out-of-range")


def test_a_first_stage_has_a_spread_and_a_later_one_a_reason(client: FlaskClient):
    staged = {**loose(C1="±10 %"), "stages": [{"closed": []}, {"closed": []}]}
    assert "C1.voltage" in client.post("/api/spread", json={**staged, "stage": 0}).json["spreads"]
    later = client.post("/api/spread", json={**staged, "stage": 1}).json
    assert later["spreads"] == {}
    assert "first stage only" in later["reason"]


def test_a_value_to_be_found_has_its_tolerance_about_what_is_found(client: FlaskClient):
    sketch = loose(C1="±10 %")
    parts = [{**part, "value": "?"} if part["name"] == "C1" else part for part in sketch["parts"]]
    asked = {**sketch, "parts": parts, "required": [{"reading": "C1.voltage", "value": "3 V"}]}
    spread = client.post("/api/spread", json=asked).json["spreads"]["C1.voltage"]
    assert spread["low"]["value"] < 3 < spread["high"]["value"]

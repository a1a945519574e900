"""The spread of readings over tolerances, asked for over the web."""

from __future__ import annotations

from typing import Any

import jsonschema_rs
import pytest
from flask.testing import FlaskClient

from app.openapi import openapi_document
from solver.tolerance import spread_on, spreads_of
from solver.tolerance_place import Place
from tests.app.calls import LANTERN, assert_problem
from tests.solver.test_tolerance import mesh


def loose(**tolerances: str) -> dict[str, object]:
    parts = [
        {**part, "tolerance": tolerances[part["name"]]} if part["name"] in tolerances else part
        for part in LANTERN["parts"]
    ]
    return {**LANTERN, "parts": parts}


def spread(client: FlaskClient, sketch: object, place: object = None) -> Any:
    return client.post("/api/spread", json={"sketch": sketch, "from": place})


def test_every_reading_comes_with_its_least_and_its_largest(client: FlaskClient):
    response = spread(client, loose(C1="±10 %"))
    assert response.status_code == 200
    assert response.json["from"] is None
    assert response.headers["Cache-Control"] == "no-store"
    assert response.json["proved"] is True
    solution = client.post("/api/solve", json=loose(C1="±10 %")).json
    for reading, found in solution["parts"]["C1"].items():
        ends = response.json["spreads"][f"C1.{reading}"]
        assert ends["low"]["value"] < found["value"] < ends["high"]["value"]


def test_without_a_tolerance_there_is_no_spread(client: FlaskClient):
    assert spread(client, LANTERN).json == {
        "spreads": {},
        "proved": True,
        "leftOut": [],
        "reason": None,
        "from": None,
        "share": 1.0,
    }


def test_a_tolerance_that_leaves_nothing_is_refused_by_name(client: FlaskClient):
    problem = assert_problem(spread(client, loose(C1="±100 %")), 422, "tolerance-out-of-range")
    assert problem["parts"] == ["C1"]
    assert_problem(client.post("/api/solve", json=loose(C1="±100 %")), 422, "tolerance-out-of-range")


def test_a_first_stage_has_a_spread_and_a_later_one_a_reason(client: FlaskClient):
    staged = {**loose(C1="±10 %"), "stages": [{"closed": []}, {"closed": []}]}
    assert "C1.voltage" in spread(client, {**staged, "stage": 0}).json["spreads"]
    later = spread(client, {**staged, "stage": 1}).json
    assert later["spreads"] == {}
    assert "first stage only" in later["reason"]


def test_a_value_to_be_found_has_its_tolerance_about_what_is_found(client: FlaskClient):
    sketch = loose(C1="±10 %")
    parts = [{**part, "value": "?"} if part["name"] == "C1" else part for part in sketch["parts"]]
    asked = {**sketch, "parts": parts, "required": [{"reading": "C1.voltage", "value": "3 V"}]}
    found = spread(client, asked).json["spreads"]["C1.voltage"]
    assert found["low"]["value"] < 3 < found["high"]["value"]


def test_work_handed_in_unfinished_goes_on_to_the_end_that_it_has_at_once(client: FlaskClient):
    sketch = mesh(40, 20, seed=1)
    described = openapi_document()["components"]
    schema = jsonschema_rs.validator_for({"$ref": "#/components/schemas/SpreadSlice", "components": described})
    pieces = [spread_on(sketch, Place(), seconds=0).document()]
    assert pieces[0]["from"] is not None
    while pieces[-1]["from"] is not None:
        pieces.append(spread(client, sketch.document(), pieces[-1]["from"]).json)
    spreads, left_out = {}, []
    for piece in pieces:
        schema.validate(piece)
        assert not spreads.keys() & piece["spreads"].keys()
        spreads |= piece["spreads"]
        left_out += piece["leftOut"]
    whole = spreads_of(sketch).document()
    assert (spreads, left_out) == (whole["spreads"], whole["leftOut"])


@pytest.mark.parametrize(
    "place",
    [
        {"climbed": 0, "corners": ["101"], "chosen": None, "told": 0},
        {"climbed": 9999, "corners": [], "chosen": None, "told": 0},
        {"climbed": 0, "corners": [], "chosen": None, "told": 9999},
        {"climbed": 0, "corners": ["1"], "chosen": [[0, 0]], "told": 0},
        {"climbed": 0, "corners": ["2"], "chosen": None, "told": 0},
        {"climbed": 0, "corners": []},
        7,
    ],
)
def test_work_that_goes_on_from_nowhere_is_refused(client: FlaskClient, place: object):
    assert_problem(spread(client, loose(C1="±10 %"), place), 422, "request-not-understood")


def test_a_choice_of_corners_that_does_not_fit_its_reading_is_refused(client: FlaskClient):
    count = len(spread(client, loose(C1="±10 %")).json["spreads"])
    for chosen in ([0, 9], [0, 0, 0, 0], [0]):
        place = {"climbed": 0, "corners": ["1"], "chosen": [chosen] * count, "told": 0}
        assert_problem(spread(client, loose(C1="±10 %"), place), 422, "request-not-understood")

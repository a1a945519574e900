"""The route and the page that compare: what the solver says, as the document describes it; refusals in sentences."""

from __future__ import annotations

import copy
import json
from typing import Any

import jsonschema_rs
import pytest
from flask.testing import FlaskClient

from app.openapi import openapi_document
from app.shared_data import shared_data
from solver.compare import compare
from tests.app.calls import LANTERN, assert_problem
from tests.app.test_pages import read

KINDS = ["series", "parallel", "other-series", "other-parallel", "network", "copy"]


def ask(client: FlaskClient, **asked: Any) -> Any:
    response = client.post("/api/compare", json={"sketch": LANTERN, "columns": ["series", "parallel"], **asked})
    assert response.status_code == 200, response.text
    assert response.headers["Cache-Control"] == "no-store"
    return response.json


def test_a_comparison_is_the_solvers_own(client: FlaskClient):
    answer = ask(client)
    assert answer == compare({"sketch": LANTERN, "columns": ["series", "parallel"]}).document()
    # 30 µF and 15 µF: 10 µF in series, 45 µF in parallel.
    [row] = [row for row in answer["rows"] if row["key"] == "E1.capacitance"]
    assert [reading["text"] for reading in row["readings"]] == ["10.0 µF", "45.0 µF"]
    assert row["ratio"] == {"exact": ["2", "9"], "text": "2 : 9"}


@pytest.mark.parametrize("kinds", [KINDS[:3], KINDS[3:], ["copy", "series"], ["network", "other-parallel"]])
def test_every_answer_is_as_described(client: FlaskClient, kinds: list[str]):
    described = openapi_document()["components"]
    schema = jsonschema_rs.validator_for({"$ref": "#/components/schemas/Comparison", "components": described})
    for sample in shared_data("samples")["samples"]:
        asked = {"sketch": sample["sketch"], "columns": kinds}
        if "copy" in kinds:
            asked["changed"] = {"E1": {"value": "4.5 V"}}
        answer = ask(client, **asked)
        schema.validate(answer)
        assert [column["kind"] for column in answer["columns"]] == kinds
        assert all(len(row["readings"]) == len(kinds) for row in answer["rows"])


def test_every_column_can_be_opened_as_a_sheet(client: FlaskClient):
    for column in ask(client, columns=KINDS[:3])["columns"] + ask(client, columns=KINDS[3:])["columns"]:
        answer = client.post("/api/solve", json=column["sketch"])
        assert answer.json == column["solution"]


def test_symbols_are_compared_in_the_lane_of_long_work(client: FlaskClient):
    sketch = copy.deepcopy(LANTERN)
    for part, value in zip(sketch["parts"], ("V_0", "C", "C"), strict=True):
        part["value"] = value
    answer = ask(client, sketch=sketch)
    [row] = [row for row in answer["rows"] if row["key"] == "total.energy"]
    assert row["ratio"]["exact"] == ["1", "4"]
    without = {**LANTERN, "parts": LANTERN["parts"][1:]}
    assert ask(client, sketch=without, emf="V_0")["battery"] == {"name": "E1", "value": "V_0"}


def test_what_cannot_be_compared_is_refused_in_a_sentence(client: FlaskClient):
    bare = {**LANTERN, "parts": LANTERN["parts"][:1]}
    broken = {**LANTERN, "parts": [*LANTERN["parts"][:2], {**LANTERN["parts"][2], "value": "lots"}]}
    for changed, code in (
        ({"columns": ["series"]}, "request-not-understood"),
        ({"columns": ["series", "series"]}, "request-not-understood"),
        ({"columns": ["series", "sideways"]}, "request-not-understood"),
        ({"columns": KINDS}, "request-not-understood"),
        ({"more": 1}, "request-not-understood"),
        ({"changed": {"C1": {"name": "C9"}}}, "request-not-understood"),
        ({"emf": 9}, "request-not-understood"),
        ({"sketch": {"joints": {}}}, "missing-key"),
        ({"sketch": 1}, "sketch-not-understood"),
        ({"sketch": bare}, "nothing-to-compare"),
        ({"sketch": broken}, "value-not-understood"),
        ({"parts": ["C1", "C7"]}, "part-not-comparable"),
        ({"columns": ["network", "copy"], "changed": {"C7": {"value": "1 F"}}}, "change-not-possible"),
        ({"columns": ["network", "copy"], "changed": {"C1": {"value": "-1 F"}}}, "value-not-positive"),
    ):
        asked = {"sketch": LANTERN, "columns": ["series", "parallel"], **changed}
        assert_problem(client.post("/api/compare", json=asked), 422, code)
    assert_problem(client.post("/api/compare", json=[]), 422, "request-not-understood")


def test_more_than_twelve_chosen_parts_are_refused(client: FlaskClient):
    parts = [LANTERN["parts"][0]] + [{**LANTERN["parts"][1], "name": f"C{n}"} for n in range(13)]
    sketch = {**LANTERN, "parts": parts}
    assert len(ask(client, sketch=sketch)["parts"]) == 12
    names = [part["name"] for part in parts[1:]]
    asked = {"sketch": sketch, "columns": ["series", "parallel"], "parts": names}
    assert_problem(client.post("/api/compare", json=asked), 422, "too-many-to-compare")


def test_the_page_is_told_where_to_ask_and_the_sheet_where_the_page_is(client: FlaskClient):
    page = json.loads(read(client, "/compare").data)
    assert page["urls"] == {
        "home": "/",
        "compare": "/api/compare",
        "values": "/api/values",
        "carried": "/p",
        "page": "/compare",
    }
    assert page["kinds"] == shared_data("kinds")
    assert client.post("/api/compare", json={"sketch": page["sample"], "columns": KINDS[:2]}).status_code == 200
    assert json.loads(read(client, "/").data)["urls"]["compare"] == "/compare"

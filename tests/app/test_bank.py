"""The routes and the page of the bank planner: what the solver says, as described; refusals all together."""

from __future__ import annotations

import json
from typing import Any

import jsonschema_rs
import pytest
from flask.testing import FlaskClient

from app.openapi import openapi_document
from app.shared_data import shared_data
from solver.bank import Wish, plan
from tests.app.calls import assert_problem
from tests.app.test_pages import read

SAMPLE: dict[str, Any] = shared_data("samples")["bank"]["wish"]


def require(name: str, answer: Any) -> None:
    described = openapi_document()["components"]
    jsonschema_rs.validator_for({"$ref": f"#/components/schemas/{name}", "components": described}).validate(answer)


def ask(client: FlaskClient, path: str, body: Any) -> Any:
    response = client.post(path, json=body)
    assert response.status_code == 200, response.text
    assert response.headers["Cache-Control"] == "no-store"
    return response.json


def strings(bank: Any) -> list[Any]:
    return [
        {"times": string["times"], "parts": [{"row": part["row"], "count": part["count"]} for part in string["parts"]]}
        for string in bank["strings"]
    ]


def test_a_plan_is_the_solvers_own(client: FlaskClient):
    answer = ask(client, "/api/bank", SAMPLE)
    assert answer == plan(Wish.read(SAMPLE))
    require("BankPlan", answer)
    assert answer["banks"][0]["words"] == "6 × 220 µF 63 V"


def test_a_search_and_every_drawing_are_as_described_and_solve(client: FlaskClient):
    answer = ask(client, "/api/bank", SAMPLE)
    slice_ = ask(client, "/api/bank/search", {"wish": SAMPLE, "from": answer["search"]["from"]})
    require("BankSlice", slice_)
    for bank in answer["banks"] + slice_["banks"]:
        asked = {"wish": SAMPLE, "strings": strings(bank), "balancing": True, "bleed": True}
        sketch = ask(client, "/api/bank/sketch", asked)
        solution = ask(client, "/api/solve", sketch)
        assert solution["totals"]["energy"]["exact"] == bank["energy"]["exact"]
        voltages = {
            solution["parts"][part["name"]]["voltage"]["exact"] for part in sketch["parts"] if part["name"][0] == "C"
        }
        assert voltages == {part["voltage"]["exact"] for string in bank["strings"] for part in string["parts"]}


def test_everything_wrong_with_a_form_is_refused_at_once(client: FlaskClient):
    rows = [{**SAMPLE["kinds"][0], "tolerance": "100 %", "rated": "0 V"}]
    response = client.post("/api/bank", json={**SAMPLE, "voltage": "", "kinds": rows})
    problem = assert_problem(response, 422, "bank-missing")
    assert [fault["parts"] for fault in problem["errors"]] == [["voltage"], ["kinds.0.tolerance"], ["kinds.0.rated"]]


@pytest.mark.parametrize("body", [[], {}, {**SAMPLE, "more": 1}, {**SAMPLE, "voltage": 9}, {**SAMPLE, "goal": "both"}])
def test_what_is_no_wish_is_refused(client: FlaskClient, body: Any):
    assert_problem(client.post("/api/bank", json=body), 422, "request-not-understood")


def test_a_search_from_nowhere_and_strings_of_nothing_are_refused(client: FlaskClient):
    place = {"parts": 4000, "at": [0], "found": False}
    assert_problem(client.post("/api/bank/search", json={"wish": SAMPLE, "from": place}), 422, "bank-search-lost")
    none = [{"times": 1, "parts": [{"row": 9, "count": 1}]}]
    asked = {"wish": SAMPLE, "strings": none, "balancing": False, "bleed": False}
    assert_problem(client.post("/api/bank/sketch", json=asked), 422, "bank-strings-unknown")


def test_the_page_is_told_where_to_ask_and_the_sheet_where_the_page_is(client: FlaskClient):
    page = json.loads(read(client, "/bank").data)
    assert page["urls"] == {
        "home": "/",
        "carried": "/p",
        "plan": "/api/bank",
        "search": "/api/bank/search",
        "sketch": "/api/bank/sketch",
    }
    assert page["sample"] == SAMPLE
    assert json.loads(read(client, "/").data)["urls"]["bank"] == "/bank"

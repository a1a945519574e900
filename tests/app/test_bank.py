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
from tests.app.handouts import drawing, sizes, texts
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


def handout(bank: Any, **changes: Any) -> dict[str, Any]:
    """The body of POST /api/bank/handout for a bank of the sample's plan."""
    return {"wish": SAMPLE, "strings": strings(bank), "balancing": True, "bleed": True} | changes


def bare(words: str) -> str:
    """Words as they are found in a PDF whatever its lines and its indices."""
    return "".join(words.replace("ﬁ", "fi").replace("_", "").split())


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


def test_a_handout_has_the_parts_list_the_figures_and_the_formulas_that_they_come_from(client: FlaskClient):
    third = ask(client, "/api/bank", SAMPLE)["banks"][2]
    page = ask(client, "/api/bank/handout", handout(third))
    require("BankPaper", page)
    assert page["title"] == third["words"] == "8 strings of 3 × 470 µF 25 V"
    assert page["rows"] == [
        ["24", "capacitor", "470 µF", "25 V, ±20 %", "0.35"],
        ["24", "resistor", "47.0 kΩ", "±5 %", ""],
        ["1", "resistor", "16.0 kΩ", "±5 %", ""],
    ]
    # One of the eight strings is drawn: a battery, three capacitors, a resistor across each.
    kinds = [part["kind"] for part in page["sketch"]["parts"] if part["kind"] != "wire"]
    assert kinds == ["battery", *["capacitor"] * 3, *["resistor"] * 3]
    assert "One string of each sort is drawn" in page["caption"]
    assert [formula["what"].partition(" ")[0] for formula in page["formulas"]] == [
        "Energy",
        "Worst",
        "Largest",
        "Bleeding",
        "Heat",
    ]
    assert page["caution"]["figures"].startswith("Caution: up to 45.0 V")


def test_a_handout_without_resistors_speaks_of_none(client: FlaskClient):
    first = ask(client, "/api/bank", SAMPLE)["banks"][0]
    page = ask(client, "/api/bank/handout", handout(first, balancing=False, bleed=False))
    assert [row[1] for row in page["rows"]] == ["capacitor"]
    assert page["caption"] is None
    assert not any("leeding" in figure or "alancing" in figure for figure in page["figures"])
    assert [formula["what"].partition(" ")[0] for formula in page["formulas"]] == ["Energy"]


def test_parts_that_differ_in_a_string_have_the_formula_for_that(client: FlaskClient):
    kinds = [{**SAMPLE["kinds"][0], "count": "1", "value": value} for value in ("470 µF", "680 µF")]
    string = {"times": 1, "parts": [{"row": 0, "count": 1}, {"row": 1, "count": 1}]}
    asked = {
        "wish": {**SAMPLE, "voltage": "20 V", "kinds": kinds},
        "strings": [string],
        "balancing": True,
        "bleed": True,
    }
    page = ask(client, "/api/bank/handout", asked)
    [worst] = [formula for formula in page["formulas"] if formula["what"].startswith("Worst")]
    assert worst["formula"] == "V_max = V / (1 + C_least·∑ 1/C_most)"
    # 470 µF at 376 µF, 680 µF at 816 µF: 20/(1 + 376/816) = 13.69 V; and 20/(1 + 544/564) = 10.18 V on the other.
    assert [line.partition(" on each")[0] for line in page["figures"] if line.startswith("At worst")] == [
        "At worst 13.7 V",
        "At worst 10.2 V",
    ]


def test_a_bank_of_no_great_voltage_has_the_general_sentence_on_its_handout(client: FlaskClient):
    wish = {**SAMPLE, "voltage": "5 V", "goal": "capacitance", "capacitance": "400 µF", "downTo": "", "within": ""}
    bank = ask(client, "/api/bank", wish)["banks"][0]
    page = ask(client, "/api/bank/handout", {**handout(bank), "wish": wish})
    assert page["caution"] is None
    assert page["closing"].startswith("For teaching and first estimates. Local codes, the school's rules")


def test_the_handout_as_pdf_is_one_page_of_a4_with_all_that_stands_on_it(client: FlaskClient):
    for bank in ask(client, "/api/bank", SAMPLE)["banks"]:
        page = ask(client, "/api/bank/handout", handout(bank))
        response = client.post("/api/bank/handout.pdf", json={**handout(bank), "drawing": drawing(words="drawn")})
        assert response.status_code == 200, response.text
        assert response.mimetype == "application/pdf"
        assert response.headers["Cache-Control"] == "no-store"
        assert sizes(response.data) == {(210, 297)}
        [text] = texts(response.data)
        assert "drawn" in text
        wanted = [page["title"], page["task"], page["closing"], *page["figures"], page["caution"]["figures"]]
        wanted += [" ".join(row).strip() for row in page["rows"]]
        wanted += [formula["source"].split(" (")[0] for formula in page["formulas"]]
        wanted += page["caution"]["sentences"]
        for words in wanted:
            assert bare(words) in bare(text)


def test_a_handout_of_what_is_none_is_refused(client: FlaskClient):
    bank = ask(client, "/api/bank", SAMPLE)["banks"][0]
    good = {**handout(bank), "drawing": drawing()}
    many = [{"times": 1, "parts": [{"row": 0, "count": 121}]}]
    none = [{"times": 1, "parts": [{"row": 9, "count": 1}]}]
    hostile = drawing('<image href="file:///etc/passwd" width="9" height="9"/>')
    for change, code in (
        ({"strings": none}, "bank-strings-unknown"),
        ({"strings": many}, "bank-too-large-to-draw"),
        ({"wish": {**SAMPLE, "voltage": ""}}, "bank-missing"),
        ({"drawing": hostile}, "request-not-understood"),
        ({"drawing": None}, "request-not-understood"),
        ({"more": 1}, "request-not-understood"),
    ):
        assert_problem(client.post("/api/bank/handout.pdf", json={**good, **change}), 422, code)
    for change in ({"strings": none}, {"drawing": "x"}):
        assert client.post("/api/bank/handout", json={**handout(bank), **change}).status_code == 422


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
        "handout": "/api/bank/handout",
        "pdf": "/api/bank/handout.pdf",
    }
    assert page["sample"] == SAMPLE
    assert json.loads(read(client, "/").data)["urls"]["bank"] == "/bank"

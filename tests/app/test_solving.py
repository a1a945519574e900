"""The routes that solve hand on what the solver says, and hold neither physics nor opinions of their own."""

from __future__ import annotations

from flask.testing import FlaskClient

from app.shared_data import shared_data
from solver import solve
from tests.app.calls import LANTERN, assert_problem


def test_a_solution_is_the_solvers_own(client: FlaskClient):
    response = client.post("/api/solve", json=LANTERN)
    assert response.mimetype == "application/json"
    assert response.headers["Cache-Control"] == "no-store"
    assert response.json == solve(LANTERN).document()
    # 30 µF and 15 µF in series are 1/(1/30 + 1/15) = 10 µF, and take 10 µF × 9 V = 90 µC.
    assert response.json["parts"]["C1"]["charge"] == {"exact": "9/100000", "value": 9e-05, "text": "90.0 µC"}


def test_every_worked_sketch_is_solved(client: FlaskClient):
    for sample in shared_data("samples")["samples"]:
        assert client.post("/api/solve", json=sample["sketch"]).status_code == 200


def test_symbols_are_solved_too(client: FlaskClient):
    parts = [{**part, "value": {"E1": "V_0", "C1": "C", "C2": "2C"}[part["name"]]} for part in LANTERN["parts"]]
    reading = client.post("/api/solve", json={**LANTERN, "parts": parts}).json["parts"]["C2"]["voltage"]
    assert reading["value"] is None
    assert reading["exact"].replace(" ", "") in ("V_0/3", "1/3*V_0")  # C/(C + 2C) of the whole


def test_a_typed_text_tells_its_kind_and_comes_with_numbers_to_step_through(client: FlaskClient):
    value = client.post("/api/values", json={"text": "22 uF"}).json
    assert (value["kind"], value["quantity"], value["text"]) == ("capacitor", "capacitance", "22 µF")
    assert value["feedback"] == "F makes it a capacitor"
    assert value["reading"] == {"exact": "11/500000", "value": 2.2e-05, "text": "22.0 µF"}
    place = value["position"]
    assert value["steps"][place - 1 : place + 2] == ["18 µF", "22 µF", "27 µF"]  # E12, IEC 60063


def test_words_make_parts_without_values(client: FlaskClient):
    for text, kind, closed in (("switch", "switch", False), ("closed switch", "switch", True), ("", "wire", None)):
        value = client.post("/api/values", json={"text": text}).json
        assert (value["kind"], value["closed"]) == (kind, closed)
        assert (value["quantity"], value["reading"], value["steps"], value["position"]) == (None, None, [], None)


def test_a_symbol_has_no_reading(client: FlaskClient):
    value = client.post("/api/values", json={"text": "2C"}).json
    assert (value["kind"], value["text"], value["reading"]) == ("capacitor", "2C", None)


def test_where_the_kind_is_known_a_text_is_read_as_its_value(client: FlaskClient):
    def ask(text: str, kind: str, place: str = "value") -> dict:
        return client.post("/api/values", json={"text": text, "kind": kind, "place": place}).json

    assert ask("6V", "capacitor", "initial")["quantity"] == "voltage"
    assert ask("16 V", "capacitor", "rated")["text"] == "16 V"
    assert ask("2 ohm", "battery", "internal")["quantity"] == "resistance"
    assert ask("4u7", "capacitor")["feedback"] == "read as 4.7 µF"


def test_a_text_that_is_no_value_is_told_in_a_sentence(client: FlaskClient):
    for asked, code in (
        ({"text": "22"}, "value-not-understood"),
        ({"text": "22 kg"}, "value-not-understood"),
        ({"text": "9 V", "kind": "capacitor"}, "value-wrong-unit"),
        ({"text": "1e40 F"}, "value-out-of-range"),
        ({"text": "-5 µF"}, "value-not-positive"),
        ({"text": "0 Ω", "kind": "resistor"}, "value-not-positive"),
        ({"text": "9 V", "kind": "resistor", "place": "rated"}, "request-not-understood"),
        ({"text": "9 V", "kind": "switch"}, "request-not-understood"),
        ({"text": 9}, "request-not-understood"),
        ({"txt": "9 V"}, "request-not-understood"),
        ([], "request-not-understood"),
    ):
        assert_problem(client.post("/api/values", json=asked), 422, code)


def test_a_value_to_be_found_comes_with_the_answer(client: FlaskClient):
    parts = [{**part, "value": "?"} if part["name"] == "C1" else part for part in LANTERN["parts"]]
    sketch = {**LANTERN, "parts": parts, "required": [{"reading": "C2.voltage", "value": "4.5 V"}]}
    answer = client.post("/api/solve", json=sketch).json
    assert [(value["part"], value["text"]) for value in answer["found"]] == [("C1", "15 µF")]
    assert answer["parts"]["C2"]["voltage"]["text"] == "4.50 V"
    assert client.post("/api/values", json={"text": "?", "kind": "capacitor"}).json["text"] == "?"


def test_views_come_with_the_answer(client: FlaskClient):
    stages = [{"closed": [], "name": "Charged"}, {"closed": [], "set": {"C1": "60 µF"}}]
    answer = client.post("/api/solve?with=stages", json={**LANTERN, "stages": stages}).json
    assert [stage["name"] for stage in answer["stages"]] == ["Charged", None]
    assert answer["stages"][1]["sketch"]["parts"][1]["value"] == "60 µF"
    shown = client.post("/api/solve", json={**LANTERN, "stages": stages, "stage": 1}).json
    # The 30 µF have become 60 µF: 60 and 15 in series are 12 µF.
    assert shown["parts"]["E1"]["equivalent"]["text"] == "12.0 µF"
    assert_problem(client.post("/api/solve", json={**LANTERN, "stages": stages, "stage": 2}), 422, "wrong-content")
    assert "stages" not in client.post("/api/solve", json=LANTERN).json
    assert_problem(client.post("/api/solve?with=jam", json=LANTERN), 400, "query-not-understood")
    assert_problem(client.post(f"/api/solve?with=stages&way={'x' * 41}", json=LANTERN), 400, "query-not-understood")

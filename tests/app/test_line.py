"""A line of text changes a sketch over the web, and is written of one."""

from __future__ import annotations

from flask.testing import FlaskClient

from tests.app.calls import LANTERN, assert_problem


def test_a_line_changes_a_sketch_and_comes_back_with_it(client: FlaskClient):
    response = client.post("/api/line", json={"sketch": LANTERN, "text": "9V: 30uF + 22uF"})
    assert response.status_code == 200
    assert response.headers["Cache-Control"] == "no-store"
    changed = {**LANTERN, "parts": [*LANTERN["parts"][:2], LANTERN["parts"][2] | {"value": "22 µF"}]}
    assert response.json == {
        "sketch": changed,
        "line": {"text": "9 V : 30 µF + 22 µF", "misfit": None},
        "makes": "a battery, 2 capacitors",
    }


def test_a_mistake_has_its_place_and_what_may_have_been_meant(client: FlaskClient):
    line = "9 V : 30 µF + 10 µF ∥ 5 µF"
    problem = assert_problem(client.post("/api/line", json={"sketch": LANTERN, "text": line}), 422, "line-mixed")
    (fault,) = problem["errors"]
    assert line[slice(*fault["at"])] == "30 µF + 10 µF ∥ 5 µF"
    assert fault["instead"] == ["9 V : (30 µF + 10 µF) ∥ 5 µF", "9 V : 30 µF + (10 µF ∥ 5 µF)"]


def test_without_a_text_the_line_of_the_sketch_is_written(client: FlaskClient):
    response = client.post("/api/line", json={"sketch": LANTERN})
    assert response.json["line"] == {"text": "9 V : 30 µF + 15 µF", "misfit": None}
    loose = {**LANTERN, "parts": LANTERN["parts"][:2]}
    response = client.post("/api/line", json={"sketch": loose, "text": None})
    assert response.json["line"]["misfit"] == (
        "The circuit is not closed yet: nothing leads from C1 to the − terminal of E1."
    )


def test_a_line_for_no_sketch_is_refused(client: FlaskClient):
    for asked in ([], {}, {"text": "9 V : C"}, {"sketch": LANTERN, "text": 3}, {"sketch": LANTERN, "txt": "9 V : C"}):
        assert_problem(client.post("/api/line", json=asked), 422, "request-not-understood")
    broken = {**LANTERN, "parts": [LANTERN["parts"][1] | {"from": "nowhere"}]}
    assert_problem(client.post("/api/line", json={"sketch": broken, "text": "9 V : C"}), 422, "unknown-joint")


def test_the_line_comes_with_the_readings_where_it_is_asked_for(client: FlaskClient):
    response = client.post("/api/solve?with=line", json=LANTERN)
    assert response.json["line"] == {"text": "9 V : 30 µF + 15 µF", "misfit": None}

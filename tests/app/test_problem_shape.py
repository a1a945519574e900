"""Errors have one shape under /api/, on every route and whatever goes wrong; elsewhere they are a page."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.problems import Fault, Problem
from app.shared_data import shared_data
from tests.app.calls import LANTERN, assert_problem, keep

NOBODY = "3NoSuchSketch3"
METHODS = {"DELETE", "GET", "PATCH", "POST", "PUT"}


def api_addresses(application: Flask) -> list[tuple[str, set[str]]]:
    """Every address under /api/, with the methods it has."""
    found: dict[str, set[str]] = {}
    for rule in application.url_map.iter_rules():
        if rule.rule.startswith("/api/"):
            address = re.sub(r"<[^>]+>", NOBODY, rule.rule)
            found[address] = found.get(address, set()) | (rule.methods or set())
    return sorted(found.items())


def test_a_method_that_an_address_does_not_have_is_refused_in_the_one_shape(application: Flask, client: FlaskClient):
    tried = 0
    for address, methods in api_addresses(application):
        for method in METHODS - methods:
            response = client.open(address, method=method)
            assert_problem(response, 405, "method-not-allowed")
            assert set(response.headers["Allow"].split(", ")) == methods
            tried += 1
    assert tried > 20


def test_every_route_that_takes_a_body_refuses_what_is_not_json_in_the_one_shape(client: FlaskClient):
    kept = keep(client)
    for method, address in (
        ("POST", "/api/solve"),
        ("POST", "/api/values"),
        ("POST", "/api/sketches"),
        ("PUT", kept.path),
    ):

        def send(kind: str = "application/json", **body: Any) -> Any:
            headers = {**kept.headers(1), "Content-Type": kind}
            return client.open(address, method=method, headers=headers, **body)  # noqa: B023

        assert_problem(send(data=b"{"), 400, "not-json")
        assert_problem(send("text/plain", data=b"{}"), 415, "not-sent-as-json")
        assert_problem(send(data=b'"' + b"x" * 8_000_000 + b'"'), 413, "body-too-large")
        assert_problem(client.open(address, method=method, headers=kept.headers(1)), 415, "not-sent-as-json")


def test_every_route_of_one_sketch_says_when_there_is_no_such_sketch(application: Flask, client: FlaskClient):
    headers = {"Authorization": "Bearer x", "If-Match": '"1"'}
    tried = 0
    for address, methods in api_addresses(application):
        if NOBODY in address:
            for method in methods - {"HEAD", "OPTIONS"}:
                problem = assert_problem(
                    client.open(address, method=method, headers=headers, json=LANTERN), 404, "sketch-unknown"
                )
                assert NOBODY in problem["detail"]
                tried += 1
    assert tried >= 5


def test_an_address_that_is_not_there_is_a_problem_under_api_and_a_page_elsewhere(client: FlaskClient):
    assert_problem(client.get("/api/nothing"), 404, "not-found")
    for address in ("/nothing", f"/s/{NOBODY}", f"/s/{NOBODY}/embed", "/static/x/nothing.js", "/static/x/../app.py"):
        page = client.get(address)
        assert (page.status_code, page.mimetype) == (404, "text/html")
        assert 'href="/"' in page.text


def test_a_sketch_with_several_faults_is_told_all_of_them_at_once(client: FlaskClient):
    sketch = {
        "joints": {"a": [0, 0], "0": [0, 4]},
        "parts": [
            {"name": "C1", "kind": "capacitor", "value": "", "from": "a", "to": "0"},
            {"name": "C2", "kind": "capacitor", "value": "9 V", "from": "a", "to": "0"},
        ],
    }
    problem = assert_problem(client.post("/api/solve", json=sketch), 422, "value-missing")
    assert [(fault["code"], fault["parts"]) for fault in problem["errors"]] == [
        ("value-missing", ["C1"]),
        ("value-wrong-unit", ["C2"]),
    ]
    assert problem["parts"] == ["C1", "C2"]
    assert problem["detail"].startswith("2 things are wrong. ")


def test_an_error_of_the_servers_own_is_told_in_the_same_shape_and_gives_nothing_away(
    application: Flask, client: FlaskClient, caplog: pytest.LogCaptureFixture
):
    def fall_over() -> None:
        raise KeyError("a secret of the server")

    application.add_url_rule("/api/fall-over", view_func=fall_over)
    application.add_url_rule("/fall-over", endpoint="page", view_func=fall_over)
    response = client.get("/api/fall-over")
    assert_problem(response, 500, "server-error")
    page = client.get("/fall-over")
    assert (page.status_code, page.mimetype) == (500, "text/html")
    assert "secret" not in response.text + page.text
    assert "a secret of the server" in caplog.text


def test_a_database_that_does_not_answer_is_told_and_not_hidden(application: Flask, client: FlaskClient):
    kept = keep(client)
    with application.extensions["store"]._writing.begin() as connection:
        connection.exec_driver_sql("DROP TABLE versions")
    assert_problem(client.get(kept.path), 503, "store-unavailable")


def test_every_sentence_of_the_web_side_can_be_said(application: Flask):
    for code, message in shared_data("messages")["web"].items():
        words = set(re.findall(r"\{(\w+)\}", message["text"]))
        document = Problem(message["status"], message["title"], [Fault(code, message["text"])]).document()
        assert document["status"] in range(400, 600)
        assert words <= {
            "reason",
            "text",
            "id",
            "version",
            "latest",
            "current",
            "limit",
            "seconds",
            "method",
            "allowed",
        }

"""The description of the web interface names every route, and the sketch as the shared schema has it."""

from __future__ import annotations

import re
from typing import Any

import jsonschema_rs
from flask import Flask
from flask.testing import FlaskClient

from app.openapi import openapi_document
from app.shared_data import shared_data
from tests.app.calls import LANTERN, ladder


def test_the_document_describes_exactly_the_routes_there_are(application: Flask):
    served = {
        (re.sub(r"<sketch_id>", "{id}", rule.rule), method.lower())
        for rule in application.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith("/api/")
    }
    described = {
        (path, method)
        for path, item in openapi_document()["paths"].items()
        for method in item
        if method != "parameters"
    }
    assert served == described


def test_the_served_sketch_schema_accepts_and_refuses_what_the_shared_one_does(client: FlaskClient):
    served = client.get("/api/openapi.json").json
    moved = jsonschema_rs.validator_for({"$ref": "#/components/schemas/Sketch", "components": served["components"]})
    shared = jsonschema_rs.Draft202012Validator(shared_data("sketch.schema"))
    part = LANTERN["parts"][1]
    sketches: list[Any] = [LANTERN, ladder(3), *(sample["sketch"] for sample in shared_data("samples")["samples"])]
    sketches += [{**LANTERN, "parts": [{**part, **change}]} for change in ({"kind": "wire"}, {"name": "1"}, {"x": 1})]
    sketches += [{**LANTERN, "zero": "-"}, {**LANTERN, "figures": 0}, {}, []]
    verdicts = [shared.is_valid(sketch) for sketch in sketches]
    assert [moved.is_valid(sketch) for sketch in sketches] == verdicts
    assert set(verdicts) == {True, False}
    assert "$defs" not in str(served)


def test_codes_and_statuses_in_the_document_are_those_of_the_messages():
    described = {
        int(status)
        for item in openapi_document()["paths"].values()
        for method, operation in item.items()
        if method != "parameters"
        for status, response in operation["responses"].items()
        if "$ref" in response
    }
    # 405 belongs to methods that an address does not have, which a description cannot list.
    assert described == {message["status"] for message in shared_data("messages")["web"].values()} - {405}

"""Sketches to send, and the one assertion on what comes back when something is wrong."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

import jsonschema_rs
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from app.openapi import openapi_document

LANTERN: dict[str, Any] = {
    "title": "Storm lantern",
    "joints": {"z": [4, 3], "a": [9, 6], "0": [4, 12]},
    "parts": [
        {"name": "E1", "kind": "battery", "value": "9 V", "from": "z", "to": "0"},
        {"name": "C1", "kind": "capacitor", "value": "30 µF", "from": "z", "to": "a"},
        {"name": "C2", "kind": "capacitor", "value": "15 µF", "from": "a", "to": "0"},
    ],
    "figures": 3,
}

_PROBLEM = jsonschema_rs.validator_for(
    {
        "$ref": "#/components/schemas/Problem",
        "components": {
            "schemas": {name: openapi_document()["components"]["schemas"][name] for name in ("Problem", "Fault")}
        },
    }
)


def assert_problem(response: TestResponse, status: int, code: str) -> dict[str, Any]:
    """Every error under /api/ is problem details of one shape, whose status and sentences agree with one another."""
    assert response.mimetype == "application/problem+json", response.text
    document: dict[str, Any] = json.loads(response.data)
    _PROBLEM.validate(document)
    assert (document["status"], document["code"]) == (status, code), document["detail"]
    assert response.status_code == status
    assert response.headers["Cache-Control"] == "no-store"
    assert document["code"] == document["errors"][0]["code"]
    assert document["type"].endswith(f":{code}")
    assert all(fault["text"] in document["detail"] for fault in document["errors"][:1])
    return document


@dataclass(frozen=True)
class Kept:
    """A stored sketch, and what it takes to change it."""

    id: str
    key: str

    @property
    def path(self) -> str:
        return f"/api/sketches/{self.id}"

    def headers(self, version: int) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.key}", "If-Match": f'"{version}"'}


def keep(client: FlaskClient, sketch: dict[str, Any] = LANTERN) -> Kept:
    """Store a sketch."""
    response = client.post("/api/sketches", json=sketch)
    assert response.status_code == 201, response.text
    return Kept(response.json["id"], response.json["links"]["edit"].partition("#key=")[2])


def ladder(rungs: int, value: str = "10 µF") -> dict[str, Any]:
    """A battery and a ladder of capacitors, two to a rung."""
    joints = {"0": [0, 1]} | {f"j{n}": [n, 0] for n in range(rungs + 1)}
    parts = [{"name": "E1", "kind": "battery", "value": "9 V", "from": "j0", "to": "0"}]
    for n in range(rungs):
        parts.append({"name": f"C{2 * n}", "kind": "capacitor", "value": value, "from": f"j{n}", "to": f"j{n + 1}"})
        parts.append({"name": f"C{2 * n + 1}", "kind": "capacitor", "value": value, "from": f"j{n + 1}", "to": "0"})
    return {"joints": joints, "parts": parts}

"""The description of the web interface, as it is served: shared/openapi.json with the schema of the sketch put in."""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

from flask import Blueprint, Response, jsonify

from app.shared_data import shared_data

routes = Blueprint("openapi", __name__)


@cache
def openapi_document() -> dict[str, Any]:
    """The OpenAPI 3.1 document. The sketch's schema is written once, in shared/sketch.schema.json; here its
    definitions move to components/schemas, where every reader of OpenAPI looks for them."""
    document: dict[str, Any] = copy.deepcopy(shared_data("openapi"))
    sketch = {key: part for key, part in shared_data("sketch.schema").items() if key not in ("$schema", "$id")}
    definitions = sketch.pop("$defs")
    names = {name: f"Sketch-{name}" for name in definitions}
    schemas = document["components"]["schemas"]
    schemas["Sketch"] = _moved(sketch, names)
    for name, definition in definitions.items():
        schemas[names[name]] = _moved(definition, names)
    return document


def _moved(schema: Any, names: dict[str, str]) -> Any:
    if isinstance(schema, list):
        return [_moved(part, names) for part in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        key: f"#/components/schemas/{names[part.removeprefix('#/$defs/')]}" if key == "$ref" else _moved(part, names)
        for key, part in schema.items()
    }


@routes.get("/api/openapi.json")
def openapi() -> Response:
    response = jsonify(openapi_document())
    response.headers["Cache-Control"] = "no-cache"
    return response

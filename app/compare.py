"""The routes that compare: a sketch beside its rearrangements as an answer, and the page that shows them."""

from __future__ import annotations

from flask import Blueprint, Response, make_response, render_template, url_for

from app import body
from app.shared_data import shared_data
from app.solving import require_answer, solver
from app.static_files import scripts

routes = Blueprint("comparing", __name__)


@routes.get("/compare")
def page() -> Response:
    samples = shared_data("samples")
    solver().warm()  # what the link carries is asked for next
    told = {
        "urls": {
            "home": url_for("pages.home"),
            "compare": url_for("comparing.compare"),
            "values": url_for("solving.values"),
            "carried": url_for("pages.carried"),
            "page": url_for("comparing.page"),
        },
        "kinds": shared_data("kinds"),
        "sample": next(sample["sketch"] for sample in samples["samples"] if sample["id"] == samples["first"]),
    }
    response = make_response(render_template("compare.html", page=told, scripts=scripts("compare/main.js")))
    response.headers["Cache-Control"] = "no-cache"
    return response


@routes.post("/api/compare")
def compare() -> Response:
    asked = body.json_body()
    sketch = asked.get("sketch") if isinstance(asked, dict) else None
    parts = sketch.get("parts") if isinstance(sketch, dict) else None
    result = solver().compare(body.text(asked).encode(), len(parts) if isinstance(parts, list) else 0)
    answer = require_answer(result, "This cannot be compared")
    return Response(answer, mimetype="application/json", headers={"Cache-Control": "no-store"})

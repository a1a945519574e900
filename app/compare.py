"""The routes that compare: a sketch beside its rearrangements as an answer, and the page that shows them."""

from __future__ import annotations

from flask import Blueprint, Response, url_for

from app import body
from app.pages import page_with_scripts
from app.shared_data import shared_data
from app.solving import kept_nowhere, require_answer, solver

routes = Blueprint("comparing", __name__)


@routes.get("/compare")
def page() -> Response:
    samples = shared_data("samples")
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
    return page_with_scripts("compare.html", told, "compare/main.js")


@routes.post("/api/compare")
def compare() -> Response:
    asked = body.json_body()
    sketch = asked.get("sketch") if isinstance(asked, dict) else None
    result = solver().compare(body.text(asked).encode(), body.number_of_parts(sketch))
    return kept_nowhere(require_answer(result, "This cannot be compared"))

"""The pages: a new sheet, a stored sketch, a stored sketch in a frame, a sketch carried in its link."""

from __future__ import annotations

import json
from typing import Any

from flask import Blueprint, Response, make_response, render_template, url_for

from app.shared_data import shared_data
from app.sketches import read_stored
from app.solving import solver
from app.static_files import mark_of_page, scripts, sent_small
from app.store import Stored

routes = Blueprint("pages", __name__)


@routes.get("/")
def home() -> Response:
    return _sheet("edit")


@routes.get("/p")
def carried() -> Response:
    return _sheet("edit")


@routes.get("/s/<sketch_id>")
def view(sketch_id: str) -> Response:
    return _sheet("edit", read_stored(sketch_id))


@routes.get("/s/<sketch_id>/embed")
def embed(sketch_id: str) -> Response:
    return _sheet("embed", read_stored(sketch_id))


def _sheet(mode: str, stored: Stored | None = None) -> Response:
    return page_with_scripts("sheet.html", _page_data(mode, stored), "main.js")


def page_with_scripts(template: str, told: dict[str, Any], entry: str) -> Response:
    """A page whose scripts begin with `entry` and are told this; what it shows is asked of the solver next."""
    solver().warm()
    response = make_response(render_template(template, page=told, scripts=scripts(entry, mark_of_page())))
    response.headers["Cache-Control"] = "no-cache"
    return sent_small(response)


def _page_data(mode: str, stored: Stored | None) -> dict[str, Any]:
    """What the scripts are told: addresses, the shared tables, and the sketch to open where there is one."""
    whole = {"whole": url_for("pages.view", sketch_id=stored.id)} if stored else {}
    return {
        "mode": mode,
        "urls": {
            "home": url_for("pages.home"),
            "solve": url_for("solving.solve"),
            "values": url_for("solving.values"),
            "line": url_for("solving.line"),
            "spread": url_for("solving.spread"),
            "tidy": url_for("solving.tidy"),
            "compare": url_for("comparing.page"),
            "bank": url_for("bank.page"),
            "handout": url_for("handout.page"),
            "paper": url_for("handout.paper"),
            "pdf": url_for("handout.pdf"),
            "csv": url_for("handout.ledger"),
            "offline": url_for("handout.offline"),
            "sketches": url_for("sketches.create"),
            "carried": url_for("pages.carried"),
            "static": url_for("static", filename=""),
            **whole,
        },
        "kinds": shared_data("kinds"),
        "dielectrics": shared_data("dielectrics")["dielectrics"],
        "samples": shared_data("samples"),
        "open": stored and {"id": stored.id, "version": stored.version, "sketch": json.loads(stored.document)},
    }

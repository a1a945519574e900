"""The routes of the bank planner: banks from the parts at hand, a search in slices, a drawing, a handout, the page."""

from __future__ import annotations

from flask import Blueprint, Response, url_for

from app import body
from app.handout import made_pdf
from app.pages import page_with_scripts
from app.shared_data import shared_data
from app.solving import kept_nowhere, require_answer, solver

routes = Blueprint("bank", __name__)

_REFUSAL = "No bank can be planned from this"


@routes.get("/bank")
def page() -> Response:
    told = {
        "urls": {
            "home": url_for("pages.home"),
            "carried": url_for("pages.carried"),
            "plan": url_for("bank.plan"),
            "search": url_for("bank.search"),
            "sketch": url_for("bank.sketch"),
            "handout": url_for("bank.handout"),
            "pdf": url_for("bank.pdf"),
        },
        "kinds": shared_data("kinds"),
        "sample": shared_data("samples")["bank"]["wish"],
        "units": shared_data("bank_units")["units"],
    }
    return page_with_scripts("bank.html", told, "bank/main.js")


@routes.post("/api/bank")
def plan() -> Response:
    return _answer("bank")


@routes.post("/api/bank/search")
def search() -> Response:
    return _answer("bank-search")


@routes.post("/api/bank/sketch")
def sketch() -> Response:
    return _answer("bank-sketch")


@routes.post("/api/bank/handout")
def handout() -> Response:
    return _answer("bank-handout")


@routes.post("/api/bank/handout.pdf")
def pdf() -> Response:
    return made_pdf("bank-pdf", _REFUSAL)


def _answer(job: str) -> Response:
    result = solver().bank(job, body.text(body.json_body()).encode())
    return kept_nowhere(require_answer(result, _REFUSAL))

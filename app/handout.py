"""The routes of what leaves the page: the handout, its PDF, the ledger as CSV, the file for a memory stick."""

from __future__ import annotations

import json

from flask import Blueprint, Response, url_for

from app import body
from app.limits import PAPER_SECONDS
from app.offline import offline_page
from app.pages import page_with_scripts
from app.problems import problem
from app.shared_data import shared_data
from app.solver_process import Outcome
from app.solving import kept_nowhere, require_answer, solver

routes = Blueprint("handout", __name__)


@routes.get("/handout")
def page() -> Response:
    told = {
        "urls": {
            "home": url_for("pages.home"),
            "solve": url_for("solving.solve"),
            "paper": url_for("handout.paper"),
            "pdf": url_for("handout.pdf"),
            "csv": url_for("handout.ledger"),
            "offline": url_for("handout.offline"),
        },
        "kinds": shared_data("kinds"),
    }
    return page_with_scripts("handout.html", told, "handout/main.js")


@routes.get("/api/paper")
def paper() -> Response:
    """Whether PDFs can be made here; asking also gets the process ready that makes them."""
    result = solver().paper("paper", b"null")
    if result.outcome is Outcome.ANSWER:
        told = json.loads(result.body)
    elif result.outcome is Outcome.BUSY:
        told = {"pdf": True, "reason": None}
    else:
        told = {"pdf": False, "reason": shared_data("messages")["web"]["no-pdf"]["text"]}
    return kept_nowhere(json.dumps(told, ensure_ascii=False))


@routes.post("/api/handout.pdf")
def pdf() -> Response:
    return made_pdf("pdf", "No PDF can be made of this")


def made_pdf(job: str, refusal: str) -> Response:
    """The PDF that a job makes of what was sent. Raises Problem; `refusal` is its title where the input is why."""
    result = solver().paper(job, body.text(body.json_body()).encode())
    if result.outcome is Outcome.REFUSED and json.loads(result.body)["faults"][0]["code"] == "no-pdf":
        raise problem("no-pdf")
    if result.outcome is Outcome.TOO_SLOW:
        raise problem("pdf-too-slow", seconds=f"{PAPER_SECONDS:g}")
    return kept_nowhere(require_answer(result, refusal), "application/pdf")


@routes.post("/api/ledger.csv")
def ledger() -> Response:
    sketch = body.json_body()
    result = solver().ledger(body.text(sketch).encode(), body.number_of_parts(sketch))
    answer = kept_nowhere(require_answer(result, "The network cannot be solved"), "text/csv")
    answer.headers["Content-Disposition"] = "attachment; filename=ledger.csv"
    return answer


@routes.post("/api/offline.html")
def offline() -> Response:
    asked = body.json_body()
    sketch = asked.get("sketch") if isinstance(asked, dict) else None
    result = solver().offline(body.text(asked).encode(), body.number_of_parts(sketch))
    matter = json.loads(require_answer(result, "The network cannot be solved"))
    text = offline_page(asked["sketch"], matter["solution"], matter["ways"], zigzag=asked.get("zigzag", False))
    answer = kept_nowhere(text, "text/html")
    answer.headers["Content-Disposition"] = "attachment; filename=sheet.html"
    return answer

"""The routes that solve: a sketch becomes a solution, a typed text becomes a value."""

from __future__ import annotations

import json
from typing import Final

from flask import Blueprint, Response, current_app, request

from app import body
from app.problems import Fault, Problem, problem
from app.solver_process import Outcome, Result, SolverProcesses

VIEWS: Final = ("tiles", "steps", "line", "stages", "handout", "caution", "builds", "ratings", "failures")
"""What an answer may have beside the readings: the picture of rectangles, the worked solution, the say-it line, the
stages, the task and the ledger of a handout, the caution where there is much voltage or energy, the
builds of capacitors, the shares of ratings with the highest battery voltages, and what fails after what."""
LONGEST_WAY: Final = 40

routes = Blueprint("solving", __name__)


def solver() -> SolverProcesses:
    """The solver processes of the application that answers this request."""
    processes: SolverProcesses = current_app.extensions["solver"]
    return processes


@routes.post("/api/solve")
def solve() -> Response:
    sketch = body.json_body()
    count = body.number_of_parts(sketch)
    views, way = _views(), request.args.get("way")
    text = body.text(sketch)
    if views:
        asked = json.dumps({"with": views, "way": way})
        result = solver().explain(f'{asked[:-1]},"sketch":{text}}}'.encode(), count)
    else:
        result = solver().solve(text.encode(), count)
    return kept_nowhere(require_answer(result, "The network cannot be solved"))


def _views() -> list[str]:
    """What ?with= asks for. Raises Problem for what there is not, and for a way that no worked solution takes."""
    asked = request.args.get("with", "")
    views = list(dict.fromkeys(asked.split(","))) if asked else []
    for text in (*views, request.args.get("way", "")):
        if len(text) > LONGEST_WAY or (text in views and text not in VIEWS):
            raise problem("query-not-understood", text=text[:LONGEST_WAY])
    return views


@routes.post("/api/spread")
def spread() -> Response:
    result = solver().spread(body.text(body.json_body()).encode())
    return kept_nowhere(require_answer(result, "The spread cannot be worked out"))


@routes.post("/api/values")
def values() -> Response:
    result = solver().read_value(body.text(body.json_body()).encode())
    return kept_nowhere(require_answer(result, "The value is not understood"))


@routes.post("/api/line")
def line() -> Response:
    result = solver().line(body.text(body.json_body()).encode())
    return kept_nowhere(require_answer(result, "The line is not understood"))


@routes.post("/api/tidy")
def tidy() -> Response:
    sketch = body.json_body()
    result = solver().tidy(body.text(sketch).encode(), body.number_of_parts(sketch))
    return kept_nowhere(require_answer(result, "The sketch cannot be laid out"))


def require_answer(result: Result, refusal: str) -> bytes:
    """The JSON text of an answer. Raises Problem where there is none; `refusal` is its title where the input is why."""
    match result.outcome:
        case Outcome.ANSWER:
            return result.body
        case Outcome.REFUSED:
            refused = json.loads(result.body)
            raise Problem(422, refusal, [_fault(fault) for fault in refused["faults"]], stages=refused["stages"])
        case Outcome.TOO_SLOW:
            raise problem("too-slow", seconds=f"{solver().seconds:g}")
        case Outcome.MEMORY:
            raise problem("too-much-memory")
        case Outcome.BUSY:
            raise problem("busy", headers={"Retry-After": "2"})
        case _:
            raise problem("server-error")


def _fault(document: dict[str, object]) -> Fault:
    return Fault(
        str(document["code"]),
        str(document["text"]),
        tuple(document["parts"]),  # type: ignore[arg-type]
        tuple(document["joints"]),  # type: ignore[arg-type]
        document.get("at"),  # type: ignore[arg-type]
        document.get("instead"),  # type: ignore[arg-type]
    )


def kept_nowhere(content: str | bytes, mimetype: str = "application/json") -> Response:
    """An answer that no cache keeps."""
    return Response(content, mimetype=mimetype, headers={"Cache-Control": "no-store"})

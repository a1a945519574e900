"""What goes wrong and how it is told: one exception, one body (RFC 9457 problem details), one constructor.

The sentences of the web side stand under "web" in shared/messages.json; those about a network come from the solver.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from flask import Flask, Response, render_template, request
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from app.limits import BODY_BYTES
from app.shared_data import shared_data

log = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
CODES_BY_STATUS = {
    400: "bad-request",
    404: "not-found",
    405: "method-not-allowed",
    413: "body-too-large",
    415: "not-sent-as-json",
}


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong, as solver.faults has it: a code, the parts and joints concerned, one sentence.

    Of a line of text also the characters `at` which it lies, and whole lines that may have been meant `instead`.
    """

    code: str
    text: str
    parts: tuple[str, ...] = ()
    joints: tuple[str, ...] = ()
    at: Sequence[int] | None = None
    instead: Sequence[str] | None = None

    def document(self) -> dict[str, Any]:
        document = {"code": self.code, "parts": list(self.parts), "joints": list(self.joints), "text": self.text}
        place = {"at": self.at, "instead": self.instead} if self.at is not None else {}
        return document | place


class Problem(Exception):
    """Ends a request; becomes problem details under /api/ and a page elsewhere.

    `headers` go out with the answer; `version_now` is a sketch's current version where that is what stands in the way.
    """

    def __init__(
        self,
        status: int,
        title: str,
        faults: Sequence[Fault],
        *,
        headers: Mapping[str, str] | None = None,
        version_now: int | None = None,
        stages: list[Any] | None = None,
    ) -> None:
        super().__init__(faults[0].text)
        self.status = status
        self.title = title
        self.faults = tuple(faults)
        self.headers = dict(headers or {})
        self.version_now = version_now
        self.stages = stages

    def document(self) -> dict[str, Any]:
        """The body. One fault is its own detail; of several, `errors` has each and the detail counts them."""
        first, *others = self.faults
        document = {
            "type": f"urn:farandole:problem:{first.code}",
            "title": self.title,
            "status": self.status,
            "detail": f"{len(self.faults)} things are wrong. {first.text}" if others else first.text,
            "code": first.code,
            "parts": list(dict.fromkeys(part for fault in self.faults for part in fault.parts)),
            "joints": list(dict.fromkeys(joint for fault in self.faults for joint in fault.joints)),
            "errors": [fault.document() for fault in self.faults],
        }
        if self.version_now is not None:
            document["version"] = self.version_now
        if self.stages is not None:
            document["stages"] = self.stages
        return document


def problem(
    code: str, *, headers: Mapping[str, str] | None = None, version_now: int | None = None, **words: object
) -> Problem:
    """The problem that shared/messages.json describes under this code, with its words filled in."""
    message = shared_data("messages")["web"][code]
    fault = Fault(code, message["text"].format(**words))
    return Problem(message["status"], message["title"], [fault], headers=headers, version_now=version_now)


def answer(found: Problem) -> Response:
    """The response to a problem: details under /api/, a page for people elsewhere."""
    if request.path.startswith("/api/"):
        body = json.dumps(found.document(), ensure_ascii=False)
        response = Response(body, found.status, mimetype=MEDIA_TYPE)
    else:
        response = Response(render_template("problem.html", problem=found), found.status, mimetype="text/html")
    response.headers.update(found.headers)
    response.headers["Cache-Control"] = "no-store"
    return response


def _from_http(error: HTTPException) -> Problem:
    """What Flask and Werkzeug raise themselves: no such address, no such method, too long a body."""
    code = CODES_BY_STATUS.get(error.code or 500)
    if isinstance(error, MethodNotAllowed):
        allowed = ", ".join(sorted(error.valid_methods or ()))
        return problem("method-not-allowed", method=request.method, allowed=allowed, headers={"Allow": allowed})
    if code is None:
        status = error.code or 500
        return Problem(status, error.name, [Fault(f"http-{status}", str(error.description))])
    return problem(code, limit=BODY_BYTES // 1_000_000)


def answer_problems(app: Flask) -> None:
    """Have every failure of an application answered in the one shape."""

    @app.errorhandler(Problem)
    def known(error: Problem) -> Response:
        return answer(error)

    @app.errorhandler(HTTPException)
    def http(error: HTTPException) -> Response:
        if error.response is not None or (error.code is not None and error.code < 400):
            return error.get_response()  # type: ignore[return-value]
        return answer(_from_http(error))

    @app.errorhandler(DBAPIError)
    @app.errorhandler(PoolTimeoutError)
    def store(error: Exception) -> Response:
        log.error("The database did not answer as it should: %s", error)
        return answer(problem("store-unavailable", headers={"Retry-After": "5"}))

    @app.errorhandler(Exception)
    def unforeseen(error: Exception) -> Response:
        log.exception("A request ended in an error of the server's own", exc_info=error)
        return answer(problem("server-error"))

"""Why a job in a solver process has no answer, where its input is why: faults as the web interface sends them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import jsonschema_rs

from app.shared_data import shared_data


class Refused(Exception):
    """The input is why there is no answer; `faults` are as the web interface sends them, and `stages` where only the
    one shown is at fault."""

    def __init__(self, faults: Iterable[Mapping[str, Any]], stages: list[Any] | None = None) -> None:
        self.faults = list(faults)
        self.stages = stages


def require(schema: jsonschema_rs.Validator, document: Any, most: int | None = None) -> None:
    """Raises Refused with the first thing that the schema has against the document, in `most` characters."""
    error = next(schema.iter_errors(document), None)
    if error is not None:
        raise Refused([fault_of("request-not-understood", web_sentence(error.message[:most]))])


def fault_of(code: str, text: str) -> dict[str, Any]:
    """A fault that concerns no part and no joint."""
    return {"code": code, "parts": [], "joints": [], "text": text}


def web_sentence(reason: str) -> str:
    """Why a request is not understood, in a sentence."""
    text: str = shared_data("messages")["web"]["request-not-understood"]["text"]
    return text.format(reason=reason)


@contextmanager
def typeset() -> Iterator[None]:
    """Inside it a PDF is made: raises Refused where there is nothing to make it with, or a drawing is none of ours."""
    from app.drawings import DrawingRefused
    from app.typesetting import NoTypesetting

    try:
        yield
    except NoTypesetting:
        raise Refused([fault_of("no-pdf", shared_data("messages")["web"]["no-pdf"]["text"])]) from None
    except DrawingRefused as refusal:
        raise Refused([fault_of("request-not-understood", web_sentence(f"of a drawing, {refusal}"))]) from None

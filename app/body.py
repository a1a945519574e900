"""The body of a request, read strictly: JSON, in UTF-8, of a bounded size and depth, meaning one thing only."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any, NoReturn

from flask import request

from app.limits import BODY_BYTES, BODY_DEPTH
from app.problems import problem


class _Unacceptable(ValueError):
    """JSON that one reader takes one way and the next another; the message says what."""


def json_body() -> Any:
    """What was sent. Raises Problem: 400 not JSON, 413 too large, 415 not sent as JSON."""
    if request.mimetype != "application/json":
        raise problem("not-sent-as-json")
    data = request.get_data(cache=False)
    if len(data) > BODY_BYTES:  # one that is sent in chunks does not announce its length, and is read up to the limit
        raise problem("body-too-large", limit=BODY_BYTES // 1_000_000)
    return parse(data)


def parse(data: bytes) -> Any:
    """JSON text as Python's values. Raises Problem (400) with the reason where it is not good JSON."""
    try:
        document = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_object,
            parse_float=_finite,
            parse_constant=_no_constant,
        )
        _bound_depth(document)
        if b"\\u" in data:
            json.dumps(document, ensure_ascii=False).encode("utf-8")
    except RecursionError:
        raise problem("not-json", reason=f"it nests more than {BODY_DEPTH} deep") from None
    except UnicodeDecodeError:
        raise problem("not-json", reason="it is not in UTF-8") from None
    except UnicodeEncodeError:
        raise problem("not-json", reason="it has half a character in it") from None
    except json.JSONDecodeError as error:
        raise problem("not-json", reason=f"{error.msg} at line {error.lineno}, column {error.colno}") from None
    except _Unacceptable as error:
        raise problem("not-json", reason=error) from None
    except ValueError:  # Python's own limit to the digits of a whole number
        raise problem("not-json", reason="a number in it has too many digits") from None
    return document


def text(document: Any) -> str:
    """A document as the JSON text that is stored and handed to the solver: UTF-8, no spaces, the order kept."""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"))


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _Unacceptable(f"“{twice[:40]}” stands twice in one object")
    return members


def _finite(digits: str) -> float:
    number = float(digits)
    if math.isinf(number):
        raise _Unacceptable(f"the number {digits[:40]} is too large")
    return number


def _no_constant(name: str) -> NoReturn:
    raise _Unacceptable(f"{name} is not a number")


def _bound_depth(document: Any) -> None:
    level: list[Any] = [document]
    for _ in range(BODY_DEPTH):
        level = [inner for outer in level for inner in _members(outer) if isinstance(inner, dict | list)]
        if not level:
            return
    raise RecursionError


def _members(value: Any) -> Iterable[Any]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


def number_of_parts(sketch: Any) -> int:
    """How many parts a sketch that came in says it has; 0 for what is no sketch, which is refused later."""
    parts = sketch.get("parts") if isinstance(sketch, dict) else None
    return len(parts) if isinstance(parts, list) else 0

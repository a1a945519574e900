"""What a solver process does with a job: asks `solver`, and writes its answer or its faults as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

import jsonschema_rs

from app.shared_data import shared_data
from solver import Sketch, SketchFaults, solve
from solver.format import format_number
from solver.kinds import KINDS
from solver.preferred import ladder
from solver.quantities import Quantity
from solver.schema import require_sketch
from solver.solving import solution_of, solve_network
from solver.values import Value, ValueFault, fault_of_size, read_text, read_value, tidy

FIGURES = 3
_TYPED_VALUE = jsonschema_rs.Draft202012Validator(shared_data("openapi")["components"]["schemas"]["TypedValue"])

Answer = tuple[str, bytes]


class _Refused(Exception):
    """The input is why there is no answer; `faults` are as the web interface sends them."""

    def __init__(self, faults: Iterable[Mapping[str, Any]]) -> None:
        self.faults = list(faults)


def get_ready() -> None:
    """Solve and read something small, so that whatever is loaded when first needed is there before the first job."""
    battery = {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"}
    capacitor = {"name": "C1", "kind": "capacitor", "value": "C", "from": "a", "to": "0"}
    carry_out("solve", "long", {"joints": {"a": [0, 0], "0": [0, 1]}, "parts": [battery, capacitor]})
    carry_out("value", "quick", {"text": "22 µF"})


def carry_out(job: str, lane: str, document: Any) -> Answer:
    """An outcome (see app.solver_process.Outcome) and its JSON text. `job` is named as in SolverProcesses."""
    try:
        match job:
            case "solve":
                return _solve(document, lane)
            case "explain":
                return _explain(document, lane)
            case "check":
                require_sketch(document)
                return "answer", b"null"
            case "value":
                return "answer", _json(_typed_value(document))
            case _:
                raise ValueError(job)
    except SketchFaults as refusal:
        return "refused", _json([fault.document() for fault in refusal.faults])
    except _Refused as refusal:
        return "refused", _json(refusal.faults)


def _solve(document: Any, lane: str) -> Answer:
    sketch = Sketch.read(document)
    if lane == "quick" and _has_symbols(sketch):
        return "long", b""
    return "answer", solve(sketch).json()


def _explain(document: Any, lane: str) -> Answer:
    """The solution, and each view that is asked for as one more member of it."""
    sketch = Sketch.read(document["sketch"])
    if lane == "quick" and _has_symbols(sketch):
        return "long", b""
    solved = solve_network(sketch)
    solution = solution_of(solved)
    members = [solution.json()[:-1]]
    for view in document["with"]:
        match view:
            case "tiles":
                from solver.tiles import tiles_of

                shown = tiles_of(solved, solution).document()
            case "steps":
                from solver.steps import steps_of

                shown = steps_of(solved, solution, document["way"]).document()
            case "line":
                from solver.say_it import line_of

                shown = line_of(solved, solution).document()
            case _:
                raise ValueError(view)
        members.append(b'"%s":%s' % (view.encode(), _json(shown)))
    return "answer", b",".join(members) + b"}"


def _has_symbols(sketch: Sketch) -> bool:
    """Whether a value is a symbol: exact answers in symbols can take long however small the network is."""
    for part in sketch.parts:
        kind = KINDS[part.kind]
        texts = [(part.value, kind.quantity)] + [
            (getattr(part, place), kind.optional[place]) for place in kind.optional
        ]
        if any(text and quantity and _is_symbol(text, quantity) for text, quantity in texts):
            return True
    return False


def _is_symbol(text: str, quantity: Quantity) -> bool:
    try:
        return read_value(text, quantity).symbol is not None
    except ValueFault:
        return False


def _typed_value(document: Any) -> dict[str, Any]:
    """The answer of POST /api/values, as ReadValue in shared/openapi.json has it."""
    error = next(_TYPED_VALUE.iter_errors(document), None)
    if error is not None:
        raise _Refused([_fault("request-not-understood", _web_sentence(error.message))])
    if "kind" in document:
        return _value_of_kind(document["text"], document["kind"], document.get("place", "value"))
    typed = read_text(document["text"])
    if typed.kind is None:
        raise _Refused([_fault(typed.fault.code if typed.fault else "value-not-understood", typed.feedback)])
    return _read_value(typed.kind, typed.tidied, typed.feedback, typed.value) | {"closed": typed.closed}


def _value_of_kind(text: str, name: str, place: str) -> dict[str, Any]:
    kind = KINDS[name]
    quantity = kind.quantity if place == "value" else kind.optional.get(place)
    if quantity is None:
        raise _Refused([_fault("request-not-understood", _web_sentence(f"a {kind.word} has no “{place}”"))])
    try:
        value = read_value(text, quantity)
        fault = fault_of_size(value) if place == "value" else None
    except ValueFault as refusal:
        fault = refusal
    if fault:
        raise _Refused([_fault(fault.code, str(fault))])
    tidied = tidy(value)
    return _read_value(name, tidied, "" if tidied == value.text else f"read as {tidied}", value)


def _read_value(kind: str, tidied: str, feedback: str, value: Value | None) -> dict[str, Any]:
    steps = ladder(value, value.quantity) if value and value.quantity else None
    return {
        "kind": kind,
        "quantity": value.quantity.value if value and value.quantity else None,
        "text": tidied,
        "feedback": feedback,
        "reading": _reading(value) if value and value.symbol is None else None,
        "steps": list(steps.texts) if steps else [],
        "position": steps.position if steps else None,
        "closed": None,
    }


def _reading(value: Value) -> dict[str, Any]:
    unit = value.quantity.unit if value.quantity else ""
    number = int(value.factor.numer()) / int(value.factor.denom())
    return {"exact": str(value.factor), "value": number, "text": format_number(value.factor, unit, FIGURES)}


def _fault(code: str, text: str) -> dict[str, Any]:
    return {"code": code, "parts": [], "joints": [], "text": text}


def _web_sentence(reason: str) -> str:
    text: str = shared_data("messages")["web"]["request-not-understood"]["text"]
    return text.format(reason=reason)


def _json(document: Any) -> bytes:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()

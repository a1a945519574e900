"""Holds a document against shared/sketch.schema.json and puts every violation into words.

The schema decides; this module only finds the words, so a document passes here exactly when it passes the schema.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import jsonschema_rs

from solver.faults import MissingKey, SketchFault, SketchFaults, SketchNotUnderstood, UnknownKey, WrongContent

SCHEMA_FILE: Final = Path(__file__).resolve().parent.parent / "shared" / "sketch.schema.json"
_SCHEMA: Final[dict[str, Any]] = json.loads(SCHEMA_FILE.read_text("utf-8"))
_VALIDATOR: Final = jsonschema_rs.Draft202012Validator(_SCHEMA)
_PART: Final[dict[str, Any]] = _SCHEMA["$defs"]["part"]
_KINDS: Final[list[str]] = _PART["properties"]["kind"]["enum"]
_BRANCHES: Final[dict[str, int]] = {
    branch["properties"]["kind"]["const"]: index for index, branch in enumerate(_PART["oneOf"])
}
_SHOWN: Final = 30

_TYPE_WORDS: Final = {
    "string": "a text",
    "integer": "a whole number",
    "object": "a set of named entries",
    "array": "a list",
    "boolean": "true or false",
}
_PATTERN_WORDS: Final = {
    _SCHEMA["$defs"]["jointId"]["pattern"]: "a joint is called by 1 to 20 letters, digits and underscores",
    _SCHEMA["$defs"]["name"]["pattern"]: "a name is 1 to 20 letters, digits and underscores, the first one a letter",
}


def require_sketch(document: object) -> None:
    """Raises SketchFaults, with a sentence for each violation, unless the document passes the schema."""
    try:
        if _VALIDATOR.is_valid(document):
            return
        found = SketchFaults(_faults(document))
    except (ValueError, TypeError, OverflowError) as error:
        # What JSON cannot hold (keys that are no text, endless nesting) the validator refuses to look at.
        reason = "it is nested too deeply" if "ecursion" in str(error) else "it holds something that JSON has not"
        raise SketchFaults([SketchNotUnderstood(reason=reason)]) from None
    raise found


def _faults(document: object) -> Iterator[SketchFault]:
    if not isinstance(document, Mapping):
        yield SketchNotUnderstood(reason="a sketch is a set of named entries such as “joints” and “parts”")
        return
    for error in _VALIDATOR.iter_errors(document):
        yield from _in_words(document, list(error.instance_path), error)


def _in_words(document: Mapping[str, Any], path: list[Any], error: Any) -> Iterator[SketchFault]:
    kind = error.kind
    where, parts, joints = _place(document, path)
    match kind.name:
        case "additionalProperties":
            for key in kind.unexpected:
                yield UnknownKey(parts=parts, joints=joints, where=where, key=_short(key), owner="a sketch")
        case "unevaluatedProperties":
            part = _found(document, path)
            for key in kind.unexpected:
                if key not in _branch_keys(part):
                    yield UnknownKey(parts=parts, where=where, key=_short(key), owner=f"a {part['kind']}")
        case "oneOf" if path[:1] == ["questions"]:
            yield WrongContent(
                where=where, reason="it has to ask either what the reading reaches or what it is at a time"
            )
        case "oneOf":
            yield from _branch_faults(document, path, error)
        case "required":
            yield MissingKey(parts=parts, joints=joints, where=where, key=_short(kind.property))
        case _:
            if kind.name == "propertyNames":
                kind = kind.error.kind
            yield WrongContent(parts=parts, joints=joints, where=where, reason=_reason(kind))


def _branch_keys(part: object) -> set[str]:
    kind = part.get("kind") if isinstance(part, Mapping) else None
    if not isinstance(kind, str) or kind not in _BRANCHES:
        # Nothing can be said of the entries before the kind is known; the kind has its own sentence.
        return set(part) if isinstance(part, Mapping) else set()
    return set(_PART["oneOf"][_BRANCHES[kind]]["properties"])


def _branch_faults(document: Mapping[str, Any], path: list[Any], error: Any) -> Iterator[SketchFault]:
    part = _found(document, path)
    kind = part.get("kind") if isinstance(part, Mapping) else None
    if isinstance(kind, str) and kind in _BRANCHES:
        for deeper in error.kind.context[_BRANCHES[kind]]:
            yield from _in_words(document, _joined(path, list(deeper.instance_path)), deeper)


def _joined(path: list[Any], deeper: list[Any]) -> list[Any]:
    return deeper if deeper[: len(path)] == path else path + deeper


def _found(document: Any, path: list[Any]) -> Any:
    for step in path:
        document = document[step]
    return document


def _place(document: Mapping[str, Any], path: list[Any]) -> tuple[str, list[str], list[str]]:
    """How a sentence speaks of a place in the document, and the parts and joints that lie there."""
    match path:
        case []:
            return "The sketch", [], []
        case ["parts", int(index), *rest]:
            part = document["parts"][index]
            name = part.get("name") if isinstance(part, Mapping) else None
            names = [name] if isinstance(name, str) and 0 < len(name) <= _SHOWN else []
            where = f"part {names[0]}" if names else f"part number {index + 1}"
            return f"“{rest[0]}” of {where}" if rest else where[0].upper() + where[1:], names, []
        case ["joints", str(joint), *_]:
            return f"Joint {_short(joint)}", [], [joint]
        case ["joints"]:
            return "The set of joints", [], []
        case ["probes", int(index), *_]:
            return f"Probe number {index + 1}", [], []
        case ["required", int(index), *_]:
            return f"Requirement {index + 1}", [], []
        case ["questions", int(index), *_]:
            return f"Question {index + 1}", [], []
        case ["stages", int(index), *rest]:
            stage = f"Stage {index + 1}"
            return f"“{_short(str(rest[0]))}” of {stage.lower()}" if rest else stage, [], []
        case _:
            return f"“{_short(path[0])}” of the sketch", [], []


def _reason(kind: Any) -> str:
    match kind.name:
        case "type":
            types = [kind.types] if isinstance(kind.types, str) else list(kind.types)
            return f"it has to be {' or '.join(_TYPE_WORDS.get(name, name) for name in types)}"
        case "enum":
            options = list(kind.options) if not isinstance(kind.options, str) else json.loads(kind.options)
            return f"it has to be one of {', '.join(map(str, options))}"
        case "pattern":
            return _PATTERN_WORDS[kind.pattern]
        case "minimum" | "maximum":
            return f"it may be {kind.limit} at {'least' if kind.name == 'minimum' else 'most'}"
        case "minLength":
            return "it is empty"
        case "maxLength":
            return f"it is longer than {kind.limit} characters"
        case "minItems" | "maxItems" | "maxProperties":
            return f"it may have {kind.limit} entries at {'least' if kind.name == 'minItems' else 'most'}"
        case "uniqueItems":
            return "it says the same twice"
        case _:
            return f"it does not keep to the rule “{kind.name}”"


def _short(text: str) -> str:
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"

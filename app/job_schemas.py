"""What a request to a solver process has to be, as shared/openapi.json describes it."""

from __future__ import annotations

import jsonschema_rs

from app.shared_data import shared_data

_SCHEMAS = shared_data("openapi")["components"]["schemas"]


def _around_a_sketch(name: str) -> jsonschema_rs.Validator:
    """What a request has to be; the sketch in it has a schema, and sentences, of its own."""
    schema = _SCHEMAS[name]
    place = {"components": {"schemas": {"SpreadPlace": _SCHEMAS["SpreadPlace"]}}}
    return jsonschema_rs.Draft202012Validator(
        {**schema, **place, "properties": {**schema["properties"], "sketch": True}}
    )


def _of_bank(name: str) -> jsonschema_rs.Validator:
    named = {key: schema for key, schema in _SCHEMAS.items() if key.startswith("Bank")}
    return jsonschema_rs.Draft202012Validator({**_SCHEMAS[name], "components": {"schemas": named}})


TYPED_VALUE = jsonschema_rs.Draft202012Validator(_SCHEMAS["TypedValue"])
COMPARISON = _around_a_sketch("ComparisonRequest")
LINE = _around_a_sketch("LineRequest")
OFFLINE = _around_a_sketch("OfflineRequest")
SPREAD = _around_a_sketch("SpreadRequest")
HANDOUT = _around_a_sketch("HandoutRequest")
BANK = {
    job: _of_bank(name)
    for job, name in (
        ("bank", "BankWish"),
        ("bank-search", "BankSearch"),
        ("bank-sketch", "BankDrawing"),
        ("bank-handout", "BankDrawing"),
        ("bank-pdf", "BankHandout"),
    )
}

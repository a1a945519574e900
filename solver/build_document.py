"""Builds as a document, for the side view of a capacitor and for the form that changes one."""

from __future__ import annotations

import re
from typing import Any, Final

import flint

from solver.build_words import build_words
from solver.built import Built, built_of
from solver.format import format_number
from solver.geometry import ASKED, Build, Layer, Shape
from solver.merging import merges_of
from solver.numerals import decimal_text, take_numeral
from solver.quantities import Quantity
from solver.rounding import round_ratio
from solver.solving import SolvedNetwork

_FIGURES: Final = 4
# What a person types is shorter: this is a size that was found.
_LONG_NUMBER: Final = re.compile(r"^(?=(?:[0-9]\.?){7})[0-9]*\.[0-9]+(?= )")


def builds_document(solved: SolvedNetwork) -> dict[str, Any]:
    """The capacitors that are given by their build, as charged, and which capacitors are together like one."""
    built = built_of(solved.sketch, solved.outcome, solved.writing)
    return {
        "parts": {name: charged_document(each) for name, each in built.items()},
        "merges": [merge.document() for merge in merges_of(solved, built)],
    }


def build_document(build: Build) -> dict[str, Any]:
    """A build: its shape, its sizes (SI units and as typed), what fills it."""
    return {
        "words": build_words(build),
        "shape": build.shape.value,
        "stacked": build.stacked,
        "sizes": [_size(size, text) for size, text in zip(build.sizes, build.written, strict=True)],
        "layers": [layer_document(layer, build.shape) for layer in build.layers],
    }


def layer_document(layer: Layer, shape: Shape) -> dict[str, Any]:
    """A layer or strip: `thickness` is None but between plates, `strength` where none is listed."""
    dielectric = layer.dielectric
    strength = dielectric.strength
    return {
        "name": dielectric.name,
        "words": dielectric.words,
        "constant": float(dielectric.constant),
        "strength": None if strength is None else format_number(strength, Quantity.FIELD.unit, 3),
        "thickness": _size(layer.thickness, layer.written) if shape is Shape.PLATES else None,
        "share": {"value": float(layer.share), "text": str(layer.share)},
    }


def charged_document(built: Built) -> dict[str, Any]:
    """A build with the field and the charge density of each layer, whether it is past its strength, and which one is
    the first to break down."""
    document = build_document(built.build)
    limits = [limit for limit in built.build.breakdowns() if limit is not None]
    each = zip(built.fields(), built.densities(), built.past(), built.build.breakdowns(), strict=True)
    for layer, (field, density, past, limit) in zip(document["layers"], each, strict=True):
        layer |= {
            "field": field.document(),
            "density": density.document(),
            "past": past,
            "weakest": limit is not None and limit == min(limits),
        }
    return document


def _size(size: flint.fmpq, text: str) -> dict[str, Any]:
    """`value` is None of a size that is “?”; `shown` is the text to draw, which has few figures."""
    value = None if text.startswith(ASKED) else float(size)
    return {"value": value, "text": text, "shown": _LONG_NUMBER.sub(_rounded, text)}


def _rounded(number: re.Match[str]) -> str:
    exact = take_numeral(number[0])[0].exact
    digits, power = round_ratio(int(exact.p), int(exact.q), _FIGURES)
    text = decimal_text(str(digits), power - _FIGURES + 1)
    return text.rstrip("0").rstrip(".") if "." in text else text

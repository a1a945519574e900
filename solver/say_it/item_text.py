"""Reads the text of one part in a line: its name, its value, and what stands in brackets after it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from solver.kinds import KINDS, MORE_THAN_ZERO, PLACE_WORDS
from solver.quantities import Quantity
from solver.say_it import faults
from solver.say_it.description import Item
from solver.say_it.faults import Mistakes
from solver.say_it.tokens import QUOTED, Token
from solver.tolerance_text import TAKES_TOLERANCE, read_tolerance
from solver.value_faults import ValueFault
from solver.values import UNKNOWN, Value, asked_kind, read_text, read_value, tidy

NAME: Final = re.compile(r"[A-Za-zΑ-Ωα-ω][A-Za-zΑ-Ωα-ω0-9_]{0,19}")
"""As in shared/sketch.schema.json."""

_UNREAD: Final = Item("wire")
_BETWEEN_EXTRAS: Final = re.compile(r";|,(?!\s*\d)|\band\b")


@dataclass(frozen=True, slots=True)
class Extra:
    """What brackets after a part can say: the entry it sets, how it is written, and an example of it."""

    entry: str
    pattern: re.Pattern[str]
    words: str
    example: str


EXTRAS: Final = (
    Extra("tolerance", re.compile(r"((?:±|[+−-]|[0-9]).*(?:%|per ?cent|F))", re.I | re.S), "a tolerance", "±10 %"),
    Extra("initial", re.compile(r"(?:starts?|starting)\s+at\b(.*)", re.I | re.S), "starts at", "starts at 3 V"),
    Extra("rated", re.compile(r"rated\b(?:\s+(?:at|for)\b)?(.*)", re.I | re.S), "rated", "rated 16 V"),
    Extra(
        "reverse",
        re.compile(r"reversed?\b(?:\s+at\s+most\b)?(.*)", re.I | re.S),
        "reversed at most",
        "reversed at most 1 V",
    ),
    Extra("internal", re.compile(r"inside\b(.*)", re.I | re.S), "inside", "inside 0.5 Ω"),
    Extra("turned", re.compile(r"turned(?:\s+round)?", re.I), "turned", "turned"),
)


def extras_of(kind: str) -> list[Extra]:
    """What can be said of a part of this kind. A wire has no ends to tell apart."""
    tolerance = ("tolerance",) if kind in TAKES_TOLERANCE else ()
    takes = {*KINDS[kind].optional, *tolerance, *(() if kind == "wire" else ("turned",))}
    return [extra for extra in EXTRAS if extra.entry in takes]


def read_item(
    text: Token, extras: Token | None, place: Quantity | None, mistakes: Mistakes, known: Mapping[str, Item]
) -> Item:
    """The part that a text makes, with what is said in brackets after it.

    `place` is EMF before a colon, else None. A bare name of a `known` part is that part; brackets after it say anew
    what they speak of. What is wrong is noted; an item is returned all the same.
    """
    if item := known.get(text.text):
        if place is Quantity.EMF and item.kind != "battery":
            mistakes.note("line-battery", faults.not_a_battery(text.text, KINDS[item.kind].word), text.span)
        return _with_extras(item, extras, mistakes, set()) if extras else item
    before, equals, _ = text.text.partition("=")
    name, value = None, text
    if equals and not QUOTED.match(text.text):
        name = text.portion(0, len(before))
        value = text.portion(len(before) + 1, len(text.text))
        if not NAME.fullmatch(name.text):
            mistakes.note("line-name", faults.name_not_understood(name.text), name.span)
        if not value.text:
            mistakes.note("line-name", faults.nothing_named(name.text), text.span)
            return _UNREAD
    if quoted := QUOTED.fullmatch(value.text):
        value = value.portion(*quoted.span(1))
    if value.text == UNKNOWN or (place is Quantity.EMF and asked_kind(value.text) == "battery"):
        item = _to_be_found(name, value, place, mistakes)
    else:
        item = _battery(value, mistakes) if place is Quantity.EMF else _any_part(value, mistakes)
    if item is None:
        return _UNREAD
    if name and item.kind == "wire":
        mistakes.note("line-name", faults.name_on_wire(), name.span)
    elif name:
        item = replace(item, name=name.text)
    said = {extra.entry for extra in EXTRAS if getattr(item, extra.entry)}
    return _with_extras(item, extras, mistakes, said) if extras else item


def _to_be_found(name: Token | None, text: Token, place: Quantity | None, mistakes: Mistakes) -> Item | None:
    """A part whose value is asked for: what it is, the letter that begins its name says."""
    if place is Quantity.EMF:
        return Item("battery", UNKNOWN)
    kind = kind_by_letter(name.text) if name else None
    if kind is None:
        mistakes.note("line-value", faults.name_for_unknown(), text.span)
        return None
    return Item(kind, UNKNOWN)


def kind_by_letter(name: str) -> str | None:
    """The kind of part that has a value and whose names begin with the letter of this one.

    >>> kind_by_letter("C4"), kind_by_letter("S1")
    ('capacitor', None)
    """
    return next((kind.name for kind in KINDS.values() if kind.quantity and name.startswith(kind.letter)), None)


def _battery(text: Token, mistakes: Mistakes) -> Item | None:
    try:
        return Item("battery", tidy(read_value(text.text, Quantity.EMF)))
    except ValueFault as fault:
        other = read_text(text.text).kind
        sentence = faults.not_a_battery(text.text, other) if other else faults.about_value(text.text, fault)
        mistakes.note("line-battery" if other else "line-value", sentence, text.span)
        return None


def _any_part(text: Token, mistakes: Mistakes) -> Item | None:
    typed = read_text(text.text)
    if typed.kind is None:
        assert typed.fault is not None  # a text that makes no part has one
        mistakes.note("line-value", faults.about_value(text.text, typed.fault), text.span)
        return None
    if KINDS[typed.kind].quantity is None:
        return Item(typed.kind, closed=typed.closed)
    tolerance = typed.tolerance.text if typed.tolerance else None
    return Item(typed.kind, typed.tidied, rated=typed.rated, tolerance=tolerance)


def _with_extras(item: Item, extras: Token, mistakes: Mistakes, said: set[str]) -> Item:
    known = extras_of(item.kind)
    for piece in _pieces(extras):
        for extra in known:
            if match := extra.pattern.fullmatch(piece.text):
                break
        else:
            mistakes.note("line-extra", faults.unknown_extra(item.kind, [each.example for each in known]), piece.span)
            continue
        if extra.entry in said:
            mistakes.note("line-extra", faults.extra_twice(extra.words), piece.span)
            continue
        said.add(extra.entry)
        if extra.entry == "turned":
            item = replace(item, turned=True)
        elif extra.entry == "tolerance":
            item = replace(item, tolerance=_tolerance(piece, mistakes))
        elif value := _value(item, extra, piece.portion(match.start(1), match.end(1)), mistakes):
            texts: dict[str, Any] = {extra.entry: tidy(value)}
            item = replace(item, **texts)
    return item


def _tolerance(text: Token, mistakes: Mistakes) -> str | None:
    try:
        return read_tolerance(text.text).text
    except ValueFault as fault:
        mistakes.note("line-value", faults.about_value(text.text, fault), text.span)
        return None


def _pieces(extras: Token) -> Iterator[Token]:
    begin = 0
    for cut in [*_BETWEEN_EXTRAS.finditer(extras.text), None]:
        end = cut.start() if cut else len(extras.text)
        yield extras.portion(begin, end)
        begin = cut.end() if cut else end


def _value(item: Item, extra: Extra, text: Token, mistakes: Mistakes) -> Value | None:
    quantity = KINDS[item.kind].optional[extra.entry]
    try:
        value = read_value(text.text, quantity)
    except ValueFault as fault:
        mistakes.note("line-value", faults.about_value(text.text, fault), text.span)
        return None
    what = PLACE_WORDS[extra.entry]
    if extra.entry in MORE_THAN_ZERO and value.factor <= 0:
        mistakes.note("line-value", faults.not_positive(text.text, what), text.span)
    if extra.entry == "internal" and value.factor < 0:
        mistakes.note("line-value", faults.negative(text.text, what), text.span)
    return value

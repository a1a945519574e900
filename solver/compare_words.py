"""Ratios in words, as a class says them: "a third of the voltage", "nine times the energy", "2.25 times the charge"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

import flint

from solver.faults import listing
from solver.format import format_number

_COUNTS: Final = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_ORDINALS: Final = (
    "", "", "half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"
)  # fmt: skip
FINEST: Final = len(_ORDINALS) - 1
"""The smallest share that has a name: a twelfth."""


def count_word(number: int) -> str:
    """A number of things as a word, from thirteen on in digits."""
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def share(ratio: flint.fmpq) -> str | None:
    """A proper fraction by its name, None where it has none that a class would use.

    >>> [share(flint.fmpq(*pair)) for pair in ((1, 2), (1, 3), (2, 3), (1, 8), (5, 12), (3, 17), (4, 3))]
    ['half', 'a third', 'two thirds', 'an eighth', 'five twelfths', None, None]
    """
    top, bottom = int(ratio.p), int(ratio.q)
    if not 0 < top < bottom <= FINEST:
        return None
    if bottom == 2:
        return "half"
    if top == 1:
        return f"{'an' if _ORDINALS[bottom][0] == 'e' else 'a'} {_ORDINALS[bottom]}"
    return f"{_COUNTS[top]} {_ORDINALS[bottom]}s"


def share_of(ratio: flint.fmpq, whole: str) -> str | None:
    """A share of something; None where it is no share or has no name.

    >>> share_of(flint.fmpq(1, 2), "the voltage"), share_of(flint.fmpq(1, 2), "it"), share_of(flint.fmpq(1), "it")
    ('half the voltage', 'half of it', 'all of it')
    """
    if ratio == 1:
        return f"all of {whole}"
    named = share(ratio)
    if named == "half" and whole != "it":
        return f"half {whole}"
    return named and f"{named} of {whole}"


def multiple(ratio: flint.fmpq, figures: int) -> str:
    """How many times, as it stands before "the voltage"; the ratio is positive and not one.

    >>> [multiple(flint.fmpq(*pair), 3) for pair in ((2, 1), (9, 1), (144, 1), (9, 4), (1, 3), (1, 2), (22, 7))]
    ['twice', 'nine times', '144 times', '2.25 times', 'a third of', 'half', '3.14 times']
    >>> multiple(flint.fmpq(999, 998), 2)
    'hardly more than'
    """
    if named := share(ratio):
        return named if named == "half" else f"{named} of"
    if ratio == 2:
        return "twice"
    if ratio.q == 1 and ratio.p < len(_COUNTS):
        return f"{_COUNTS[int(ratio.p)]} times"
    if hardly_one(ratio, figures):
        return f"hardly {'more' if ratio > 1 else 'less'} than"
    return f"{decimal(ratio, figures)} times"


def hardly_one(ratio: flint.fmpq, figures: int) -> bool:
    """Whether a ratio that is not one is written as one to so many figures.

    >>> [hardly_one(flint.fmpq(top, 10000), 3) for top in (9994, 9996, 10000, 10049, 10051)]
    [False, True, False, True, False]
    """
    most = flint.fmpq(5, 10 ** (figures if ratio > 1 else figures + 1))
    return bool(ratio != 1 and abs(ratio - 1) < most)


def so_much(ratio: flint.fmpq, noun: str, figures: int) -> str:
    """So many times something.

    >>> so_much(flint.fmpq(1), "charge", 3), so_much(flint.fmpq(2, 3), "charge", 3)
    ('the same charge', 'two thirds of the charge')
    >>> so_much(flint.fmpq(1001, 1000), "charge", 3)
    'hardly more than the charge'
    """
    return f"the same {noun}" if ratio == 1 else f"{multiple(ratio, figures)} the {noun}"


def decimal(ratio: flint.fmpq, figures: int) -> str:
    """A pure number as a decimal: in full where that is no longer than rounded, else rounded.

    >>> decimal(flint.fmpq(9, 4), 4), decimal(flint.fmpq(5), 3), decimal(flint.fmpq(2, 3), 3)
    ('2.25', '5', '0.667')
    >>> decimal(flint.fmpq(1234), 3), decimal(flint.fmpq(12345), 3)
    ('1234', '12\u202f345')
    """
    if ratio.q == 1 and abs(ratio.p) < 10**6:
        return _in_threes(str(int(ratio.p)).replace("-", "−"))
    text = format_number(ratio, "", figures)
    short = text.rstrip("0").rstrip(".") if "." in text and "×" not in text else text
    try:
        return _in_threes(short if Fraction(short.replace("−", "-")) == Fraction(int(ratio.p), int(ratio.q)) else text)
    except ValueError:  # with a power of ten
        return text


def _in_threes(text: str) -> str:
    """Digits in groups of three where there are more than four, as the SI Brochure has it (5.4.4)."""
    return re.sub(r"\B(?=(\d{3})+$)", "\u202f", text) if re.fullmatch(r"−?\d{5,}", text) else text


def sentence(text: str) -> str:
    """With a capital letter and a full stop; names of parts keep their case."""
    return f"{text[0].upper()}{text[1:]}."


def together(phrases: Sequence[str]) -> str:
    """Phrases as one: "in series, in parallel and as it is"."""
    return listing(phrases)

"""The units a value may be written in: every spelling, with its quantity and its power of ten.

pint holds the units' definitions and does the conversion. It is loaded when the first unit is looked up, so that
importing the solver stays quick, and never sees typed text: only names put together here from the table in
shared/kinds.json.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final

import flint

from solver.kinds import KINDS_FILE

if TYPE_CHECKING:
    import pint

_FILE: Final = json.loads(KINDS_FILE.read_text("utf-8"))
PREFIXES: Final[dict[str, int]] = _FILE["prefixes"]
_PREFIX_WORDS: Final[dict[str, str]] = _FILE["prefixWords"]

# The SI Brochure's definitions (9th edition, tables 2 and 4), with volt to ampere as far as circuits need them.
_DEFINITIONS: Final = (
    "second = [time]",
    "metre = [length]",
    "gram = [mass]",
    "ampere = [current]",
    "hertz = 1 / second",
    "joule = 1000 * gram * metre ** 2 / second ** 2",
    "watt = joule / second",
    "coulomb = ampere * second",
    "volt = joule / coulomb",
    "farad = coulomb / volt",
    "ohm = volt / ampere",
    "henry = volt * second / ampere",
)
_NAMES: Final = {"F": "farad", "Ω": "ohm", "V": "volt", "C": "coulomb"}
# Units that no value is written in; known so that "3 A" can be answered by what it is.
_OTHERS: Final = {"A": "ampere", "J": "joule", "W": "watt", "H": "henry", "Hz": "hertz", "s": "second", "m": "metre"}
_QUANTITY_WORDS: Final = {
    "farad": "capacitance",
    "ohm": "resistance",
    "volt": "voltage",
    "coulomb": "charge",
    "ampere": "current",
    "joule": "energy",
    "watt": "power",
    "henry": "inductance",
    "hertz": "frequency",
    "second": "time",
    "metre": "length",
}
# Lower-case farads and volts, where nothing else is meant. "mf" is left out: old labels mean microfarads by it.
_LENIENT: Final = {
    **{f"{letter}f": (prefix, "F") for letter, prefix in (("µ", "µ"), ("u", "µ"), ("n", "n"), ("p", "p"))},
    **{f"{letter}v": (prefix, "V") for letter, prefix in (("", ""), ("µ", "µ"), ("u", "µ"), ("m", "m"), ("k", "k"))},
}
_WRITTEN: Final[dict[str, list[str]]] = _FILE["unitSpellings"] | {
    symbol: [symbol, name, f"{name}s"] for symbol, name in _OTHERS.items()
}
_ELIDED: Final = {"kilohm": ("k", "Ω"), "kilohms": ("k", "Ω"), "megohm": ("M", "Ω"), "megohms": ("M", "Ω")}


@dataclass(frozen=True)
class Unit:
    """A unit as written: `symbol` is the SI unit's, `factor` how many of those it is (exact), `quantity` a word."""

    prefix: str
    symbol: str
    factor: flint.fmpq
    quantity: str


@cache
def registry() -> pint.UnitRegistry[Fraction]:
    """pint's registry of the units known here, made once; its numbers are exact fractions."""
    import pint

    units: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    for prefix, power in PREFIXES.items():
        if prefix:
            units.define(f"{_PREFIX_WORDS[prefix]}- = 1e{power}")
    for definition in _DEFINITIONS:
        units.define(definition)
    return units


@cache
def _signs() -> dict[str, tuple[str, str]]:
    """Spellings that begin with a prefix's sign, or none: "µF", "kohm", "V" → prefix and symbol."""
    letters = {"u": "µ", "K": "k"} | {prefix: prefix for prefix in PREFIXES}
    return _LENIENT | {
        letter + spelling: (prefix, symbol)
        for symbol, spellings in _WRITTEN.items()
        for spelling in spellings
        for letter, prefix in letters.items()
    }


@cache
def _words() -> dict[str, tuple[str, str]]:
    """Spellings in full words and small letters: "microfarads", "ohm" → prefix and symbol."""
    return _ELIDED | {
        word + spelling.lower(): (prefix, symbol)
        for symbol, spellings in _WRITTEN.items()
        for spelling in spellings
        if len(spelling) > 2
        for prefix, word in _PREFIX_WORDS.items()
    }


@cache
def _exact_unit(prefix: str, symbol: str) -> Unit:
    name = (_NAMES | _OTHERS)[symbol]
    units = registry()
    quantity = units.Quantity(Fraction(1), _PREFIX_WORDS[prefix] + name)
    factor = Fraction(quantity.to(name).magnitude)
    word = next(word for base, word in _QUANTITY_WORDS.items() if quantity.check(units.Unit(base).dimensionality))
    return Unit(prefix, symbol, flint.fmpq(factor.numerator, factor.denominator), word)


def find_unit(spelling: str) -> Unit | None:
    """The unit that `spelling` means (micro as µ U+00B5, ohm as Ω U+03A9), or None where no unit is spelt so.

    Full words are read in any case, signs only as they are: mF is a millifarad, MF a megafarad.

    >>> find_unit("µF").factor, find_unit("KOhm").symbol, find_unit("parsec")
    (1/1000000, 'Ω', None)
    """
    signs = _signs()
    entry = signs.get(spelling)
    if entry is None and len(spelling) > 2:
        entry = signs.get(spelling[0] + spelling[1:].lower()) or _words().get(spelling.lower())
    return _exact_unit(*entry) if entry else None

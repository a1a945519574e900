"""Writes a value back in the one tidy spelling: "22uf" as "22 µF", "4u7" as "4.7 µF", the digits kept as typed.

Number, space, prefix and unit, as the SI Brochure (5.4.3) writes quantities.
"""

from __future__ import annotations

from typing import Final

from solver.numerals import TO_SUPERSCRIPT, Numeral, decimal_text
from solver.quantities import Quantity
from solver.units import PREFIXES
from solver.value_faults import LONGEST, ValueFault
from solver.written import Written, read_written

_BY_POWER: Final = {power: prefix for prefix, power in PREFIXES.items()}
_LARGEST_POWER: Final = max(_BY_POWER)


def tidied(written: Written, typed: str, place: Quantity | None) -> str:
    """The tidy spelling of what was read from `typed` at this place; reading it again gives the same exact value.

    Where it would be too long to be read, it is the text as typed.
    """
    text = symbol_text(written.numeral, written.symbol, place) if written.symbol else _with_unit(written)
    return text if len(text) <= LONGEST else typed


def _with_unit(written: Written) -> str:
    numeral, prefix = written.numeral, written.prefix
    if numeral.ten is None:
        return f"{numeral.text()} {prefix}{written.unit}"
    if numeral.exact == 0:
        return f"0 {written.unit}"
    ten = numeral.ten + PREFIXES[prefix]
    # The power of ten is folded into the prefix that leaves one to three figures before the decimal point.
    first = ten if numeral.denominator != 1 else ten + numeral.power + len(numeral.digits) - 1
    group = first // 3 * 3
    if group not in _BY_POWER:
        raised = f" × 10{str(ten).translate(TO_SUPERSCRIPT)}" if ten else ""
        return f"{_mantissa(numeral)}{raised} {written.unit}"
    return f"{_mantissa(numeral, ten - group)} {_BY_POWER[group]}{written.unit}"


def _mantissa(numeral: Numeral, shift: int = 0) -> str:
    ratio = f"/{numeral.denominator}" if numeral.denominator != 1 else ""
    return f"{'−' if numeral.negative else ''}{decimal_text(numeral.digits, numeral.power + shift)}{ratio}"


def symbol_text(numeral: Numeral, symbol: str, place: Quantity | None) -> str:
    """A multiple of a symbol, as in "3C/2"; with a sign between, "2·V", where it would be read as something else.

    >>> symbol_text(Numeral(False, "2", 0), "V", Quantity.EMF)
    '2·V'
    """
    sign = "−" if numeral.negative else ""
    ratio = f"/{numeral.denominator}" if numeral.denominator != 1 else ""
    ten = numeral.ten or 0
    raised = f" × 10{str(ten).translate(TO_SUPERSCRIPT)}" if abs(ten) > _LARGEST_POWER else ""
    number = decimal_text(numeral.digits, numeral.power if raised else numeral.power + ten) + raised
    if number == "1":
        return f"{sign}{symbol}{ratio}"
    plain = f"{sign}{number}{symbol}{ratio}"
    # "2V" would be volts, "10R" a letter-and-digit code.
    return plain if _reads_as(plain, numeral, symbol, place) else f"{sign}{number}·{symbol}{ratio}"


def _reads_as(text: str, numeral: Numeral, symbol: str, place: Quantity | None) -> bool:
    try:
        again = read_written(text, place)
    except ValueFault:
        return False
    return again.symbol == symbol and again.factor == numeral.exact

"""The preferred numbers of IEC 60063, stepping from one to the next, and the ladder a value is dragged along, exactly.

E3, E6, E12 and E24 are a table with its history in it; E48, E96 and E192 are 10^(i/n) rounded to three figures, but for
one number that the standard has otherwise.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import flint

from solver.format import format_exact
from solver.numerals import Numeral
from solver.quantities import Quantity
from solver.tidied import symbol_text
from solver.values import Value, tidy

# IEC 60063:2015, in tenths; 2.7 to 4.7 and 8.2 are not what rounding 10^(i/24) would give.
_E24: Final = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)


def _fine_series(count: int) -> tuple[flint.fmpq, ...]:
    """10^(i/count) for i = 0 … count − 1, rounded to hundredths; E192's 9.19 stands in the standard as 9.20."""
    hundredths = [_rounded_root(i, count) for i in range(count)]
    return tuple(flint.fmpq(920 if number == 919 else number, 100) for number in hundredths)


def _rounded_root(i: int, count: int) -> int:
    """100 × 10^(i/count) to the nearest whole number, found without a float."""
    number = round(100 * 10 ** (i / count))
    # number − ½ ≤ 100 × 10^(i/count) < number + ½, raised to the count-th power
    exact = 200**count * 10**i
    while (2 * number - 1) ** count > exact:
        number -= 1
    while (2 * number + 1) ** count <= exact:
        number += 1
    return number


# Name → the numbers from 1 up to, not including, 10.
SERIES: Final[Mapping[str, tuple[flint.fmpq, ...]]] = MappingProxyType(
    {f"E{count}": tuple(flint.fmpq(tenths, 10) for tenths in _E24[:: 24 // count]) for count in (3, 6, 12, 24)}
    | {f"E{count}": _fine_series(count) for count in (48, 96, 192)}
)


def nearest_preferred(value: flint.fmpq, series: str = "E12") -> flint.fmpq:
    """The preferred number nearest to a value by ratio, as tolerances are counted; halfway, the larger.

    Raises ValueError for a value that is not positive, KeyError for a series that is not.

    >>> nearest_preferred(flint.fmpq(5)), nearest_preferred(flint.fmpq(1, 1000))
    (47/10, 1/1000)
    """
    below, above = _neighbours(value, series)
    # value / below < above / value
    return below if value * value < below * above else above


def step(value: flint.fmpq, series: str, by: int) -> flint.fmpq:
    """The preferred number `by` steps up from a value, or down for a negative number of steps.

    From a value between two preferred numbers, the first step is to the next one in that direction. No step leaves
    any value as it is. Raises ValueError for a value that is not positive, KeyError for a series that is not.

    >>> step(flint.fmpq(47, 10), "E12", 1), step(flint.fmpq(5), "E12", -1), step(flint.fmpq(82), "E12", 1)
    (28/5, 47/10, 100)
    """
    if by == 0:
        return value
    numbers = SERIES[series]
    decade = _decade(value)
    mantissa = value / _ten_to(decade)
    at_or_below = sum(number <= mantissa for number in numbers) - 1
    on_it = numbers[at_or_below] == mantissa
    rank = at_or_below + by + (0 if on_it or by > 0 else 1)
    return numbers[rank % len(numbers)] * _ten_to(decade + rank // len(numbers))


def _neighbours(value: flint.fmpq, series: str) -> tuple[flint.fmpq, flint.fmpq]:
    above = step(step(value, series, -1), series, 1)
    return (above, above) if above == value else (step(value, series, -1), above)


def _decade(value: flint.fmpq) -> int:
    """The power of ten at or below a positive value."""
    if value <= 0:
        raise ValueError(f"preferred numbers are positive, and {value} is not")
    power = len(str(int(value.p))) - len(str(int(value.q)))
    return power if _ten_to(power) <= value else power - 1


def _ten_to(power: int) -> flint.fmpq:
    return flint.fmpq(10**power) if power >= 0 else flint.fmpq(1, 10**-power)


@dataclass(frozen=True)
class Ladder:
    """The values next to one value, smallest first, as a person writes them.

    `texts[position]` is the value itself, in its tidy spelling: one step up is the next text, and a step back returns.
    `preferred` is False where the value lies between the ladder's own rungs; it then stands among them at its place.
    `position` is None, and `texts` empty, for a value without a ladder: a capacitance or resistance not above zero.
    """

    texts: tuple[str, ...]
    position: int | None
    preferred: bool


def ladder(value: Value, quantity: Quantity, series: str = "E12", each_way: int = 36) -> Ladder:
    """The ladder through a value: at most `each_way` rungs below it and as many above.

    Capacitances and resistances step through a series of IEC 60063, from femto to giga. Voltages and emfs step through
    zero in whole volts, with the 1.5 V and 4.5 V of common cells, and more coarsely from 30 V on; below 1 V the same
    in millivolts, and so on. A symbol steps through its multiples and its parts: C/3, C/2, C, 2C, 3C. The last two
    are our own choice.

    >>> from solver.values import read_value
    >>> ladder(read_value("5 µF", Quantity.CAPACITANCE), Quantity.CAPACITANCE, each_way=2)
    Ladder(texts=('3.9 µF', '4.7 µF', '5 µF', '5.6 µF', '6.8 µF'), position=2, preferred=False)
    """
    if value.symbol is not None:
        rungs = _MULTIPLES if value.factor > 0 else ()
    elif quantity.unit == "V":
        rungs = _voltage_rungs(value.factor)
    else:
        rungs = _preferred_rungs(value.factor, series, each_way) if value.factor > 0 else ()
    if not rungs:
        return Ladder((), None, preferred=False)
    place = bisect_left(rungs, value.factor)
    preferred = place < len(rungs) and rungs[place] == value.factor
    below = rungs[max(place - each_way, 0) : place]
    above = rungs[place + preferred :][:each_way]
    texts = (*(_rung(rung, value, quantity) for rung in below), tidy(value))
    return Ladder(texts + tuple(_rung(rung, value, quantity) for rung in above), len(below), preferred)


_SMALLEST: Final = flint.fmpq(1, 10**15)
_LARGEST: Final = flint.fmpq(10**12)
_MULTIPLES: Final = tuple(flint.fmpq(1, part) for part in range(12, 1, -1)) + tuple(map(flint.fmpq, range(1, 13)))
_DECADE_OF_VOLTS: Final = (*range(10, 30), *range(30, 100, 5))
_VOLTS: Final = tuple(
    sorted(
        {flint.fmpq(whole) for whole in range(10)}
        | {flint.fmpq(3, 2), flint.fmpq(9, 2)}
        | {flint.fmpq(volts * 10**decade) for decade in range(5) for volts in _DECADE_OF_VOLTS}
    )
)


def _rung(factor: flint.fmpq, value: Value, quantity: Quantity) -> str:
    if value.symbol is None:
        return format_exact(factor, quantity.unit)
    return symbol_text(Numeral(factor < 0, str(abs(factor.p)), 0, int(factor.q)), value.symbol, quantity)


def _preferred_rungs(value: flint.fmpq, series: str, each_way: int) -> tuple[flint.fmpq, ...]:
    below = [step(value, series, -count) for count in range(each_way, 0, -1)]
    above = [step(value, series, count) for count in range(1, each_way + 1)]
    rungs = below + ([value] if nearest_preferred(value, series) == value else []) + above
    return tuple(rung for rung in rungs if _SMALLEST <= rung < _LARGEST)


def _voltage_rungs(value: flint.fmpq) -> tuple[flint.fmpq, ...]:
    scale = flint.fmpq(1)
    while 0 < abs(value) < scale and scale > _SMALLEST:
        scale /= 1000
    rungs = tuple(rung * scale for rung in _VOLTS)
    return (*(-rung for rung in reversed(rungs[1:])), *rungs)

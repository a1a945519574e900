"""Round ticks for a scale: 1, 2 or 5 times a power of ten apart, all of one scale with one SI prefix."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, log10

from solver.arithmetic import Scalar
from solver.numerals import decimal_text
from solver.rounding import PREFIX_OF_POWER, rounded_text


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on a scale (SI units), and what is written there."""

    at: Fraction
    text: str

    def document(self) -> dict[str, object]:
        """The tick as the web interface sends it."""
        return {"at": float(self.at), "text": self.text}


def as_fraction(scalar: Scalar) -> Fraction:
    """An exact number (flint.fmpq), or a float as the exact number it is."""
    if isinstance(scalar, float):
        return Fraction(scalar)
    return Fraction(int(scalar.p), int(scalar.q))


def ticks(low: Scalar, high: Scalar, unit: str, most: int) -> tuple[Tick, ...]:
    """The round numbers from `low` to `high`, at most `most` steps of them; `low` is less than `high`.

    >>> import flint
    >>> [tick.text for tick in ticks(flint.fmpq(0), flint.fmpq(9, 100000), "C", 5)]
    ['0', '20 µC', '40 µC', '60 µC', '80 µC']
    >>> [tick.text for tick in ticks(flint.fmpq(-1, 2), flint.fmpq(1), "V", 5)]
    ['−0.5 V', '0', '0.5 V', '1 V']
    """
    bottom, top = as_fraction(low), as_fraction(high)
    # A float may miss a round number by its last digits.
    slack = Fraction(int(isinstance(low, float) or isinstance(high, float)), 10**9)
    factor, power = _step((top - bottom) * (1 - slack), most)
    step = factor * Fraction(10) ** power
    counts = range(ceil(bottom / step - slack), floor(top / step + slack) + 1)
    largest = max((abs(count) * step for count in counts), default=step) or step
    group = floor(floor(log10(largest) + 1e-12) / 3) * 3
    return tuple(Tick(count * step, _text(count * factor, power, group, unit)) for count in counts)


def _step(span: Fraction, most: int) -> tuple[int, int]:
    power = floor(log10(span / most)) - 1
    while True:
        for factor in (1, 2, 5):
            if span <= most * factor * Fraction(10) ** power:
                return factor, power
        power += 1


def _text(count: int, power: int, group: int, unit: str) -> str:
    """`count` × 10^`power` with the prefix of 10^`group`, exactly."""
    if not count:
        return "0"
    prefix = PREFIX_OF_POWER.get(group)
    if prefix is None:
        exact = count * Fraction(10) ** power
        return rounded_text(exact.numerator, exact.denominator, unit, len(str(abs(count)).rstrip("0")))
    text = decimal_text(str(abs(count)), power - group)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{'−' if count < 0 else ''}{text} {prefix}{unit}"

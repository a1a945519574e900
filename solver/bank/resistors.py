"""Resistors of a bank: one across each part that keeps leakage from shifting the voltages, one across all that bleeds.

Right after switching on, capacitance decides how parts in series share the voltage; later their leakage does
(manufacturers' application notes agree on that). Worst is one part that leaks nothing among others that leak all they
may: with resistors R_h(1 + t) across it, R_j(1 − t) across the others, which carry I_j beside it,
 V_h = R_h(1 + t)·(V + ∑ R_j(1 − t)·I_j) / (R_h(1 + t) + ∑ R_j(1 − t)).
For N equal parts and exact resistors that is V_h = (V + (N − 1)·R·I)/N, hence R ≤ (N·V_limit − V)/((N − 1)·I). Notes on
balancing print it without N − 1, which is right for two parts only.

Bleeding is exponential: V = V₀·e^(−t/RC), so t = R·C·ln(V₀/V) and R ≤ t/(C·ln(V₀/V)).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import flint

from solver.bank.strings import String
from solver.bank.wish import Wish
from solver.preferred import nearest_preferred, step

SERIES: Final = "E24"
_LARGEST: Final = flint.fmpq(10**9)
_SMALLEST: Final = flint.fmpq(1, 1000)
_TRIES: Final = 60
_PRECISION: Final = 120
_ZERO: Final = flint.fmpq(0)


@dataclass(frozen=True)
class Balancing:
    """Resistors across the parts of one string, in the string's order: preferred numbers, in ohms.

    `worst` is the highest voltage on each part with leakage and tolerances at their worst, `powers` what each resistor
    then turns into heat, `bound` the largest resistance by the formula, for a string of equal parts.
    """

    resistances: tuple[flint.fmpq, ...]
    worst: tuple[flint.fmpq, ...]
    powers: tuple[flint.fmpq, ...]
    bound: flint.fmpq | None


@dataclass(frozen=True)
class Bleed:
    """A resistor across the bank: `bound` is the largest that is quick enough, `resistance` the preferred number below.

    `constant` is the longest time constant in seconds, R and C at their most, and `seconds` = constant·ln(V₀/V) the
    time to the lower voltage, as a ball of real numbers. `power` is what the resistor turns into heat while the bank
    works.
    """

    bound: flint.arb
    resistance: flint.fmpq
    constant: flint.fmpq
    seconds: flint.arb
    power: flint.fmpq


def needs_balancing(string: String) -> bool:
    """Whether a shift of the voltages could put a part past its limit."""
    return len(string.places) > 1 and any(kind.limit < string.wish.voltage for kind in string.kinds)


def balancing(string: String) -> Balancing | None:
    """The largest preferred resistors that keep every part of a string within its limit; None where none do.

    They are in proportion to the marked voltages, so that in the end the parts share as they did at the start. Every
    kind in the string has a leakage. Where parts differ, the numbers are tried out from the largest down.
    """
    wish = string.wish
    shares = [string.voltages[index] / wish.voltage for index, _, _ in string.sorts]
    bounds = [_bound(string, shares, held) for held in range(len(shares))]
    highest = min((bound for bound in bounds if bound is not None), default=_LARGEST)
    if highest <= 0:
        return None
    scale = min(highest, _LARGEST)
    alike = len(shares) == 1
    for _ in range(_TRIES):
        chosen = [_below(scale * share) if alike else nearest_preferred(scale * share, SERIES) for share in shares]
        if min(chosen) < _SMALLEST:
            return None
        worst = worst_with_leakage(string, chosen)
        if all(_held(string, chosen, held, high) for held, high in enumerate(worst)):
            powers = [high**2 / (own * (1 - wish.resistors)) for high, own in zip(worst, chosen, strict=True)]
            ohms, volts, watts = (_on_each(string, values) for values in (chosen, worst, powers))
            return Balancing(ohms, volts, watts, scale * shares[0] if alike else None)
        scale = scale * 9 / 10
    return None


def _on_each(string: String, values: Sequence[flint.fmpq]) -> tuple[flint.fmpq, ...]:
    """What each part of a string has, from what parts of each sort have."""
    of_place = {string.places[index]: value for (index, _, _), value in zip(string.sorts, values, strict=True)}
    return tuple(of_place[place] for place in string.places)


def _held(string: String, chosen: Sequence[flint.fmpq], held: int, volts: flint.fmpq) -> bool:
    """Whether a part stays within its limit, and the current then is no less than what leaks through any other.

    Where it were less, that other one's resistor would be at its worst at its largest, and the formula not the worst.
    """
    _, own, _ = string.sorts[held]
    whole = string.wish.voltage
    if volts == whole:
        return bool(own.limit >= whole)
    current = volts / (chosen[held] * (1 + string.wish.resistors))
    others = (kind.leakage or _ZERO for sort, (_, kind, count) in enumerate(string.sorts) if count - (sort == held) > 0)
    return bool((volts <= own.limit or own.limit >= whole) and all(current >= leakage for leakage in others))


def _bound(string: String, shares: Sequence[flint.fmpq], held: int) -> flint.fmpq | None:
    """The largest sum of a string's resistances for one part's sake; None where any will do."""
    wish, share, (_, own, _) = string.wish, shares[held], string.sorts[held]
    if own.limit >= wish.voltage:
        return None
    up, down = 1 + wish.resistors, 1 - wish.resistors
    room = own.limit * (share * up + (1 - share) * down) / (share * up) - wish.voltage
    if room <= 0:
        return _ZERO
    leak = _driven(string, shares) - share * (own.leakage or _ZERO)
    return room / (down * leak) if leak else None


def _driven(string: String, resistances: Sequence[flint.fmpq]) -> flint.fmpq:
    """The voltage that the leakages of all parts make across the resistors beside them."""
    sorts = zip(resistances, string.sorts, strict=True)
    return sum((ohms * (kind.leakage or _ZERO) * count for ohms, (_, kind, count) in sorts), _ZERO)


def worst_with_leakage(string: String, resistances: Sequence[flint.fmpq]) -> tuple[flint.fmpq, ...]:
    """The highest voltage that a part of each of the string's sorts can come to in the end, over its leakages and the
    resistors' tolerance; `resistances` has that of the resistors across each sort.

    The formula is that of the module; never more than the whole voltage.
    """
    wish = string.wish
    up, down = 1 + wish.resistors, 1 - wish.resistors
    total = sum((ohms * count for ohms, (_, _, count) in zip(resistances, string.sorts, strict=True)), _ZERO) * down
    driven = _driven(string, resistances)
    found = []
    for ohms, (_, kind, _) in zip(resistances, string.sorts, strict=True):
        others = (driven - ohms * (kind.leakage or _ZERO)) * down
        volts = ohms * up * (wish.voltage + others) / (total + ohms * (up - down))
        found.append(min(volts, wish.voltage))
    return tuple(found)


def bleed(wish: Wish, most: flint.fmpq) -> Bleed | None:
    """A resistor across a bank of at most so many farads; None where no bleeding is asked for."""
    if wish.down_to is None:
        return None
    with flint.ctx.workprec(_PRECISION):
        logarithm = logarithm_of(wish.voltage / wish.down_to)
        bound = wish.within / (most * (1 + wish.resistors) * logarithm)
        resistance = _below(bound.lower().fmpq())  # certainly not above what the ball holds
        constant = resistance * (1 + wish.resistors) * most
        seconds = constant * logarithm
    return Bleed(bound, resistance, constant, seconds, wish.voltage**2 / (resistance * (1 - wish.resistors)))


def slowest(string: String, resistances: Sequence[flint.fmpq]) -> flint.fmpq:
    """The longest time constant of a part with the resistor across it, both at their most, in seconds."""
    up = 1 + string.wish.resistors
    return max(resistances[index] * up * kind.most for index, kind, _ in string.sorts)


def logarithm_of(ratio: flint.fmpq) -> flint.arb:
    """ln of an exact ratio, as a ball that holds it."""
    with flint.ctx.workprec(_PRECISION):
        return flint.arb(ratio).log()


def _below(value: flint.fmpq) -> flint.fmpq:
    """The largest preferred number that is not above a value."""
    if value <= 0:
        return _ZERO
    return step(step(value, SERIES, 1), SERIES, -1)

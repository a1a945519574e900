"""Ratings against the outside: shares, limits and cautions that sources print or that follow from what they print."""

from __future__ import annotations

import math

import flint
import pytest

from solver import Sketch, battery, capacitor, resistor
from solver.cautions import for_figures
from solver.failures import failures
from solver.highest import highest_emfs
from solver.quantities import Quantity
from solver.readings import Reading
from solver.solving import solve_network
from solver.strains import strains

q = flint.fmpq


def chain(count: int, odd: str, others: str, rated: str, emf: str = "1 V") -> Sketch:
    """One part of another value than the rest in a string."""
    values = [odd, *[others] * (count - 1)]
    return Sketch.of(
        battery("E1", emf, "k0", "0"),
        *(
            capacitor(f"C{n}", value, f"k{n}", f"k{n + 1}" if n + 1 < count else "0", rated=rated)
            for n, value in enumerate(values)
        ),
    )


# KEMET 2015 manufacturer Q&A: of a tantalum capacitor (MnO₂) use at most 50 % of the rated voltage up to 85 °C, of a
# polymer one rated 10 V or less 90 %, above that 80 %.
@pytest.mark.parametrize(
    ("rated", "usable", "most"), [("35 V", 50, q(35, 2)), ("10 V", 90, q(9)), ("16 V", 80, q(64, 5))]
)
def test_derating_as_a_maker_prints_it(rated: str, usable: int, most: flint.fmpq) -> None:
    sketch = Sketch.of(battery("E1", "1 V", "a", "0"), capacitor("C1", "10 µF", "a", "0", rated=rated), usable=usable)
    highest, _ = highest_emfs(sketch, "E1")
    assert highest.emf == most


# A string shares its voltage in inverse proportion to capacitance (Rubycon manufacturer guide, on a pair); with one
# part at C(1 − t) and the rest at C(1 + t) the odd one has V(1 + t)/(N − (N − 2)t). Derived: on each of the others
# lies (1 − t)/(1 + t) of its voltage, and all add up to V.
@pytest.mark.parametrize(
    ("count", "low", "high", "times"),
    [
        # At 20 %: 1.200 for a pair, 9/7 = 1.286 for three, 4/3 for four times the even share.
        (2, "8 µF", "12 µF", q(6, 5)),
        (3, "8 µF", "12 µF", q(9, 7)),
        (4, "8 µF", "12 µF", q(4, 3)),
        # At 10 %: 11/10 for a pair, 33/29 = 1.138 for three.
        (2, "9 µF", "11 µF", q(11, 10)),
        (3, "9 µF", "11 µF", q(33, 29)),
    ],
)
def test_a_string_of_unequal_parts_holds_as_much_less(count: int, low: str, high: str, times: flint.fmpq) -> None:
    highest, _ = highest_emfs(chain(count, low, high, "100 V"), "E1")
    assert highest.emf == 100 * count / times
    assert highest.limited_by == ("C0",)


# A shorted part in a string of N puts V/(N − 1) on each of the rest (common practice).
def test_a_shorted_part_leaves_its_voltage_to_the_rest() -> None:
    sketch = chain(4, "5 µF", "10 µF", "100 V", "300 V")
    first, *_ = failures(sketch)
    # 1/(1/5 + 3/10) = 2 µF carry 600 µC: 120 V and 60 V; then 300/3 = 100 V on each of the others.
    assert (first.part, first.voltage) == ("C0", 120)
    assert {each.in_the_end for each in first.strains} == {1}


# Aluminium electrolytic capacitors stand about 1 to 1.5 V reversed (several manufacturers' guides).
def test_a_small_cell_the_wrong_way_round_is_at_the_edge_of_what_an_oxide_layer_stands() -> None:
    sketch = Sketch.of(
        battery("E1", "1.5 V", "a", "0"), capacitor("C1", "10 µF", "0", "a", rated="16 V", reverse="1 V")
    )
    [found] = strains([solve_network(sketch)])
    assert (found.share, found.is_past) == (q(3, 2), True)


# After 1, 2 and 3 τ there are 63.2, 86.5 and 95.0 % of the end value (Army course MM5000 prints 86.5 % at 2τ).
def test_a_rating_that_two_time_constants_reach_is_reached_then() -> None:
    rated = 100 * (1 - math.exp(-2))
    assert round(rated, 1) == 86.5
    parts = battery("E1", "100 V", "a", "0"), resistor("R1", "1 kΩ", "a", "b")
    [gone] = failures(Sketch.of(*parts, capacitor("C1", "1 µF", "b", "0", rated=f"{rated:.9f} V")))
    assert gone.time == pytest.approx(2e-3, rel=1e-6)


# In farads: 10 J are 2000 µF at 100 V, 1 J is 200 µF at 100 V, 0.25 J are 3.1 µF at 400 V, 100 J are 0.35 F at 24 V.
@pytest.mark.parametrize(
    ("microfarads", "volts", "source"),
    [
        (q(2000), 100, "LBNL Electrical Safety Manual, table 2.2.13"),
        (q(200), 100, "NFPA 70E-2021, section 360.3, from memory"),
        (q(3125, 1000), 400, "NFPA 70E-2021, section 360.3, from memory"),
        (q(348000), 24, "LBNL Electrical Safety Manual, table 2.3.5"),
    ],
)
def test_a_caution_begins_where_its_source_puts_it(microfarads: flint.fmpq, volts: int, source: str) -> None:
    def said(part: flint.fmpq) -> str:
        joules = part * microfarads / 10**6 * volts * volts / 2
        caution = for_figures(Reading(q(volts), Quantity.VOLTAGE), Reading(joules, Quantity.ENERGY))
        return " ".join(caution.sentences) if caution else ""

    assert source in said(q(1))
    assert source not in said(q(99, 100))

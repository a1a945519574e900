"""Banks of equal strings, their voltages, margins and resistors: from closed formulas, sources and plain arithmetic."""

from __future__ import annotations

import math
from fractions import Fraction
from time import process_time

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, solve
from solver.bank import Wish, drawn, plan
from solver.bank.amounts import price_text, read_seconds, seconds_text
from solver.bank.arrangement import Arrangement
from solver.bank.equal import equal_banks, shortest
from solver.bank.resistors import balancing, worst_with_leakage
from solver.bank.strings import String
from solver.solving import solve_network
from solver.strains import strains
from tests.solver.banks import Plainly, boxes, row, wish


def read(*rows: dict[str, str], **others: str) -> Wish:
    return Wish.read(wish(*rows, **others))


def bank_of(asked: Wish, length: int, times: int) -> Arrangement:
    return Arrangement(asked, ((String(asked, (0,) * length), times),))


@pytest.mark.parametrize(
    ("tolerance", "length", "ratio"),
    # Facts page, section 6.2: the worst voltage over V/N, to four figures (derived there, checked numerically).
    [("5 %", 2, 1.050), ("5 %", 10, 1.094), ("10 %", 3, 1.138), ("20 %", 2, 1.200), ("20 %", 4, 1.333)],
)
def test_the_worst_voltage_in_a_string_of_equal_parts_is_that_of_the_table(tolerance: str, length: int, ratio: float):
    asked = read(row("100 µF", "400 V", 20, tolerance=tolerance))
    worst = String(asked, (0,) * length).worst
    assert len(set(worst)) == 1
    assert float(worst[0] * length / 40) == pytest.approx(ratio, abs=6e-4)


@given(boxes(), st.data())
def test_the_worst_voltages_are_those_of_the_worst_corner(document: dict, data: st.DataObject):
    string = tuple(sorted(data.draw(st.lists(st.integers(0, len(document["kinds"]) - 1), min_size=1, max_size=5))))
    found = String(Wish.read(document), string).worst
    assert [Fraction(int(volts.p), int(volts.q)) for volts in found] == Plainly(document).worst(string)


def test_a_string_is_as_short_as_its_worst_voltage_allows():
    # 45 V on 25 V parts used to 80 %, within 20 %: three see 45·1.2/(3 − 0.2) = 19.3 V of their 20 V, two see 27 V.
    asked = read(row("470 µF", "25 V", 24, tolerance="20 %"), voltage="45 V", derating="80 %")
    assert shortest(asked.voltage, asked.kinds[0], 24) == 3
    assert shortest(asked.voltage, asked.kinds[0], 2) is None
    exact = read(row("470 µF", "20 V", 24), voltage="40 V")
    assert shortest(exact.voltage, exact.kinds[0], 24) == 2


def test_equal_strings_come_with_the_fewest_parts_first_and_with_no_string_too_many():
    banks, count = equal_banks(read(row("100 µF", "25 V", 40), row("60 µF", "63 V", 4)))
    # 2 in series is 50 µF, two of those; 3 is 33.3 µF, three; and so on up to 6 in series, six strings, 36 parts.
    assert [(bank.words, bank.parts) for bank in banks] == [
        ("2 × 60 µF 63 V", 2),
        *((f"{n} strings of {n} × 100 µF 25 V", n * n) for n in range(2, 7)),
    ]
    assert count == 6


def test_of_as_many_parts_the_cheaper_bank_comes_first():
    cheap, dear = row("100 µF", "63 V", 4, price="0.20"), row("100 µF", "50 V", 4, price="1")
    banks, _ = equal_banks(read(dear, cheap))
    assert [bank.words for bank in banks[:2]] == ["100 µF 63 V", "100 µF 50 V"]
    assert banks[0].document()["price"] == "0.20"


def test_energy_between_two_voltages_takes_the_capacitance_that_follows():
    # C = 2E/(V² − V_low²) = 2·1/(45² − 15²) = 1/900
    asked = read(row("470 µF", "63 V", 9), voltage="45 V", goal="energy", energy="1 J", lowest="15 V")
    assert asked.capacitance == flint.fmpq(1, 900)
    [best, *_] = equal_banks(asked)[0]
    assert best.words == "3 × 470 µF 63 V"
    told = best.document()
    # 1.41 mF: ½·0.00141·45² = 1.427625 J, of which ½·0.00141·15² stays.
    assert told["energy"]["exact"] == str(flint.fmpq(1427625, 10**6))
    assert told["given"]["exact"] == str(flint.fmpq(1269, 1000))
    assert told["spare"]["capacitance"]["exact"] == "269/1000"


def test_capacitance_may_be_asked_for_at_its_least():
    kinds = row("100 µF", "63 V", 9, tolerance="20 %")
    assert equal_banks(read(kinds))[0][0].parts == 1
    [best, *_] = equal_banks(read(kinds, counted="least"))[0]
    assert (best.parts, best.least, best.most) == (2, flint.fmpq(16, 10**5), flint.fmpq(24, 10**5))


# Balancing: R ≤ (N·V_r − V)/((N − 1)·I). Facts page, section 6.3: V_r = 400 V, I = 0.5 mA.
@pytest.mark.parametrize(
    ("length", "volts", "bound", "chosen"), [(2, 630, 340_000, 330_000), (4, 1260, flint.fmpq(680_000, 3), 220_000)]
)
def test_balancing_resistors_are_those_worked_out_in_the_facts(length, volts, bound, chosen):
    asked = read(row("100 µF", "400 V", 9, leakage="0.5 mA"), voltage=f"{volts} V")
    found = balancing(String(asked, (0,) * length))
    assert found.bound == bound
    assert set(found.resistances) == {chosen}


def leaking(string: String, ohms: list[flint.fmpq], leaks: list[flint.fmpq]) -> list[flint.fmpq]:
    """Voltages in a string whose parts leak so much, with these resistors across: one current runs through all."""
    carried = sum((r * i for r, i in zip(ohms, leaks, strict=True)), flint.fmpq(0))
    current = (string.wish.voltage + carried) / sum(ohms, flint.fmpq(0))
    return [r * (current - i) for r, i in zip(ohms, leaks, strict=True)]


@given(boxes(), st.data())
def test_balanced_parts_stay_within_their_limits_at_every_corner(document: dict, data: st.DataObject):
    document["kinds"] = [
        {**entry, "leakage": data.draw(st.sampled_from(["10 µA", "0.2 mA", "1 mA"]))} for entry in document["kinds"]
    ]
    document["resistors"] = data.draw(st.sampled_from(["0", "1 %", "5 %"]))
    asked = Wish.read(document)
    string = String(
        asked, tuple(sorted(data.draw(st.lists(st.integers(0, len(asked.kinds) - 1), min_size=2, max_size=4))))
    )
    found = balancing(string)
    if found is None:
        return
    corners = range(4 ** len(string.places))
    for corner in corners:
        bits = [(corner >> (2 * index)) & 3 for index in range(len(string.places))]
        ohms = [
            r * (1 + (asked.resistors if bit & 1 else -asked.resistors))
            for r, bit in zip(found.resistances, bits, strict=True)
        ]
        leaks = [kind.leakage if bit & 2 else flint.fmpq(0) for kind, bit in zip(string.kinds, bits, strict=True)]
        for volts, highest, kind in zip(leaking(string, ohms, leaks), found.worst, string.kinds, strict=True):
            assert volts <= highest or highest == asked.voltage
            assert highest <= kind.limit or kind.limit >= asked.voltage


@pytest.mark.parametrize(
    ("rows", "voltage"),
    [
        ([row("10 µF", "16 V", 999, tolerance="-20 +80 %", leakage="1 mA")], "2500 V"),
        ([row(f"{n} µF", "25 V", 999, tolerance="10 %", leakage="1 mA") for n in range(1, 21)], "5000 V"),
    ],
)
def test_strings_of_hundreds_of_parts_are_planned_in_a_moment(rows: list[dict[str, str]], voltage: str):
    """Parts alike have resistors alike, so it is their kinds that count. It takes a third of a second of a processor,
    and part by part it would be ten."""
    asked = read(*rows, voltage=voltage, capacitance="1 nF", derating="80 %", resistors="1 %")
    started = process_time()
    planned = plan(asked)
    assert process_time() - started < 3
    assert planned["count"] >= len(planned["banks"]) == 60


def test_the_next_larger_preferred_resistor_would_not_balance():
    asked = read(row("100 µF", "25 V", 9, leakage="1 mA"))
    string = String(asked, (0, 0))
    # (2·25 − 40)/1 mA = 10 kΩ, and 11 kΩ is the next of E24.
    assert set(balancing(string).resistances) == {10_000}
    assert max(worst_with_leakage(string, [flint.fmpq(10_000)])) == 25
    assert max(worst_with_leakage(string, [flint.fmpq(11_000)])) > 25


def test_a_bleed_resistor_is_the_largest_preferred_one_that_is_quick_enough():
    asked = read(row("100 µF", "63 V", 1), downTo="5 V", within="60 s")
    bleed = bank_of(asked, 1, 1).bled
    # R ≤ 60/(100 µF·ln 8) = 288.5 kΩ; 270 kΩ takes 27 s·ln 8 = 56.1 s and turns 40²/270 kΩ into heat.
    assert float(bleed.bound) == pytest.approx(60 / (1e-4 * math.log(8)))
    assert (bleed.resistance, bleed.constant, bleed.power) == (270_000, 27, flint.fmpq(1600, 270_000))
    assert float(bleed.seconds) == pytest.approx(27 * math.log(8))


# Facts page, section 5.5: to 60 V takes 1.69 τ from 325 V, 2.81 τ from 1 kV, 5.12 τ from 10 kV.
@pytest.mark.parametrize(("volts", "constants"), [("325 V", 1.69), ("1 kV", 2.81), ("10 kV", 5.12)])
def test_bleeding_to_sixty_volts_takes_the_time_constants_that_the_facts_have(volts: str, constants: float):
    asked = read(row("1 µF", "20 kV", 1), voltage=volts, capacitance="1 µF", downTo="60 V", within="10 s")
    bleed = bank_of(asked, 1, 1).bled
    assert float(bleed.seconds) / float(bleed.constant) == pytest.approx(constants, abs=0.005)


def test_a_drawn_bank_has_the_voltages_and_the_capacitance_that_the_plan_says():
    asked = read(row("100 µF", "25 V", 9, tolerance="20 %", leakage="1 mA"), row("50 µF", "63 V", 2), resistors="1 %")
    strings = [
        {"times": 2, "parts": [{"row": 0, "count": 3}]},
        {"times": 1, "parts": [{"row": 0, "count": 1}, {"row": 1, "count": 1}]},
    ]
    sketch = drawn(asked, {"strings": strings, "balancing": True, "bleed": True})
    solution = solve(sketch)
    readings = {name: reading for name, reading in solution.parts.items() if name[0] == "C"}
    # 40 V over three equal parts; over 100 µF and 50 µF as 1 : 2.
    assert [reading.voltage.exact for reading in readings.values()] == [flint.fmpq(40, 3)] * 7 + [flint.fmpq(80, 3)]
    assert {part.get("tolerance") for part in sketch["parts"] if part["kind"] == "capacitor"} == {"±20 %", None}
    assert {part["tolerance"] for part in sketch["parts"] if part["kind"] == "resistor"} == {"±1 %"}
    assert all(not strain.is_past for strain in strains([solve_network(Sketch.read(sketch))]) if strain.part != "C8")
    spots = list(sketch["joints"].values())
    assert len(set(map(tuple, spots))) == len(spots)


@pytest.mark.parametrize(("derating", "usable"), [("80 %", 80), ("100 %", None), ("66.7 %", 66)])
def test_a_drawing_takes_the_derating_along(derating: str, usable: int | None):
    asked = read(row("100 µF", "63 V", 9), derating=derating)
    strings = [{"times": 1, "parts": [{"row": 0, "count": 1}]}]
    sketch = drawn(asked, {"strings": strings, "balancing": False, "bleed": False})
    assert sketch.get("usable") == usable


def test_resistors_can_be_left_out_of_the_drawing():
    asked = read(row("100 µF", "25 V", 9, leakage="1 mA"), downTo="5 V", within="60 s")
    strings = [{"times": 2, "parts": [{"row": 0, "count": 2}]}]
    counts = {
        (balancing, bleed): sum(
            part["kind"] == "resistor"
            for part in drawn(asked, {"strings": strings, "balancing": balancing, "bleed": bleed})["parts"]
        )
        for balancing in (False, True)
        for bleed in (False, True)
    }
    assert counts == {(False, False): 0, (False, True): 1, (True, False): 4, (True, True): 5}


def test_a_plan_carries_the_caution_for_the_most_that_its_banks_store():
    # 470 µF and more at 400 V: ½·0.00047·400² = 37.6 J
    told = plan(read(row("470 µF", "450 V", 4), voltage="400 V", capacitance="400 µF"))["caution"]
    assert told["figures"] == "Caution: up to 400 V and up to 37.6 J"
    assert any("vent hot electrolyte" in sentence for sentence in told["sentences"])
    assert plan(read(row("470 µF", "63 V", 4), voltage="10 V"))["caution"] is None


def test_times_and_prices_are_read_and_written_exactly():
    assert [read_seconds(text) for text in ("60 s", "1/2 min", "1,5 h")] == [60, 30, 5400]
    assert [seconds_text(seconds) for seconds in (0.05, 119, 120, 7200)] == ["50.0 ms", "119 s", "2.00 min", "2.00 h"]
    assert [price_text(flint.fmpq(number)) for number in (0, flint.fmpq(1, 3), 12)] == ["0.00", "0.33", "12.00"]

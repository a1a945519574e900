"""Reasons within a column of a comparison: what series parts carry, and what parallel parts add up to."""

from __future__ import annotations

from tests.solver.test_compare import EACH_WAY, MINE, lantern, of


def reasons(comparison, key: str) -> list[str]:
    return [reason.text for reason in comparison.line(key).reasons]


def test_beside_the_charge_from_the_battery_each_column_has_its_reason():
    # 30 and 60 µF at 9 V: 20 µF in series hold 180 µC; in parallel 270 µC and 540 µC.
    made = of(lantern("30 µF", "60 µF"), EACH_WAY)
    assert reasons(made, "E1.charge") == [
        "In series both carry 180 µC: the conductor between them is isolated.",
        "In parallel 270 µC + 540 µC = 810 µC leave the battery.",
    ]
    assert made.line("E1.charge").reasons[0].keys == ("E1.charge", "C1.charge", "C2.charge")
    # As resistors of 30 and 60 Ω in series: 9 V over 90 Ω.
    assert reasons(made, "E1.current") == [
        "As resistors in series both carry 100 mA: there is only one way for the current."
    ]
    assert reasons(made, "C1.charge") == []


def test_a_long_sum_is_told_and_not_written_out():
    made = of(lantern(*["10 µF"] * 5))
    assert reasons(made, "E1.charge") == [
        "In series all five carry 18.0 µC: the conductors between them are isolated.",
        "In parallel the charges of all five add up to 450 µC, which leave the battery.",
    ]


def test_a_single_part_and_a_network_of_ones_own_have_no_reason():
    assert reasons(of(lantern("30 µF")), "E1.charge") == []
    assert reasons(of(lantern("30 µF", "60 µF"), MINE), "E1.charge") == []

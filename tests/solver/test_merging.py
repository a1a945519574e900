"""Parallel capacitors are one larger area, series ones one larger gap: which are, and with which numbers."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, solve, wire
from solver.build_document import builds_document
from solver.built import built_of
from solver.merging import merges_of
from solver.solving import solve_network


def merges(*parts):
    solved = solve_network(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    return merges_of(solved, built_of(solved.sketch, solved.outcome, solved.writing))


def test_plates_with_one_gap_become_one_area() -> None:
    [merge] = merges(
        capacitor("C1", "plates 20 cm² 0.1 mm mica", "a", "0"), capacitor("C2", "plates 40 cm² 0.1 mm mica", "0", "a")
    )
    assert (merge.kind, merge.common, merge.whole) == ("parallel", "0.1 mm", "60.0 cm²")
    assert [(piece.part, piece.text, piece.size) for piece in merge.pieces] == [
        ("C1", "20 cm²", pytest.approx(1 / 3)),
        ("C2", "40 cm²", pytest.approx(2 / 3)),
    ]
    one = solve(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "plates 60 cm² 0.1 mm mica", "a", "0")))
    assert merge.capacitance.exact == one.parts["C1"].capacitance.exact
    assert merge.sentence() == (
        "C1 and C2 have the same voltage across their plates, so side by side they are one pair of plates of"
        " 20 cm² + 40 cm² = 60.0 cm², 0.1 mm apart: 3.19 nF."
    )


def test_plates_of_one_area_become_one_gap_in_the_order_of_the_chain() -> None:
    [merge] = merges(
        capacitor("C2", "plates 20 cm² 0.2 mm air", "b", "c"),
        capacitor("C1", "plates 20 cm² 0.1 mm air", "a", "b"),
        capacitor("C3", "plates 20 cm² mica 0.2 mm + air 0.1 mm", "0", "c"),
    )
    assert (merge.kind, merge.common, merge.whole) == ("series", "20 cm²", "0.600 mm")
    assert [piece.part for piece in merge.pieces] == ["C1", "C2", "C3"]
    assert merge.pieces[2].layers == (("mica", pytest.approx(2 / 3)), ("air", pytest.approx(1 / 3)))
    one = "plates 20 cm² air 0.1 mm + air 0.2 mm + mica 0.2 mm + air 0.1 mm"
    whole = solve(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", one, "a", "0")))
    assert merge.capacitance.exact == whole.parts["C1"].capacitance.exact
    assert "one gap of 0.1 mm + 0.2 mm + 0.2 mm + 0.1 mm = 0.600 mm, 20 cm² wide" in merge.sentence()


@pytest.mark.parametrize(
    "other", ["plates 20 cm² 0.2 mm", "5 nF", "spheres 1 cm 2 cm", "plates 20 cm² 0.1 mm, air 1/2, mica 1/2"]
)
def test_all_else_in_parallel_is_drawn_with_one_gap_by_capacitance(other) -> None:
    first = "plates 20 cm² 0.1 mm"
    [merge] = merges(capacitor("C1", first, "a", "0"), capacitor("C2", other, "a", "0"))
    assert (merge.common, merge.whole) == (None, None)
    solved = solve(
        Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", first, "a", "0"), capacitor("C2", other, "a", "0"))
    )
    share = float(solved.parts["C1"].charge) / float(solved.parts["E1"].charge)
    assert merge.pieces[0].size == pytest.approx(share)
    assert sum(piece.size for piece in merge.pieces) == pytest.approx(1)


@given(st.lists(st.integers(1, 99), min_size=2, max_size=6))
def test_plain_values_in_series_have_gaps_as_their_reciprocals(microfarads) -> None:
    parts = [
        capacitor(f"C{place}", f"{size} µF", "a" if place == 0 else f"j{place}", f"j{place + 1}")
        for place, size in enumerate(microfarads)
    ]
    [merge] = merges(*parts, wire("W1", f"j{len(microfarads)}", "0"))
    elastance = sum(Fraction(1, size) for size in microfarads)
    assert [piece.size for piece in merge.pieces] == pytest.approx(
        [float(1 / size / elastance) for size in microfarads]
    )
    assert float(merge.capacitance) == pytest.approx(float(1 / elastance) * 1e-6)


def test_multiples_of_one_symbol_have_sizes_and_other_symbols_have_none() -> None:
    [merge] = merges(capacitor("C1", "C", "a", "0"), capacitor("C2", "2C", "a", "0"))
    assert [piece.size for piece in merge.pieces] == pytest.approx([1 / 3, 2 / 3])
    assert merge.sentence().endswith("the capacitances add up to 3C.")
    assert merges(capacitor("C1", "C", "a", "0"), capacitor("C2", "C_2", "a", "0")) == ()


@pytest.mark.parametrize(
    "more",
    [
        [capacitor("C3", "1 µF", "b", "0")],
        [resistor("R1", "1 kΩ", "b", "0")],
        [battery("E2", "1 V", "b", "0")],
    ],
)
def test_what_ends_between_two_keeps_them_from_being_in_series(more) -> None:
    found = merges(capacitor("C1", "1 µF", "a", "b"), capacitor("C2", "2 µF", "b", "0"), *more)
    assert [merge for merge in found if merge.kind == "series"] == []


def test_charge_between_two_keeps_them_from_being_one() -> None:
    assert merges(capacitor("C1", "1 µF", "a", "b", initial="2 V"), capacitor("C2", "2 µF", "b", "0")) == ()


def test_a_ring_and_a_shorted_part_are_nothing_of_the_kind() -> None:
    ring = merges(
        capacitor("C1", "1 µF", "x", "y"), capacitor("C2", "2 µF", "y", "z"), capacitor("C3", "1 µF", "z", "x")
    )
    assert ring == ()
    assert merges(capacitor("C1", "1 µF", "a", "0"), capacitor("C2", "2 µF", "a", "a2"), wire("W1", "a", "a2")) == ()


def test_a_document_has_builds_as_charged() -> None:
    sketch = Sketch.of(
        battery("E1", "500 V", "a", "0"),
        capacitor("C1", "plates 20 cm2 mica 0.2 mm + κ 2.50 at 3 MV/m 0,1 mm", "a", "0"),
    )
    build = builds_document(solve_network(sketch))["parts"]["C1"]
    assert build["words"] == "plates 20 cm² mica 0.2 mm + κ 2.50 at 3 MV/m 0.1 mm"
    assert build["sizes"] == [{"value": 0.002, "text": "20 cm²", "shown": "20 cm²"}]
    mica, own = build["layers"]
    # 500 V over 0.2/6 + 0.1/2.5 mm of vacuum: 6.818 MV/m·6 in that vacuum, so 1.14 MV/m in the mica, 2.73 in the other.
    assert (mica["field"]["text"], own["field"]["text"]) == ("1.14 MV/m", "2.73 MV/m")
    assert (own["strength"], own["weakest"], own["past"], mica["weakest"]) == ("3.00 MV/m", True, False, False)
    assert mica["thickness"] == {"value": 0.0002, "text": "0.2 mm", "shown": "0.2 mm"}
    assert mica["density"] == own["density"]

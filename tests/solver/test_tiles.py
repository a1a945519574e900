"""The tiles of particular networks: which way round, bars, bare points, several pictures, what does not tile."""

from __future__ import annotations

from itertools import pairwise

import pytest

from solver import Sketch, battery, capacitor, resistor, switch, wire
from solver.tiles import MOST_TILES
from tests.solver.tilings import assert_on_bars, assert_tiled, box, exact, tiles

MICRO = 10**6


def drawn(joints, *parts, **rest):
    """A sketch with its joints at these places."""
    return Sketch.read({"joints": joints, "parts": [part.document() for part in parts], **rest})


def in_micro(picture):
    """Every tile's left, right (microcoulombs), bottom and top (volts)."""
    return {
        tile.part: (left * MICRO, right * MICRO, bottom, top)
        for tile in picture.tiles
        for left, right, bottom, top in [box(tile)]
    }


def order(picture):
    """The parts from left to right."""
    return [tile.part for tile in sorted(picture.tiles, key=lambda tile: exact(tile.left + tile.right))]


MIXED = (
    battery("E1", "9 V", "a", "0"),
    capacitor("C1", "30 µF", "a", "b"),
    capacitor("C2", "10 µF", "b", "0"),
    capacitor("C3", "5 µF", "b", "0"),
)


def test_series_parts_stack_and_parallel_parts_stand_side_by_side():
    # 30 µF in series with 15 µF: 90 µC, 3 V and 6 V; the 90 µC part as 60 to 30.
    [picture] = tiles(Sketch.of(*MIXED)).pictures
    assert in_micro(picture) == {"C1": (0, 90, 6, 9), "C2": (0, 60, 0, 6), "C3": (60, 90, 0, 6)}
    assert (picture.kind, picture.across, picture.note) == ("capacitor", "charge", None)
    assert (picture.width.text, picture.height.text, picture.area.text) == ("90.0 µC", "9.00 V", "405 µJ")


def test_bars_lie_at_the_potentials_of_their_conductors():
    [picture] = tiles(Sketch.of(*MIXED)).pictures
    bars = [(bar.conductors, bar.potential.text, bar.left, bar.right * MICRO) for bar in picture.bars]
    assert bars == [(("k1",), "9.00 V", 0, 90), (("k3",), "6.00 V", 0, 90), (("k2",), "0 V", 0, 90)]


def test_potentials_count_from_the_sheet_s_zero():
    [picture] = tiles(Sketch.of(*MIXED, zero="b")).pictures
    assert in_micro(picture)["C1"] == (0, 90, 0, 3)
    assert in_micro(picture)["C2"] == (0, 60, -6, 0)
    assert [tick.text for tick in picture.ticks_up] == ["−6 V", "−4 V", "−2 V", "0", "2 V"]


def test_a_part_against_the_fall_is_turned_and_read_without_a_sign():
    [picture] = tiles(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "2 F", "0", "a"))).pictures
    [tile] = picture.tiles
    assert tile.turned
    assert (tile.voltage.text, tile.across.text, tile.area.text) == ("9.00 V", "18.0 C", "81.0 J")
    assert box(tile) == (0, 18, 0, 9)


def test_a_resistor_is_as_wide_as_its_current_and_its_area_is_its_power():
    sketch = Sketch.of(battery("E1", "6 V", "a", "0"), resistor("R1", "1 Ω", "a", "b"), resistor("R2", "2 Ω", "b", "0"))
    [picture] = tiles(sketch).pictures
    assert (picture.kind, picture.across) == ("resistor", "current")
    assert {tile.part: box(tile) for tile in picture.tiles} == {"R1": (0, 2, 4, 6), "R2": (0, 2, 0, 4)}
    assert [tile.area.text for tile in picture.tiles] == ["4.00 W", "8.00 W"]
    assert picture.area.text == "12.0 W"


# The order on the sheet


def three(xs, battery_at, *, top="a", flip=1):
    """Three capacitors side by side at these columns, and a battery: all between two rails of wire."""
    joints, parts = {}, []
    columns = {**{f"C{n}": x for n, x in enumerate(xs, 1)}, "E1": battery_at}
    ordered = sorted(columns, key=columns.__getitem__)
    for part in ordered:
        x = flip * columns[part]
        joints |= {f"t{part}": [x, 0], f"b{part}": [x, 8]}
        ends = f"t{part}", f"b{part}"
        if part == "E1":
            parts.append(battery("E1", "1 V", *(ends if top == "a" else ends[::-1])))
        else:
            parts.append(capacitor(part, f"{10 + int(part[1])} µF", *ends))
    for one, other in pairwise(ordered):
        parts += [wire(f"Wt{other}", f"t{one}", f"t{other}"), wire(f"Wb{other}", f"b{one}", f"b{other}")]
    return drawn(joints, *parts)


@pytest.mark.parametrize("battery_at", [0, 10, 22], ids=["left", "between", "right"])
@pytest.mark.parametrize("plus", ["a", "b"], ids=["plus above", "plus below"])
@pytest.mark.parametrize("xs", [(4, 8, 16), (16, 4, 8)], ids=["in order", "out of order"])
def test_what_is_left_on_the_sheet_is_left_in_the_tiles(xs, battery_at, plus):
    [picture] = tiles(three(xs, battery_at, top=plus)).pictures
    assert_tiled(picture)
    assert order(picture) == sorted(("C1", "C2", "C3"), key=lambda part: xs[int(part[1]) - 1])


def test_a_mirrored_drawing_has_mirrored_tiles():
    [picture] = tiles(three((4, 8, 16), 0)).pictures
    [mirrored] = tiles(three((4, 8, 16), 0, flip=-1)).pictures
    assert order(mirrored) == order(picture)[::-1]


def bridge(left, right, kind=capacitor, unit="µF"):
    """A bridge drawn with its two halves at these columns, apart from each other."""
    a, b = ("L", left), ("R", right)
    joints = {"p": [10, 0], "n": [10, 20], "s": [0, 0], "z": [0, 20]}
    parts = [battery("E1", "12 V", "s", "z"), wire("W1", "s", "p"), wire("W2", "z", "n")]
    for name, x in (a, b):
        joints |= {f"t{name}": [x, 2], f"m{name}": [x, 10], f"u{name}": [x, 18]}
    joints |= {"t": [10, 2], "u": [10, 18]}
    parts += [wire("W3", "p", "t"), wire("W4", "u", "n")]
    for name in "LR":
        parts += [wire(f"Wt{name}", "t", f"t{name}"), wire(f"Wu{name}", "u", f"u{name}")]
    parts += [
        kind("P1", f"40 {unit}", "tL", "mL"),
        kind("P2", f"10 {unit}", "mL", "uL"),
        kind("P3", f"10 {unit}", "tR", "mR"),
        kind("P4", f"40 {unit}", "mR", "uR"),
        kind("P5", f"20 {unit}", "mL", "mR"),
    ]
    return drawn(joints, *parts)


def test_a_bridge_is_tiled_with_the_middle_one_across():
    # By symmetry the middle part has 12 V − 2·4 V; the outer ones 4 V at 40 µF and 8 V at 10 µF.
    [picture] = tiles(bridge(6, 14)).pictures
    assert_tiled(picture)
    assert in_micro(picture) == {
        "P1": (0, 160, 8, 12),
        "P2": (0, 80, 0, 8),
        "P3": (160, 240, 4, 12),
        "P4": (80, 240, 0, 4),
        "P5": (80, 160, 4, 8),
    }


def test_a_bridge_drawn_the_other_way_round_is_tiled_the_other_way_round():
    [picture] = tiles(bridge(14, 6)).pictures
    assert_tiled(picture)
    assert in_micro(picture)["P1"] == (80, 240, 8, 12)


def test_a_drawing_with_crossings_is_tiled_in_the_order_of_its_columns():
    joints = {"a": [0, 0], "0": [0, 20], "m": [30, 6], "n": [10, 6], "o": [20, 6]}
    parts = [battery("E1", "1 V", "a", "0")]
    for joint, name in (("m", "C3"), ("n", "C1"), ("o", "C2")):
        parts += [wire(f"Wa{name}", "a", joint), capacitor(name, f"{name[1]} µF", joint, "0")]
    sketch = drawn(joints, *parts)
    [picture] = tiles(sketch).pictures
    assert_tiled(picture)
    assert order(picture) == ["C1", "C2", "C3"]


# Without charge


def test_a_balanced_bridge_has_a_bare_point_where_four_rectangles_meet():
    sketch = Sketch.of(
        battery("E1", "6 V", "a", "0"),
        capacitor("C1", "10 µF", "a", "b"),
        capacitor("C2", "20 µF", "b", "0"),
        capacitor("C3", "30 µF", "a", "c"),
        capacitor("C4", "60 µF", "c", "0"),
        capacitor("C5", "7 µF", "b", "c"),
    )
    [picture] = tiles(sketch).pictures
    assert_tiled(picture)
    assert_on_bars(picture)
    left, right, bottom, top = in_micro(picture)["C5"]
    assert (bottom, top, left) == (2, 2, right)
    assert left in (in_micro(picture)["C1"][1], in_micro(picture)["C3"][1])
    assert 0 < left < 160


def test_what_hangs_loose_or_is_shorted_is_a_point_on_its_conductor():
    sketch = Sketch.of(*MIXED, capacitor("C4", "1 µF", "b", "d"), capacitor("C5", "1 µF", "d", "e"),
                       capacitor("C6", "1 µF", "a", "f"), wire("W1", "a", "f"))  # fmt: skip
    [picture] = tiles(sketch).pictures
    assert_tiled(picture)
    assert_on_bars(picture)
    assert in_micro(picture)["C4"] == in_micro(picture)["C5"] == (45, 45, 6, 6)
    assert in_micro(picture)["C6"] == (45, 45, 9, 9)


def test_without_any_charge_there_is_no_picture_but_a_sentence():
    sketch = Sketch.of(battery("E1", "6 V", "a", "0"), switch("S1", "a", "b"), capacitor("C1", "1 µF", "b", "0"))
    made = tiles(sketch)
    assert made.pictures == ()
    assert made.notes == ("No capacitor holds any charge, so there is no rectangle to draw.",)


# Several pictures


def test_separate_networks_have_pictures_of_their_own():
    sketch = Sketch.of(*MIXED, battery("E2", "3 V", "x", "y"), capacitor("C4", "2 µF", "x", "y"))
    first, second = tiles(sketch).pictures
    assert [tile.part for tile in first.tiles] == ["C1", "C2", "C3"]
    assert in_micro(second) == {"C4": (0, 6, 0, 3)}


def test_resistors_with_a_current_and_capacitors_have_pictures_of_their_own():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 Ω", "a", "b"),
        resistor("R2", "2 Ω", "b", "0"),
        capacitor("C1", "5 µF", "b", "0"),
    )
    first, second = tiles(sketch).pictures
    assert in_micro(first) == {"C1": (0, 30, 0, 6)}
    assert {tile.part: box(tile) for tile in second.tiles} == {"R1": (0, 3, 6, 9), "R2": (0, 3, 0, 6)}


def test_a_resistor_without_current_joins_conductors_as_a_wire_does():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 kΩ", "a", "b"),
        capacitor("C1", "5 µF", "b", "0"),
        resistor("R2", "1 kΩ", "b", "c"),
        capacitor("C2", "1 µF", "c", "0"),
    )
    made = tiles(sketch)
    [picture] = made.pictures
    assert_tiled(picture)
    assert in_micro(picture) == {"C1": (0, 45, 0, 9), "C2": (45, 54, 0, 9)}
    assert picture.bars[0].conductors == ("k1", "k3", "k4")
    assert made.notes == ("No current flows in the end, so no resistor has a rectangle.",)


def test_charge_from_before_tiles_where_it_lies_between_two_conductors():
    # 60 µC on 10 + 20 µF: 2 V.
    sketch = Sketch.of(capacitor("C1", "10 µF", "a", "0", initial="6 V"), capacitor("C2", "20 µF", "a", "0"), zero="0")
    [picture] = tiles(sketch).pictures
    assert_tiled(picture)
    assert in_micro(picture) == {"C1": (0, 20, 0, 2), "C2": (20, 60, 0, 2)}


def test_two_batteries_in_series_count_as_one_where_nothing_ends_between_them():
    sketch = Sketch.of(battery("E1", "6 V", "a", "m"), battery("E2", "3 V", "m", "0"), *MIXED[1:])
    [picture] = tiles(sketch).pictures
    assert_tiled(picture)
    assert picture.height.text == "9.00 V"


# What does not tile

STAND = "so the rectangles do not fill one: they stand side by side, at common scales."


def assert_in_a_row(picture):
    """One beside the other from zero on, each between bars of its own at the heights of its potentials."""
    at = 0
    for tile in sorted(picture.tiles, key=lambda tile: exact(tile.left)):
        left, right, bottom, top = box(tile)
        assert left == at
        at = right
        for level in (bottom, top):
            assert (level, left, right) in {(exact(b.level), exact(b.left), exact(b.right)) for b in picture.bars}
    assert at == exact(picture.width.exact)
    assert not picture.tiled


def test_batteries_between_different_conductors_leave_rectangles_side_by_side():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        battery("E2", "5 V", "b", "0"),
        capacitor("C1", "1 µF", "a", "c"),
        capacitor("C2", "2 µF", "b", "c"),
        capacitor("C3", "3 µF", "c", "0"),
    )
    [picture] = tiles(sketch).pictures
    assert_in_a_row(picture)
    assert picture.note == f"E1 and E2 do not share both their conductors, {STAND}"


def test_currents_from_two_batteries_leave_rectangles_side_by_side():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        battery("E2", "5 V", "b", "0"),
        resistor("R1", "1 Ω", "a", "c"),
        resistor("R2", "2 Ω", "b", "c"),
        resistor("R3", "3 Ω", "c", "0"),
    )
    [picture] = tiles(sketch).pictures
    assert_in_a_row(picture)
    assert picture.note == f"E1 and E2 do not share both their conductors, {STAND}"


def test_potentials_that_currents_set_leave_rectangles_side_by_side():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        resistor("R1", "1 Ω", "a", "b"),
        resistor("R2", "2 Ω", "b", "0"),
        capacitor("C1", "5 µF", "a", "b"),
        capacitor("C2", "5 µF", "b", "0"),
    )
    capacitors, resistors = tiles(sketch).pictures
    assert_in_a_row(capacitors)
    assert capacitors.note == f"Resistors that carry a current set potentials between the capacitors, {STAND}"
    assert resistors.tiled


def test_charge_kept_on_several_conductors_leaves_rectangles_side_by_side():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", "10 µF", "a", "b", initial="6 V"),
        capacitor("C2", "20 µF", "b", "0"),
    )
    [picture] = tiles(sketch).pictures
    assert_in_a_row(picture)
    assert picture.note == f"Conductors keep a charge that they started with, {STAND}"


def test_a_network_that_no_plane_holds_leaves_rectangles_side_by_side():
    # Five conductors each joined to each, one of the ten joints made by the battery: K. Kuratowski, Fund. Math. 15
    # (1930) 271–283.
    pairs = [(a, b) for a in range(5) for b in range(a) if (a, b) != (1, 0)]
    parts = [capacitor(f"C{n}", f"{n * n + 1} µF", f"n{a}", f"n{b}") for n, (a, b) in enumerate(pairs)]
    [picture] = tiles(Sketch.of(battery("E1", "9 V", "n0", "n1"), *parts)).pictures
    assert_in_a_row(picture)
    assert picture.note == f"No drawing of this network is without crossings, {STAND}"
    # One of them fewer, and a plane holds it.
    [picture] = tiles(Sketch.of(battery("E1", "9 V", "n0", "n1"), *parts[:-1])).pictures
    assert_tiled(picture)


def test_rectangles_wait_for_symbols_to_have_numbers():
    made = tiles(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "C", "a", "0")))
    assert made.pictures == ()
    assert made.notes == ("The rectangles can be drawn once the symbols have numbers.",)


def test_a_network_beside_the_symbols_is_drawn():
    sketch = Sketch.of(
        *MIXED, battery("E2", "V_0", "x", "y"), resistor("R1", "R", "x", "y"),
    )  # fmt: skip
    made = tiles(sketch)
    assert [picture.kind for picture in made.pictures] == ["capacitor"]
    assert len(made.notes) == 1


def test_too_many_parts_are_left_out_with_a_sentence():
    count = MOST_TILES + 1
    parts = [capacitor(f"C{n}", "1 µF", "a", "0") for n in range(count)]
    made = tiles(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    assert made.pictures == ()
    assert made.notes == (f"Rectangles are drawn for up to {MOST_TILES} capacitors; there are {count} here.",)


# The document, and floats


def test_the_document_has_numbers_to_draw_and_readings_to_write():
    made = tiles(Sketch.of(*MIXED)).document()
    [picture] = made["pictures"]
    assert picture["tiled"] is True
    assert picture["note"] is None
    tile = picture["tiles"][2]
    assert {key: tile[key] for key in ("part", "left", "right", "bottom", "top")} == {
        "part": "C3", "left": 6e-05, "right": 9e-05, "bottom": 0.0, "top": 6.0,
    }  # fmt: skip
    assert tile["area"] == {"exact": "9/100000", "value": 9e-05, "text": "90.0 µJ"}
    assert picture["bars"][1]["conductors"] == ["k3"]
    assert picture["ticks"]["across"][1] == {"at": 2e-05, "text": "20 µC"}


def test_a_network_solved_in_floats_is_tiled_to_their_last_digits(monkeypatch):
    [picture] = tiles(bridge(6, 14)).pictures
    monkeypatch.setattr("solver.solving.MOST_BITS", 0)
    [in_floats] = tiles(bridge(6, 14)).pictures
    assert in_floats.tiled
    for tile, same in zip(in_floats.tiles, picture.tiles, strict=True):
        assert isinstance(tile.left, float)
        found = [getattr(tile, place) for place in ("left", "right", "bottom", "top")]
        assert found == pytest.approx([float(number) for number in box(same)], rel=1e-9, abs=1e-12)

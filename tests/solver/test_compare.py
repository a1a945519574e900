"""Comparisons: exact ratios, the facts of series and parallel, and conclusions that say them.

Expected values are worked out here with fractions: in series 1/C = Σ 1/Cᵢ and Q = CE, in parallel C = Σ Cᵢ, with
U = QV/2; resistors the other way round, with I = E/R and P = IV.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, battery, capacitor, resistor, switch, wire
from solver.compare import ComparisonFault, Wish, compare
from solver.compare_columns import Kind
from tests.solver.exactly import fraction
from tests.solver.strategies import batteries, capacitors, resistors, written

BOTH = (Kind.SERIES, Kind.PARALLEL)
EACH_WAY = (Kind.SERIES, Kind.PARALLEL, Kind.OTHER_SERIES)
MINE = (Kind.NETWORK, Kind.COPY)
numbers = st.fractions(Fraction(1, 10), 100, max_denominator=10).map(lambda number: Fraction(round(number * 10), 10))
lists = st.lists(numbers, min_size=2, max_size=6)


def lantern(*values: str, emf: str | None = "9 V", kind: str = "capacitor", **rated: str) -> Sketch:
    """Parts of one kind side by side on the sheet, and a battery."""
    made = [
        capacitor(f"C{n}", value, "a", "0", rated=rated.get(f"C{n}"))
        if kind == "capacitor"
        else resistor(f"R{n}", value, "a", "0")
        for n, value in enumerate(values, 1)
    ]
    return Sketch.of(*([battery("E1", emf, "a", "0")] if emf else []), *made, title="Storm lantern")


def of(sketch: Sketch, kinds=BOTH, **more):
    return compare(Wish(sketch, tuple(kinds), **more))


def exact(comparison, key: str) -> list[Fraction | None]:
    return [None if reading is None else fraction(reading) for reading in comparison.line(key).row.readings]


# Facts


@given(count=st.integers(2, 12), number=numbers, emf=st.integers(1, 50))
def test_n_equal_parts_have_an_nth_in_series_n_times_in_parallel_and_n_squared_times_the_energy(count, number, emf):
    made = of(lantern(*[written(number, "µF")] * count, emf=f"{emf} V"))
    assert exact(made, "E1.capacitance") == [number / count / 10**6, number * count / 10**6]
    for key in ("E1.capacitance", "E1.charge", "total.energy"):
        assert made.line(key).ratio.exact == ("1", str(count**2))
    for name in (f"C{n}" for n in range(1, count + 1)):
        assert made.line(f"{name}.voltage").ratio.exact == ("1", str(count))
        assert made.line(f"{name}.charge").ratio.exact == ("1", str(count))
        assert made.line(f"{name}.energy").ratio.exact == ("1", str(count**2))


@given(values=lists, emf=st.integers(1, 50))
def test_readings_and_ratios_are_those_of_the_formulas(values, emf):
    made = of(lantern(*[written(value, "µF") for value in values], emf=f"{emf} V"))
    farads = [value / 10**6 for value in values]
    series, parallel = 1 / sum(1 / value for value in farads), sum(farads)
    assert exact(made, "E1.capacitance") == [series, parallel]
    assert series < min(farads)
    assert parallel > max(farads)
    assert exact(made, "total.energy") == [series * emf**2 / 2, parallel * emf**2 / 2]
    for n, value in enumerate(farads, 1):
        charge = series * emf
        assert exact(made, f"C{n}.voltage") == [charge / value, emf]
        assert exact(made, f"C{n}.charge") == [charge, value * emf]
        assert exact(made, f"C{n}.energy") == [charge**2 / value / 2, value * emf**2 / 2]
        one, other = (Fraction(text) for text in made.line(f"C{n}.voltage").ratio.exact)
        assert one / other == series / value


@given(values=lists, emf=st.integers(1, 50))
def test_the_same_numbers_as_resistors_are_the_other_way_round(values, emf):
    made = of(lantern(*[written(value, "µF") for value in values], emf=f"{emf} V"), EACH_WAY)
    scale = exact(made, "E1.resistance")[2] / sum(values)
    # One prefix's worth for all: 1 µF, 1 nF … has become 1 Ω.
    assert scale in [Fraction(1000) ** power for power in range(-2, 3)]
    for n, value in enumerate(values, 1):
        assert exact(made, f"C{n}.voltage")[2] == emf * value / sum(values)
        assert exact(made, f"C{n}.current") == [None, None, emf / sum(values) / scale]
    assert made.columns[2].names["C1"] == "R1"


@given(values=lists, emf=st.integers(1, 50))
def test_resistors_in_series_are_above_the_largest_and_in_parallel_below_the_smallest(values, emf):
    made = of(lantern(*[written(value, "Ω") for value in values], emf=f"{emf} V", kind="resistor"))
    series, parallel = exact(made, "E1.resistance")
    assert series == sum(values) > max(values)
    assert parallel == 1 / sum(1 / value for value in values) < min(values)
    assert exact(made, "total.power") == [emf**2 / series, emf**2 / parallel]


def test_ratios_are_in_whole_numbers_while_these_are_small():
    made = of(lantern("30 µF", "15 µF"))
    assert made.line("E1.capacitance").ratio.text == "2 : 9"
    assert made.line("C1.energy").ratio.text == "1 : 9"
    uneven = of(lantern("4.7 µF", "22 µF", "10 µF")).line("E1.capacitance").ratio
    # (1/4.7 + 1/22 + 1/10)·36.7 = 13.1473…
    assert uneven.text == "1 : 13.1"
    assert Fraction(uneven.exact[1]) / Fraction(uneven.exact[0]) == sum(
        1 / Fraction(v) for v in ("4.7", "22", "10")
    ) * Fraction("36.7")
    assert of(lantern("30 µF", "15 µF"), EACH_WAY).line("E1.charge").ratio.text == "2 : 9 : –"


def test_symbols_have_exact_ratios_too():
    made = of(lantern("C", "C", "C", emf="V_0"))
    assert [reading.text for reading in made.line("C2.voltage").row.readings] == ["V_0/3", "V_0"]
    assert made.line("C2.voltage").ratio.exact == ("1", "3")
    assert made.line("total.energy").ratio.text == "1 : 9"
    two = of(lantern("C_1", "C_2", emf="V_0"))
    # V₁ = V₀·C₂/(C₁ + C₂) in series
    assert two.line("C1.voltage").ratio.exact == ("1", "(C_1+C_2)/C_2")
    assert two.line("C1.voltage").ratio.text == "1 : (C_1 + C_2)/C_2"
    # A capacitance over a resistance is no ratio of anything.
    assert of(lantern("C_1", "C_2", emf="V_0"), EACH_WAY).line("C1.voltage").ratio is None


def test_columns_with_symbols_of_their_own_are_divided_all_the_same():
    made = of(lantern("C", "2C", emf="V_0"), (Kind.SERIES, Kind.OTHER_SERIES))
    # C gets 2/3 and 2C gets 1/3; R gets 1/3 and 2R gets 2/3.
    assert made.line("C1.voltage").ratio.exact == ("2", "1")
    assert made.line("C2.voltage").ratio.exact == ("1", "2")


# Conclusions


def test_the_conclusions_of_three_equal_capacitors():
    made = of(lantern("30 µF", "30 µF", "30 µF"))
    assert [line.conclusion for line in made.lines[:6]] == [
        "In parallel the capacitances add up to nine times what they come to in series, where the equivalent is less "
        "than the smallest part.",
        "In parallel the same battery gives nine times the charge it gives in series: at the same voltage charge is "
        "proportional to capacitance.",
        "In parallel the parts store nine times the energy they store in series, from the same battery.",
        "In series each gets a third of the voltage, in parallel all of it.",
        "In parallel each carries three times the charge it carries in series: charge is proportional to voltage.",
        "In parallel each stores nine times the energy it stores in series: three times the voltage, squared.",
    ]


def test_symbols_say_how_much_the_share_is():
    told = of(lantern("C", "C", "C", emf="V_0")).line("C1.voltage").conclusion
    assert told == "In series each gets a third of the voltage, V_0/3; in parallel all of it, V_0."


def test_a_part_past_its_rating_is_warned_of_with_the_number_of_volts():
    made = of(lantern("30 µF", "15 µF", emf="20 V", C2="16 V"))
    assert made.line("C2.voltage").warning == "C2 would be 4.00 V past its rating in parallel."
    assert made.line("C1.voltage").warning is None
    assert any("burst" in note for note in made.notes)
    worse = of(lantern("30 µF", "15 µF", emf="20 V", C2="10 V"))
    # 20 V · 30/45 = 13.33 V in series
    assert worse.line("C2.voltage").warning == "C2 would be 3.33 V past its rating in series and 10.0 V in parallel."


def test_at_its_rating_a_part_is_not_past_it():
    made = of(lantern("30 µF", "15 µF", emf="16 V", C2="16 V"))
    assert made.line("C2.voltage").warning is None
    assert made.notes == ()


def test_with_resistors_the_other_way_round_is_explained():
    made = of(lantern("30 µF", "15 µF"), EACH_WAY)
    assert made.line("E1.resistance").conclusion.startswith("With resistors it is the other way round: in series")
    told = made.line("C1.voltage").conclusion
    assert told.startswith(
        "In series C1 gets a third of the voltage; in parallel all of it; "
        "as resistors in series R1 gets two thirds of it. "
    )
    assert "equal current takes more in the larger resistance" in told.lower()
    assert made.notes == ("As resistors the parts have the same numbers: 1 µF has become 1 Ω.",)


def test_one_part_alone_is_the_same_in_series_and_in_parallel():
    made = of(lantern("30 µF"))
    assert made.line("total.energy").conclusion == "In series and in parallel the parts store the same energy."
    assert made.line("C1.charge").ratio.text == "1 : 1"


# A network of one's own

BRIDGE = Sketch.of(
    battery("E1", "12 V", "a", "0"),
    capacitor("C1", "40 µF", "a", "p"),
    capacitor("C2", "10 µF", "p", "0"),
    capacitor("C3", "10 µF", "a", "q"),
    capacitor("C4", "40 µF", "q", "0"),
    capacitor("C5", "20 µF", "p", "q"),
)


def test_an_unchanged_copy_is_the_same_in_every_row():
    made = of(BRIDGE, MINE)
    assert {line.ratio.text for line in made.lines} == {"1 : 1"}
    assert made.line("C5.charge").conclusion == (
        "In the unchanged network and in the changed copy C5 carries the same charge."
    )


def test_a_changed_copy_has_its_change_and_the_network_does_not():
    # With C1 = 10 µF and C3 = 40 µF both sides of the bridge share alike, so that nothing is across C5.
    made = of(BRIDGE, MINE, changed={"C1": {"value": "10 µF"}, "C3": {"value": "40 µF"}})
    assert exact(made, "C5.voltage")[1] == 0
    balanced = of(BRIDGE, MINE, changed={"C1": {"value": "10 µF"}, "C4": {"value": "10 µF"}})
    assert balanced.line("C5.voltage").conclusion == (
        "In the changed copy C5 has no voltage, in the unchanged network 4.00 V."
    )
    assert [part.value for part in balanced.columns[0].sketch.parts[1:]] == [
        "40 µF",
        "10 µF",
        "10 µF",
        "40 µF",
        "20 µF",
    ]
    assert [part.value for part in balanced.columns[1].sketch.parts[1:]] == [
        "10 µF",
        "10 µF",
        "10 µF",
        "10 µF",
        "20 µF",
    ]


def test_a_reading_that_changes_its_sign_is_said_to_be_the_other_way_round():
    # Exchanging the two sides of the bridge turns the voltage of C5 round.
    changed = {"C1": "10 µF", "C2": "40 µF", "C3": "40 µF", "C4": "10 µF"}
    made = of(BRIDGE, MINE, changed={name: {"value": value} for name, value in changed.items()})
    assert made.line("C5.voltage").ratio.text == "1 : −1"
    assert made.line("C5.voltage").conclusion.endswith("the other way round.")


def test_a_switch_can_be_closed_in_the_copy():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", "30 µF", "a", "b"),
        capacitor("C2", "15 µF", "b", "0"),
        switch("S1", "b", "0"),
    )
    made = of(sketch, MINE, changed={"S1": {"closed": True}})
    assert exact(made, "C1.voltage") == [3, 9]
    assert exact(made, "C2.charge") == [Fraction(9, 10**5), 0]


def test_in_an_arrangement_voltages_have_the_sign_they_have_in_the_network_beside_it():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"), capacitor("C1", "30 µF", "b", "a"), capacitor("C2", "15 µF", "b", "0")
    )
    made = of(sketch, (Kind.NETWORK, Kind.SERIES, Kind.PARALLEL))
    assert exact(made, "C1.voltage") == [-3, -3, -9]
    assert made.line("C1.voltage").ratio.text == "1 : 1 : 3"


def test_what_an_arrangement_leaves_out_is_told():
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0", internal="2 Ω"),
        battery("E2", "3 V", "b", "0", internal="1 Ω"),
        capacitor("C1", "30 µF", "a", "b", initial="4 V"),
        capacitor("C2", "15 µF", "a", "0"),
    )
    assert of(sketch).notes == (
        "Of 2 batteries E1 stands in series and in parallel.",
        "The internal resistance of E1 is left out in series and in parallel.",
        "C1 starts uncharged in series and in parallel.",
    )
    assert of(sketch, MINE).notes == ()
    bare = of(lantern("30 µF", "15 µF", emf=None))
    assert bare.notes == ("There is no battery on the sheet: in series and in parallel one of 9 V is taken.",)
    assert exact(of(lantern("1 F", "1 F", emf=None), emf="5 V"), "C1.voltage") == [Fraction(5, 2), 5]


def test_high_voltages_and_much_energy_are_cautioned_about():
    notes = of(lantern("1 mF", "1 mF", emf="100 V")).notes
    assert [note.partition(" ")[0] for note in notes] == ["Voltages", "So"]
    assert all("rules of your school" in note for note in notes)


# Parts of the other kind


def test_numbers_stay_in_proportion_whatever_the_prefixes():
    made = of(lantern("470 nF", "1 µF", "4u7"), (Kind.SERIES, Kind.OTHER_SERIES))
    parts = made.columns[1].sketch.parts
    assert [(part.name, part.value) for part in parts if part.kind == "resistor"] == [
        ("R1", "470 Ω"),
        ("R2", "1 kΩ"),
        ("R3", "4.7 kΩ"),
    ]
    back = of(lantern("1.5 kΩ", "470 Ω", kind="resistor"), (Kind.SERIES, Kind.OTHER_PARALLEL)).columns[1]
    assert back.title == "As capacitors, in parallel"
    assert [part.value for part in back.sketch.parts if part.kind == "capacitor"] == ["1.5 mF", "470 µF"]


def test_symbols_get_the_letter_of_their_new_quantity():
    made = of(lantern("C_1", "3C_2/2", emf="V_0"), (Kind.SERIES, Kind.OTHER_SERIES))
    assert [part.value for part in made.columns[1].sketch.parts if part.kind == "resistor"] == ["R_1", "3R_2/2"]
    two = of(lantern("R", "r", kind="resistor"), (Kind.SERIES, Kind.OTHER_SERIES)).columns[1]
    assert [part.value for part in two.sketch.parts if part.kind == "capacitor"] == ["C", "C_r"]


def test_names_never_meet():
    sketch = Sketch.of(
        battery("R1", "9 V", "a", "0"), capacitor("C1", "1 µF", "a", "0"), capacitor("C2", "1 µF", "a", "0")
    )
    made = of(sketch, (Kind.SERIES, Kind.OTHER_SERIES))
    assert list(made.columns[1].names.values()) == ["R2", "R3"]


# Limits and faults


def test_at_most_twelve_parts_are_compared():
    many = lantern(*["1 µF"] * 15)
    made = of(many)
    assert len(made.chosen) == 12
    assert made.notes == ("Of 15 parts the first 12 are compared; others can be chosen.",)
    assert [part.name for part in of(many, chosen=("C14", "C2")).chosen] == ["C2", "C14"]
    with pytest.raises(ComparisonFault) as refusal:
        of(many, chosen=tuple(f"C{n}" for n in range(1, 14)))
    assert refusal.value.code == "too-many-to-compare"


@pytest.mark.parametrize(
    ("sketch", "more", "code", "parts"),
    [
        (Sketch.of(battery("E1", "9 V", "a", "0")), {}, "nothing-to-compare", ()),
        (lantern("1 µF"), {"chosen": ("C1", "E1", "C9")}, "part-not-comparable", ("E1", "C9")),
        (lantern("1 µF"), {"chosen": ("C1", "C1")}, "part-not-comparable", ("C1",)),
        (lantern("1 µF"), {"kinds": MINE, "changed": {"C9": {"value": "1 µF"}}}, "change-not-possible", ("C9",)),
        (lantern("1 µF"), {"kinds": MINE, "changed": {"C1": {"closed": True}}}, "change-not-possible", ("C1",)),
    ],
)
def test_what_cannot_be_compared_is_said_by_name(sketch: Sketch, more, code, parts):
    with pytest.raises(ComparisonFault) as refusal:
        of(sketch, **more)
    assert (refusal.value.code, refusal.value.parts) == (code, parts)
    assert re.fullmatch(r"[A-Z].*\.", refusal.value.text)


def test_a_value_that_is_not_understood_is_said_once_and_of_the_part_it_stands_on():
    with pytest.raises(SketchFaults) as refusal:
        of(lantern("30 µF", "lots"), EACH_WAY)
    assert [(fault.code, fault.parts) for fault in refusal.value.faults] == [("value-not-understood", ("C2",))]


# Any network at all


@given(data=st.data())
def test_every_row_of_any_network_has_a_sentence(data):
    made = data.draw(capacitors(st.integers(1, 4), charged=True)), data.draw(resistors(st.integers(0, 3)))
    cells = data.draw(batteries(st.integers(0, 2)))
    sketch = Sketch.of(*cells, *made[0], *made[1], wire("W1", "j0", "j1"))
    changed = {"C0": {"value": "3 µF"}}
    kinds = data.draw(st.lists(st.sampled_from(list(Kind)), min_size=2, max_size=3, unique=True))
    try:
        comparison = of(sketch, kinds, changed=changed)
    except SketchFaults:
        reject()  # batteries that contradict each other
    assert comparison.lines
    for line in comparison.lines:
        assert re.fullmatch(r"[A-Z].*[^.:;, ]\.", line.conclusion), line.conclusion
        assert not re.search(r"  | ,| \.|None|\bin in\b", line.conclusion)
        assert line.row.readings.count(None) < len(kinds)
    document = comparison.document()
    for row in document["rows"]:
        assert len(row["readings"]) == len(kinds)


@given(values=lists)
def test_all_tiles_lie_within_the_scales_that_they_share(values):
    made = of(lantern(*[written(value, "µF") for value in values]), EACH_WAY)
    scales = made.scales
    for column in made.columns:
        for picture in column.tiles.pictures:
            across = scales.across[picture.kind]
            assert float(picture.width) <= across.high * (1 + 1e-12)
            assert all(scales.up.low <= float(t.bottom.p) / float(t.bottom.q) + 1e-12 for t in picture.tiles)
    widest = max(float(picture.width) for column in made.columns[:2] for picture in column.tiles.pictures)
    assert widest == pytest.approx(scales.across["capacitor"].high)
    assert [tick.text for tick in scales.up.ticks] == ["0", "2 V", "4 V", "6 V", "8 V"]

"""A size of a build marked “?” is found from what readings have to be, or it is said why there is none."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from math import exp, log, pi

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, battery, capacitor, resistor, solve
from solver.geometry import VACUUM_PERMITTIVITY, BuildFault, asks_size, read_build, read_open_build
from solver.open_build import NoSize, open_build
from solver.sketch import Requirement, Stage
from solver.solving import solution_of
from solver.stages import solve_stages
from solver.step_unknown import unknown_offer
from solver.typed_document import TextRefused, document_of_text, document_of_value
from solver.unknown import Found, find

E1 = battery("E1", "9 V", "a", "0")
C2 = capacitor("C2", "10 nF", "b", "0")
EPSILON = float(VACUUM_PERMITTIVITY)


def series(build: str, *required: Requirement, stages: tuple[Stage, ...] = (), stage: int | None = None) -> Sketch:
    """The build in series with 10 nF on 9 V."""
    sketch = Sketch.of(E1, capacitor("C1", build, "a", "b"), C2, required=list(required))
    return replace(sketch, stages=stages, stage=stage)


def four_volts(build: str) -> Found:
    """50 nC on 10 nF at 5 V leave 4 V for C1: 12.5 nF."""
    return find(series(build, Requirement("C1.voltage", "4 V")))


def refused(sketch: Sketch) -> str:
    with pytest.raises(SketchFaults) as caught:
        find(sketch)
    [fault] = caught.value.faults
    return fault.text


@pytest.mark.parametrize(
    ("build", "word", "metres"),
    [
        ("plates 1.0 m² ? mica", "gap", 6 * EPSILON / 12.5e-9),
        ("plates ? 1.0 mm mica", "area", 12.5e-9 * 1e-3 / (6 * EPSILON)),
        ("plates 1 m² ?, κ 2 1/4, κ 4 3/4", "gap", (2 / 4 + 4 * 3 / 4) * EPSILON / 12.5e-9),
        ("plates 8 m² κ 2 1 mm + κ 4 ?", "thickness of the layer with κ = 4", 4 * (8 * EPSILON / 12.5e-9 - 1e-3 / 2)),
        ("plates ? κ 2 1 mm + κ 4 2 mm", "area", 12.5e-9 * (1e-3 / 2 + 2e-3 / 4) / EPSILON),
        ("spheres ? 4 m vacuum", "inner radius", 1 / (4 * pi * EPSILON / 12.5e-9 + 1 / 4)),
        ("spheres 4 m ? vacuum", "outer radius", 1 / (1 / 4 - 4 * pi * EPSILON / 12.5e-9)),
        ("cylinders ? 4 cm 90 m κ 3", "inner radius", 0.04 * exp(-2 * pi * 3 * EPSILON * 90 / 12.5e-9)),
        ("cylinders 4 cm ? 90 m κ 3", "outer radius", 0.04 * exp(2 * pi * 3 * EPSILON * 90 / 12.5e-9)),
        ("cylinders 4 cm 5 cm ? κ 3", "length", 12.5e-9 * log(5 / 4) / (2 * pi * 3 * EPSILON)),
        ("sphere ? κ 3", "radius", 12.5e-9 / (4 * pi * 3 * EPSILON)),
    ],
)
def test_a_voltage_tells_a_size_of_a_build(build, word, metres):
    [value] = four_volts(build).values
    assert value.size is not None
    assert value.size.word == word
    assert float(value.size.size) == pytest.approx(metres, rel=1e-12)
    assert value.value.text == "12.5 nF"
    assert value.preferred == ()
    answer = four_volts(build).sketch
    assert float(solve(answer).parts["C1"].voltage) == pytest.approx(4, rel=1e-7)


def test_between_plates_it_is_exact_where_it_ends():
    [value] = four_volts("plates 1.0 m² ? mica").values
    assert (value.exact, value.text) == (True, "plates 1.0 m² 4.250010150144 mm mica")
    answer = four_volts("plates 1.0 m² ? mica").sketch
    assert solve(answer).parts["C1"].voltage.exact == 4


def test_a_size_is_told_in_the_unit_behind_its_mark_else_in_one_that_suits():
    def shown(build: str) -> str:
        [value] = four_volts(build).values
        assert value.size is not None
        return value.size.shown

    assert shown("plates 1.0 m² ? cm mica") == "0.425 cm"
    assert shown("plates ? cm² 1.0 mm mica") == "2350 cm²"
    assert shown("plates ? 1.0 mm mica") == "0.235 m²"
    # As many figures as tell the two radii apart: 1/(1/4 cm − 4π·1.00059·8.854 pF/m / 12.5 nF).
    assert shown("spheres 4 cm ?") == "4.00143 cm"


def test_its_own_capacitance_may_be_what_is_required():
    [value] = find(series("plates ? 1 mm vacuum", Requirement("C1.capacitance", "100 pF"))).values
    assert float(value.size.size) == pytest.approx(100e-12 * 1e-3 / EPSILON)


def test_it_is_found_from_what_a_reading_has_to_be_after_a_time():
    """80 % after 10 s through 1 MΩ: τ = 10 s/ln 5 = 6.21 s, C = 6.21 µF."""
    sketch = Sketch.of(
        E1,
        resistor("R1", "1 MΩ", "a", "b"),
        capacitor("C1", "plates 1 m² ? κ 6", "b", "0"),
        required=[Requirement("C1.voltage", "80 %", "10 s")],
    )
    [value] = find(sketch).values
    assert float(value.size.size) == pytest.approx(6 * EPSILON / (10 / log(5) / 1e6), rel=1e-12)
    assert value.line is not None


def test_with_several_time_constants_it_is_closed_in_upon():
    parts = (
        E1,
        resistor("R1", "1 MΩ", "a", "b"),
        capacitor("C1", "plates 1 m² ? κ 6", "b", "0"),
        resistor("R2", "1 MΩ", "b", "c"),
        capacitor("C2", "1 µF", "c", "0"),
    )
    [value] = find(Sketch.of(*parts, required=[Requirement("C2.voltage", "4 V", "3 s")])).values
    plain = [part._replace(value="?") if part.name == "C1" else part for part in parts]
    [whole] = find(Sketch.of(*plain, required=[Requirement("C2.voltage", "4 V", "3 s")])).values
    assert float(value.size.size) == pytest.approx(6 * EPSILON / float(whole.value), rel=1e-9)


def test_an_energy_may_leave_two_sizes():
    """20 µJ on C1 beside 5 µF on 9 V: 0.625 µF or 40 µF, so the gap is one or the other of 64 to 1."""
    c2 = capacitor("C2", "5 µF", "b", "0")
    build = capacitor("C1", "plates 1 m² ? κ 10", "a", "b")
    [value] = find(Sketch.of(E1, build, c2, required=[Requirement("C1.energy", "20 µJ")])).values
    assert (value.size.shown, value.size.others) == ("142 µm", ("2.21 µm",))


def test_two_sizes_take_two_requirements():
    """1 µC at 4 V are 250 nF, at the other 5 V 200 nF."""
    required = [Requirement("C1.voltage", "4 V"), Requirement("E1.charge", "1 µC")]
    builds = capacitor("C1", "plates 1 m² ? vacuum", "a", "b"), capacitor("C2", "plates ? 1 mm vacuum", "b", "0")
    one, other = find(Sketch.of(E1, *builds, required=required)).values
    assert float(one.size.size) == pytest.approx(EPSILON / 250e-9)
    assert float(other.size.size) == pytest.approx(200e-9 * 1e-3 / EPSILON)


AIR, MICA = "plates ? 1 mm vacuum", "plates ? 1 mm mica"


def test_one_size_may_be_asked_for_through_the_stages():
    """A slab of mica goes in with the battery on: 9 V on 6·C are 54 nC, so C is 1 nF and the area 1 nF·1 mm/ε₀."""
    stages = (Stage(settings=(("C1", AIR),)), Stage(settings=(("C1", MICA),)))
    sketch = Sketch.of(E1, capacitor("C1", AIR, "a", "0"), required=[Requirement("C1.charge", "54 nC")])
    found = find(replace(sketch, stages=stages, stage=1))
    [value] = found.values
    assert float(value.size.size) == pytest.approx(1e-9 * 1e-3 / EPSILON)
    assert [each.typed for each in value.texts] == [AIR, MICA]
    charges = [solution_of(each.solved).parts["C1"].charge.text for each in solve_stages(found.sketch)]
    assert charges == ["9.00 nC", "54.0 nC"]


@pytest.mark.parametrize("other", ["?", "plates 1 m² ? mica", "plates ? mica 1 mm + air ?", "sphere ?"])
def test_stages_that_ask_for_different_things_are_refused(other):
    stages = (Stage(settings=(("C1", AIR),)), Stage(settings=(("C1", other),)))
    sketch = Sketch.of(E1, capacitor("C1", AIR, "a", "0"), required=[Requirement("C1.charge", "54 nC")])
    if other.count("?") > 1:
        with pytest.raises(SketchFaults):
            find(replace(sketch, stages=stages, stage=1))
        return
    assert refused(replace(sketch, stages=stages, stage=1)) == (
        "The stages ask for C1 in different ways: “?” has to stand for the same thing in all of them, one size of one "
        "build or the whole value."
    )


@pytest.mark.parametrize(
    ("build", "required", "text"),
    [
        (
            "plates 1 m² mica 1 mm + air ?",
            Requirement("C1.capacitance", "100 nF"),
            "No thickness of the air can do this: the other layers alone come to 53.1 nF, and one more makes that "
            "less; C1 would need 100 nF.",
        ),
        (
            "spheres 5 cm ?",
            Requirement("C1.capacitance", "1 pF"),
            "No outer radius can do this: the inner sphere has 5.57 pF even by itself, and one round it only adds to "
            "that; C1 would need 1.00 pF.",
        ),
        (
            "cylinders 1 mm ? 2 m",
            Requirement("C1.capacitance", "1 pF"),
            "No outer radius can do this: one radius of C1 would have to be more than 10²⁶ times the other.",
        ),
        (
            "plates ? 1 mm",
            Requirement("C1.capacitance", "10 F"),
            "No area can do this: C1 would need one of 1.13 × 10⁹ m², far outside anything that could be built.",
        ),
        (
            "plates 1 m² ?",
            Requirement("E1.equivalent", "20 nF"),
            "No capacitor can do this: in series the total is always below 10.0 nF; it would take −20.0 nF.",
        ),
        (
            "plates 1 m² ?",
            Requirement("C1.voltage", ""),
            "Now say what the voltage of C1 has to be: the gap of C1 follows from it.",
        ),
        (
            "plates 1 m² mica 1 mm + air ?",
            Requirement("C1.voltage", ""),
            "Now say what the voltage of C1 has to be: the thickness of the air in C1 follows from it.",
        ),
    ],
)
def test_what_cannot_be_built_is_said(build, required, text):
    assert refused(series(build, required)) == text


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("plates ? ? mica", "only one size of a build can be “?”"),
        ("plates 1 m² mica ? + air ?", "only one size of a build can be “?”"),
        ("plates 1 m² 1 mm ?", "a dielectric cannot be “?”: only a size can"),
        ("plates 1 m² 1 mm κ ?", "a dielectric constant cannot be “?”: only a size can"),
        ("plates 1 m² 1 mm κ 6 at ?", "a strength cannot be “?”: only a size can"),
        ("plates 1 m² 1 mm, mica ?, air 1/2", "a share of the area cannot be “?”: only a size can"),
        ("plates 1 m² 1 mm mica ?", "“?” stands in place of one size of a build, and of nothing else"),
        ("plates ? cm 1 mm", "an area, such as 20 cm² goes here, with its unit"),
        ("spheres 5 cm 4 cm ?", "the outer radius has to be larger than the inner one"),
    ],
)
def test_a_mark_in_the_wrong_place_is_refused_with_one_sentence(text, told):
    with pytest.raises(BuildFault) as caught:
        read_open_build(text)
    assert str(caught.value) == told
    assert not asks_size(text)
    with pytest.raises(TextRefused) as shown:
        document_of_value(text, "capacitor", "value")
    assert str(shown.value) == told


def test_a_build_that_is_not_all_known_has_no_capacitance_of_its_own():
    with pytest.raises(BuildFault, match="can only be found on the sheet"):
        read_build("plates 1 m² ? mica")


def test_the_typing_field_says_what_is_to_be_found():
    told = document_of_text("plates 1 m² ? mica")
    assert (told["kind"], told["text"], told["reading"], told["steps"]) == ("capacitor", "plates 1 m² ? mica", None, [])
    assert told["feedback"] == "a capacitor; the gap is to be found, from what a reading has to be"
    assert told["build"]["layers"][0]["thickness"] == {"value": None, "text": "?", "shown": "?"}
    with_tolerance = document_of_value("spheres ? mm 4 cm ±5 %", "capacitor", "value")
    assert (with_tolerance["text"], with_tolerance["tolerance"]) == ("spheres ? mm 4 cm", "±5 %")
    assert with_tolerance["build"]["sizes"][0] == {"value": None, "text": "? mm", "shown": "? mm"}


@pytest.mark.parametrize(
    ("text", "kind"),
    [("? µF", "capacitor"), ("?kOhm", "resistor"), ("? V", "battery"), ("? C", None), ("? 3 µF", None)],
)
def test_a_unit_behind_a_question_mark_says_what_the_part_is(text: str, kind: str | None):
    if kind is None:
        with pytest.raises(TextRefused):
            document_of_text(text)
        return
    told = document_of_text(text)
    assert (told["kind"], told["text"], told["feedback"]) == (kind, "?", f"to be found: a {kind}")
    assert document_of_value(text, kind, "value")["text"] == "?"
    other = "resistor" if kind == "capacitor" else "capacitor"
    with pytest.raises(TextRefused, match="a number and a unit"):
        document_of_value(text, other, "value")


def derivation(sketch: Sketch) -> list[list[str]]:
    return [[line.formula.text() for line in step.lines] for step in unknown_offer(find(sketch)).steps()]


def test_the_derivation_goes_on_from_the_capacitance_to_the_size():
    *_, solved, sized = derivation(series("plates 1.0 m² ? mica", Requirement("C1.voltage", "4 V")))
    assert solved[-1] == "C_1 = 10.0 nF × (9.00 V − 4.00 V)/(4.00 V) = 12.5 nF"
    assert sized == ["d = κ · ε0 · A/C_1 = (6 × 8.85 pF/m × 1.0 m²)/(12.5 nF) = 4.25 mm"]


def test_a_capacitance_that_is_given_needs_no_other_step():
    """8.854 pF/m · 4 m² / 10 nF = 3.5417 mm; less 0.5 mm, times 6: 18.25005 mm."""
    [sized] = derivation(series("plates 4 m² mica ? + κ 2 1e-1 cm", Requirement("C1.capacitance", "10 nF")))
    assert sized == [
        "d1/κ1 + d2/κ2 = ε0 · A/C_1",
        "d1 = κ1 · (ε0 · A/C_1 − d2/κ2) = 6 × ((8.85 pF/m × 4 m²)/(10.0 nF) − 0.1 cm/2) = 1.83 cm",
    ]


@pytest.mark.parametrize(
    ("build", "last"),
    [
        ("cylinders 4 cm ? 90 m κ 3", "b = 7.41 × a = 7.41 × 4 cm = 29.6 cm"),
        ("cylinders ? 4 cm 90 m κ 3", "a = b/7.41 = 4 cm/7.41 = 0.540 cm"),
        ("spheres ? 4 m", "a = 3.776 m"),
        ("sphere ?", "a = C_1/(4 · π · κ · ε0) = 7.50 nF/(4 · π × 1.00059 × 8.85 pF/m) = 67.4 m"),
    ],
)
def test_radii_are_derived_from_what_stands_for_their_quotient(build, last):
    """2π·3·8.854 pF/m·90 m/7.50 nF = 2.003, and e to that is 7.41; 1/a = 4π·8.86 pF/m/7.5 nF + 1/4 m."""
    [sized] = derivation(series(build, Requirement("C1.capacitance", "7.5 nF")))
    assert sized[-1] == last


farads = st.integers(-15, 3).flatmap(lambda ten: st.integers(1, 999).map(lambda n: n * flint.fmpq(10) ** ten))
lengths = st.fractions(min_value="1/1000", max_value=10, max_denominator=1000).filter(bool)


@given(
    st.sampled_from(["plates {} m² {} m mica", "spheres {} m {} m", "cylinders {} m {} m {} m", "sphere {} m"]),
    st.data(),
)
def test_the_size_that_was_taken_away_is_found_again(form, data):
    sizes = sorted(data.draw(lengths) for _ in range(form.count("{}")))
    place = data.draw(st.integers(0, len(sizes) - 1))
    whole = form.format(*sizes)
    try:
        capacitance = read_build(whole).capacitance
    except BuildFault:
        return
    build = open_build(form.format(*("?" if n == place else size for n, size in enumerate(sizes))))
    found = build.size_for(capacitance, "C1")
    assert float(found) == pytest.approx(float(sizes[place]), rel=1e-9)
    again = build.as_found(build.text(found, 3))
    assert float(again.capacitance) == pytest.approx(float(capacitance), rel=1e-6)


@given(
    st.sampled_from(["plates ? 1 mm", "plates 1 m² mica 1 mm + air ?", "spheres 1 cm ?", "cylinders ? 1 cm 1 m"]),
    farads,
)
def test_a_size_is_found_or_refused_for_every_capacitance(text, capacitance):
    build = open_build(text)
    with contextlib.suppress(NoSize):
        found = build.as_found(build.text(build.size_for(capacitance, "C1"), 3))
        assert float(found.capacitance) == pytest.approx(float(capacitance), rel=1e-4)

"""What is read of a capacitor given by its build: field, charge density, breakdown; absent where not defined."""

from __future__ import annotations

import csv
import io
from math import log, pi

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from solver import Sketch, Solution, battery, capacitor, solve
from solver.geometry import VACUUM_PERMITTIVITY, read_build
from solver.ledger_csv import ledger_csv
from solver.solving import solution_of, solve_network
from solver.steps import steps_of
from tests.solver.test_floats import in_floats

LAYERED = "plates 20 cm² mica 0.2 mm + air 0.1 mm"


def on(emf: str, build: str) -> Solution:
    return solve(Sketch.of(battery("E1", emf, "a", "0"), capacitor("C1", build, "a", "0")))


def texts(solution: Solution) -> dict[str, str]:
    part = solution.document()["parts"]["C1"]
    return {name: part[name]["text"] for name in ("capacitance", "field", "density", "breakdown") if name in part}


def test_a_plain_capacitor_has_none_of_it() -> None:
    assert set(on("9 V", "10 µF").document()["parts"]["C1"]) == {"voltage", "charge", "energy"}


def test_plates_have_the_field_v_over_d_and_the_density_q_over_a() -> None:
    """3.00 kV on 1.00 mm of air: 3.00 MV/m, which is where air breaks down (OpenStax, College Physics, section 19.5).
    26.6 µC on 1.00 m² (OpenStax, University Physics Vol. 2, Example 8.1, of vacuum)."""
    assert texts(on("3 kV", "plates 1.00 m² 1.00 mm vacuum")) == {
        "capacitance": "8.85 nF",
        "field": "3.00 MV/m",
        "density": "26.6 µC/m²",
    }
    assert texts(on("9 V", "plates 1.00 m² 1.00 mm air"))["breakdown"] == "3.00 kV"


def test_readings_are_exact_and_have_the_sign_of_the_voltage() -> None:
    part = on("-9 V", "plates 3 cm² 0.7 mm vacuum").parts["C1"]
    assert part.field.exact == flint.fmpq(-9 * 10000, 7)
    assert part.density.exact == -VACUUM_PERMITTIVITY * flint.fmpq(90000, 7)
    assert part.density.exact * flint.fmpq(3, 10**4) == part.charge.exact


def test_the_largest_field_of_layers_is_that_in_the_smallest_constant() -> None:
    """The same κE in both: in the air 9 V / (0.1 mm + 0.2 mm · 1.00059/6), 67.5 kV/m."""
    field = on("9 V", LAYERED).parts["C1"].field
    assert float(field) == pytest.approx(9 / (0.1e-3 + 0.2e-3 * 1.00059 / 6), rel=1e-14)


def test_symbols_go_through_with_their_units() -> None:
    told = texts(on("V", LAYERED))
    assert told["field"] == "7500 1/m × V"
    assert told["density"] == "66.4 nF/m² × V"
    assert told["breakdown"] == "400 V"


def test_floats_are_read_as_floats() -> None:
    part = in_floats(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", LAYERED, "a", "0"))).parts["C1"]
    assert part.field.exact is None
    assert float(part.field) == pytest.approx(9 / (0.1e-3 + 0.2e-3 * 1.00059 / 6), rel=1e-12)
    assert part.breakdown.exact == on("9 V", LAYERED).parts["C1"].breakdown.exact


LENGTHS = st.integers(1, 999)
LAYER = st.tuples(st.sampled_from(["air", "mica", "paper", "κ 12.5", "water"]), LENGTHS)


@given(st.lists(LAYER, min_size=1, max_size=4), st.integers(-500, 500))
def test_fields_times_thicknesses_are_the_voltage_and_their_energy_is_the_energy(layers, volts) -> None:
    """½κε₀E² in each layer times its volume (energy density: OpenStax, University Physics Vol. 2, section 8.3)."""
    words = " + ".join(f"{name} {microns} µm" for name, microns in layers)
    part = on(f"{volts} V", f"plates 7 cm² {words}").parts["C1"]
    build = read_build(f"plates 7 cm² {words}")
    fields = build.fields(part.voltage.exact)
    assert sum(field * layer.thickness for field, layer in zip(fields, build.layers, strict=True)) == volts
    energy = sum(
        VACUUM_PERMITTIVITY * layer.dielectric.constant * field**2 / 2 * layer.thickness * build.sizes[0]
        for field, layer in zip(fields, build.layers, strict=True)
    )
    assert energy == part.energy.exact


@given(st.integers(1, 7), st.integers(-500, 500))
def test_charge_on_strips_is_each_density_times_its_share(eighths, volts) -> None:
    words = f"plates 8 cm² 0.3 mm, mica {eighths}/8, air {8 - eighths}/8"
    part = on(f"{volts} V", words).parts["C1"]
    build = read_build(words)
    densities = build.densities(part.voltage.exact)
    charge = sum(density * layer.share for density, layer in zip(densities, build.layers, strict=True)) * build.sizes[0]
    assert charge == part.charge.exact
    assert part.density.exact * build.sizes[0] == part.charge.exact


@pytest.mark.parametrize(
    ("words", "inner", "outer", "shell"),
    [
        ("spheres 3 cm 5 cm κ 2.5", 0.03, 0.05, lambda radius: 4 * pi * radius**2),
        ("cylinders 1 mm 4 mm 50 cm κ 2.5", 0.001, 0.004, lambda radius: 2 * pi * radius * 0.5),
    ],
)
def test_round_builds_agree_with_the_integral_of_their_field(words, inner, outer, shell) -> None:
    """By Gauss's law the field is Q/(κε₀·shell); its integral is the voltage, that of its energy density the energy."""
    part = on("90 V", words).parts["C1"]
    permittivity = 2.5 * float(VACUUM_PERMITTIVITY)

    def field(radius: float) -> float:
        return float(part.charge) / permittivity / shell(radius)

    assert quad(field, inner, outer)[0] == pytest.approx(90, rel=1e-12)
    energy = quad(lambda radius: permittivity / 2 * field(radius) ** 2 * shell(radius), inner, outer)[0]
    assert energy == pytest.approx(float(part.energy), rel=1e-12)
    assert float(part.field) == pytest.approx(field(inner), rel=1e-12)
    assert float(part.density) == pytest.approx(float(part.charge) / shell(inner), rel=1e-12)


def test_a_coaxial_cable_breaks_down_at_the_inner_conductor() -> None:
    """Polyethylene, 17.7 MV/m at a radius of 0.5 mm inside 1.75 mm: V = E·a·ln(b/a), 11.1 kV."""
    told = texts(on("9 V", "cylinders 0.5 mm 1.75 mm 1 m polyethylene"))
    assert float(told["breakdown"].removesuffix(" kV")) == pytest.approx(17.7e6 * 0.5e-3 * log(3.5) / 1e3, abs=0.05)


@pytest.mark.parametrize(("emf", "past"), [("400 V", False), ("401 V", True), ("-401 V", True)])
def test_past_breakdown_is_noted_with_what_breaks_down(emf, past) -> None:
    """The layered build breaks down at 300 V + 2 · 300 V · 1.00059/6, 400.06 V."""
    notes = [note.text for note in on(emf, LAYERED).notes if note.code == "past-breakdown"]
    assert notes == ["C1: the field in the air is past what air withstands, so it would break down."] * past


def test_at_its_strength_exactly_nothing_is_past_it() -> None:
    assert on("3 kV", "plates 1 m² 1 mm").notes == ()
    assert [note.code for note in on("3001 V", "plates 1 m² 1 mm").notes] == ["past-breakdown"]


def test_where_no_strength_is_listed_there_is_no_breakdown() -> None:
    solution = on("1000 kV", "plates 1 m² 1 mm water")
    assert solution.parts["C1"].breakdown is None
    assert solution.notes == ()


def test_a_spreadsheet_has_field_density_and_breakdown() -> None:
    sketch = Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "plates 1 m² 1 mm", "a", "0"))
    rows = csv.DictReader(io.StringIO(ledger_csv(sketch, solution_of(solve_network(sketch))).decode("utf-8-sig")))
    row = next(row for row in rows if row["Part"] == "C1")
    assert (row["Largest field"], row["Largest field / V/m"], row["Breaks down at"]) == (
        "9.00 kV/m",
        "9000.0",
        "3.00 kV",
    )


def test_drawings_beside_steps_have_the_capacitance_in_place_of_the_words() -> None:
    parts = (capacitor("C1", "plates 1 m² 1 mm vacuum", "a", "b"), capacitor("C2", "8.85 nF", "b", "0"))
    solved = solve_network(Sketch.of(battery("E1", "9 V", "a", "0"), *parts))
    document = steps_of(solved, solution_of(solved), None).document()
    drawn = [part for step in document["steps"] if step.get("sketch") for part in step["sketch"]["parts"]]
    assert {part["value"] for part in drawn if part["name"] == "C1"} == {"8.85 nF"}

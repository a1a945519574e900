"""Published capacitors given by their build, to the printed digits, the source beside each."""

from __future__ import annotations

import pytest

from solver import Sketch, battery, capacitor, solve
from solver.geometry import read_build

UP = "OpenStax, University Physics Vol. 2"
CASES = [
    # source, emf, build, what is printed
    (
        f"{UP}, section 8.1, Example 8.1",
        "3.00 kV",
        "plates 1.00 m² 1.00 mm vacuum",
        ("8.85 nF", "26.6 µC", "39.8 mJ"),
    ),
    (
        "NCERT, Physics Textbook for Class XII, Part I, ch. 2, Exercise 2.8 (as in published solutions)",
        "100 V",
        "plates 6e-3 m² 3 mm vacuum",
        ("17.7 pF", "1.77 nC", None),
    ),
    (
        "Halliday, Resnick and Walker, ch. 25, Problem 3 (as quoted, charge from memory)",
        "120 V",
        "plates 211.24 cm² 1.30 mm vacuum",
        ("144 pF", "17.3 nC", None),
    ),
    (
        f"{UP}, section 8.3, Problem 47, and College Physics 2e, section 19.7, Problem 67 (bookcase shelves)",
        "0.452 V",
        "plates 100 m² 0.200 m vacuum",
        ("4.43 nF", "2.00 nC", "452 pJ"),
    ),
    (
        f"{UP}, section 8.1, Check Your Understanding 8.3 (3.59 cm is printed, cut off after the third figure)",
        None,
        "spheres 3.595 cm 17.98 cm vacuum",
        ("5.00 pF", None, None),
    ),
    (
        "Serway and Jewett, 6th ed., ch. 26, Problem 43 (a) (as quoted in published solutions)",
        None,
        "plates 1.75 cm² 0.0400 mm κ 2.10",
        ("81.3 pF", None, None),
    ),
]


@pytest.mark.parametrize(("source", "emf", "build", "printed"), CASES, ids=[case[0] for case in CASES])
def test_a_published_build_has_the_printed_values(source, emf, build, printed):
    solution = solve(Sketch.of(battery("E1", emf or "1 V", "a", "0"), capacitor("C1", build, "a", "0")))
    part, equivalent = solution.parts["C1"], solution.parts["E1"].equivalent
    got = (equivalent.text, part.charge.text, part.energy.text)
    assert [have for have, want in zip(got, printed, strict=True) if want] == [want for want in printed if want], source


def test_three_dielectrics_between_one_pair_of_plates():
    """1.76 pF. Serway and Jewett, 6th ed., ch. 26, Problem 61 (b) (as quoted, partly from memory):
    plates of 1.00 cm², 2.00 mm apart, half the area one dielectric, the other half two layers."""
    parts = (
        capacitor("C1", "plates 0.500 cm² 2.00 mm κ 4.90", "a", "0"),
        capacitor("C2", "plates 0.500 cm² κ 5.60 1.00 mm + κ 2.10 1.00 mm", "a", "0"),
    )
    assert solve(Sketch.of(battery("E1", "1 V", "a", "0"), *parts)).parts["E1"].equivalent.text == "1.76 pF"


def test_concentric_spheres():
    """84.5 pF. Halliday, Resnick and Walker, 6th ed., ch. 26, Problem 8 (as quoted): with 8.99·10⁹ for 1/4πε₀."""
    farads = float(read_build("spheres 38.0 mm 40.0 mm vacuum").capacitance)
    assert farads == pytest.approx(0.038 * 0.040 / 0.002 / 8.99e9, rel=5e-4)
    assert round(0.038 * 0.040 / 0.002 / 8.99e9 * 1e12, 1) == 84.5


def test_the_earth_and_the_ionosphere():
    """0.065 F, 23 000 C and 4.0 GJ: OpenStax, University Physics Vol. 2, section 8.5, Additional Problem 67."""
    farads = float(read_build("spheres 6370 km 6440 km vacuum").capacitance)
    assert farads == pytest.approx(0.065, abs=0.0005)
    assert farads * 350e3 == pytest.approx(23e3, abs=500)
    assert farads * 350e3**2 / 2 == pytest.approx(4.0e9, abs=0.05e9)


def test_neoprene_between_plates():
    """4.4 µF and 4.0·10⁻⁵ C on 9.00 V: OpenStax, University Physics Vol. 2, section 8.5, Problem 59."""
    build = read_build("plates 1.50 m² 0.0200 mm neoprene")
    assert float(build.capacitance) == pytest.approx(4.4e-6, abs=0.05e-6)
    assert float(build.capacitance) * 9 == pytest.approx(4.0e-5, abs=0.05e-5)


def test_cylinders_of_the_printed_ratios_have_the_printed_capacitance():
    """20 pF per metre at 1:16, OpenStax, University Physics Vol. 2, section 8.1, Problem 29; 25.0 pF at 9.2, there
    Check Your Understanding 8.4."""
    assert float(read_build("cylinders 1 mm 16 mm 1 m vacuum").capacitance) == pytest.approx(20e-12, abs=0.5e-12)
    assert float(read_build("cylinders 1 mm 9.2 mm 1.0 m vacuum").capacitance) == pytest.approx(25.0e-12, abs=0.1e-12)


def test_the_field_at_which_dry_air_and_teflon_break_down():
    """3 kV and 60 kV across 1.00 mm: OpenStax, College Physics, section 19.5."""
    for filling, volts in (("air", "3.00 kV"), ("teflon", "60.0 kV")):
        build = f"plates 1 m² 1.00 mm {filling}"
        part = solve(Sketch.of(battery("E1", volts, "a", "0"), capacitor("C1", build, "a", "0"))).parts["C1"]
        assert part.breakdown.text == part.voltage.text == volts


def test_air_plates_to_four_figures():
    """17.71 pF and 1.771·10⁻⁹ C: NCERT, Physics Textbook for Class XII, Part I, ch. 2, Exercise 2.8 (as in published
    solutions), with air taken as κ = 1."""
    parts = (battery("E1", "100 V", "a", "0"), capacitor("C1", "plates 6e-3 m² 3 mm vacuum", "a", "0"))
    part = solve(Sketch.of(*parts, figures=4)).parts["C1"]
    assert (part.capacitance.text, part.charge.text) == ("17.71 pF", "1.771 nC")

"""Published problems that ask for a size of a capacitor's build: what is found for “?” is what is printed, to its last
figure.
"""

from __future__ import annotations

import pytest

from solver import Sketch, battery, capacitor, solve
from solver.geometry import read_build
from solver.sketch import Requirement
from solver.unknown import find


def farads(build: str) -> float:
    return float(read_build(build).capacitance)


def size(build: str, picofarads: float) -> float:
    """The size written “?” (m or m²) that makes a build have so many picofarads."""
    required = [Requirement("C1.capacitance", f"{picofarads} pF")]
    [value] = find(Sketch.of(capacitor("C1", build, "a", "0"), required=required)).values
    assert value.size is not None
    return float(value.size.size)


def test_the_area_of_a_small_capacitor():
    """1.1·10⁻³ m² for 5.0 pF, 2.0 mm: University Physics Vol. 2, section 8.1, Problem 25."""
    assert f"{size('plates ? 2.0 mm vacuum', 5.0):.1e}" == "1.1e-03"


def test_the_area_of_plates_that_have_what_two_spheres_have():
    """191 cm² for 84.5 pF, 2.0 mm: Halliday, Resnick & Walker, 6th ed., ch. 26, Problem 8 (b) (as quoted)."""
    assert f"{size('plates ? 2.0 mm vacuum', 84.5) * 1e4:.0f}" == "191"


def test_the_inner_radius_of_two_spheres():
    """3.59 cm for 5.00 pF, outer radius 17.98 cm: section 8.1, Check Your Understanding 8.3. The book truncates: from
    the ratio 5 of the radii it is 3.595 cm."""
    inner = 100 * size("spheres ? 17.98 cm vacuum", 5.00)
    assert f"{inner:.3f}" == "3.595"
    assert int(inner * 100) / 100 == 3.59


@pytest.mark.parametrize(
    ("picofarads", "figures", "printed"),
    [
        # 1 : 16 from 20 pF per metre, section 8.1, Problem 29.
        (20.0, 2, "16"),
        # 0.500 nC on 20.0 V are 25.0 pF on 1.0 m; 9.25 with ε₀ = 8.85·10⁻¹², 9.26 exactly, printed as 9.2: section 8.1,
        # Check Your Understanding 8.4.
        (25.0, 3, "9.26"),
    ],
)
def test_the_ratio_of_the_radii_of_a_cylinder(picofarads, figures, printed):
    ratio = 1000 * size("cylinders 1 mm ? 1 m vacuum", picofarads)
    assert f"{ratio:.{figures}g}" == printed


def test_the_charge_that_tells_the_capacitance_of_the_cylinder():
    """0.500 nC at 20.0 V: 25.0 pF."""
    solution = solve(Sketch.of(battery("E1", "20.0 V", "a", "0"), capacitor("C1", "25.0 pF", "a", "0")))
    assert solution.parts["C1"].charge.text == "500 pC"


@pytest.mark.parametrize(
    ("build", "figures", "printed"),
    [
        # NCERT, Physics Textbook for Class XII, Part I, ch. 2, Exercise 2.8, with ε₀ = 8.854·10⁻¹² and κ of air as 1.
        ("plates 6e-3 m² 3 mm vacuum", 4, 17.71e-12),
        # University Physics Vol. 2, section 8.5, Additional Problem 67.
        ("spheres 6370 km 6440 km vacuum", 2, 0.065),
        # Halliday, Resnick & Walker, 6th ed., ch. 26, Problem 8: printed 84.5 pF with 8.99·10⁹ for 1/4πε₀.
        ("spheres 38.0 mm 40.0 mm vacuum", 6, 84.5614e-12),
    ],
)
def test_the_printed_capacitance_to_its_last_figure(build, figures, printed):
    assert float(f"{farads(build):.{figures}g}") == pytest.approx(printed, rel=1e-9)

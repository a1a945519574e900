"""Networks of capacitors, resistors, batteries, switches and wires, solved exactly: physics, and nothing of the web.

How a sketch becomes a solution, each step a module that knows only the ones before it:

- schema, sketch: a document is held against shared/sketch.schema.json and becomes a Sketch
- numerals, units, written, letter_codes, values, preferred, tolerance_text: what a person writes as a value; format,
  quick_text: what is written of one; kinds, quantities: the tables both rest on
- elements: the sketch's values, judged; faults: everything that can be wrong, by name
- arithmetic: what the physics asks of numbers; exact (rationals), functions (formulas) and sparse (floats) provide it
- network: conductors, bodies and pieces; ideal: what ideal batteries fix; effort: which arithmetic is quick enough
- body, steady: currents and potentials within bodies; settled: potentials between them, from the charge each keeps;
  passed: the charges that moved; outcome holds the three; energy: where the work went
- stages: before and after, one arrangement from the other; transient, decay: the way from one to the next over time
- between: what lies between two joints; loops, checks: sums that must be zero; remarks: notes
- readings, assembly, solution, solution_document: all of it as attributes and as JSON; solving: the way through

>>> from solver import Sketch, battery, capacitor, solve
>>> lantern = [capacitor("C1", "30 µF", "a", "b"), capacitor("C2", "15 µF", "b", "0")]
>>> solve(Sketch.of(battery("E1", "9 V", "a", "0"), *lantern))
<Solution, exact
  E1: voltage 9.00 V, current 0 A, power 0 W, charge 90.0 µC, work 810 µJ, equivalent 10.0 µF
  C1: voltage 3.00 V, charge 90.0 µC, energy 135 µJ
  C2: voltage 6.00 V, charge 90.0 µC, energy 270 µJ>
"""

from solver.faults import Note, SketchFault, SketchFaults
from solver.sketch import Sketch, battery, capacitor, resistor, switch, two_way_switch, wire
from solver.solution import Solution
from solver.solving import solve
from solver.values import read_value

__all__ = [
    "Note",
    "Sketch",
    "SketchFault",
    "SketchFaults",
    "Solution",
    "battery",
    "capacitor",
    "read_value",
    "resistor",
    "solve",
    "switch",
    "two_way_switch",
    "wire",
]

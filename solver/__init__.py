"""Networks of capacitors, resistors, batteries, switches and wires, solved exactly."""

from solver.faults import Note, SketchFault, SketchFaults
from solver.sketch import Sketch, battery, capacitor, resistor, switch, wire
from solver.solution import Solution
from solver.solving import solve
from solver.values import Value, read_value

__all__ = [
    "Note",
    "Sketch",
    "SketchFault",
    "SketchFaults",
    "Solution",
    "Value",
    "battery",
    "capacitor",
    "read_value",
    "resistor",
    "solve",
    "switch",
    "wire",
]

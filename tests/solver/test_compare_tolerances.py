"""Tolerances in a comparison: kept with the values, left out of its numbers."""

from __future__ import annotations

import pytest

from solver.compare import ComparisonFault
from tests.solver.test_compare import MINE, lantern, of


def test_tolerances_are_left_out_and_a_copy_may_have_others():
    made = of(lantern("30 µF", "15 µF"), MINE, changed={"C1": {"value": "10 µF", "tolerance": "±5 %", "rated": "16 V"}})
    told = "Tolerances are left out here: every part counts as what it is called."
    assert made.notes == (told,)
    changed = next(part for part in made.columns[1].sketch.parts if part.name == "C1")
    assert (changed.value, changed.tolerance, changed.rated) == ("10 µF", "±5 %", "16 V")
    assert of(lantern("30 µF", "15 µF"), MINE, changed={"C1": {"value": "10 µF", "tolerance": None}}).notes == ()
    with pytest.raises(ComparisonFault):
        of(lantern("30 µF", "15 µF"), MINE, changed={"E1": {"tolerance": "±5 %"}})

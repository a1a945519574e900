"""A build changed between stages: a slab pushed in, plates pulled apart; the battery off, and on."""

from __future__ import annotations

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, switch
from solver.geometry import read_build
from solver.sketch import Stage
from solver.solving import solution_of
from solver.stages import SolvedStage, solve_stages

AIR, SLAB = "plates 400 cm² 1 mm vacuum", "plates 400 cm² 1 mm mica"
BUILDS = st.one_of(
    st.tuples(st.integers(1, 900), st.integers(1, 900), st.sampled_from(["vacuum", "mica", "water", "κ 2.5"])).map(
        lambda drawn: f"plates {drawn[0]} cm² {drawn[1]} µm {drawn[2]}"
    ),
    st.integers(1, 9).map(lambda tenths: f"plates 30 cm² 1 mm, mica {tenths}/10, air {10 - tenths}/10"),
    st.integers(1, 99).map(lambda microns: f"plates 30 cm² mica {microns} µm + air {100 - microns} µm"),
    st.integers(2, 50).map(lambda outer: f"spheres 1 cm {outer} cm"),
)


def changed(before: str, after: str, *, on: bool, volts: int = 90) -> SolvedStage:
    """The last of three stages: charged, the switch opened or left closed, the build changed."""
    sketch = Sketch.of(
        battery("E1", f"{volts} V", "e", "0"),
        switch("S1", "e", "a"),
        capacitor("C1", before, "a", "0"),
        stages=[Stage(("S1",)), Stage(("S1",) if on else ()), Stage(("S1",) if on else (), (("C1", after),))],
    )
    return solve_stages(sketch)[-1]


def test_with_the_battery_off_charge_stays_and_voltage_field_and_energy_fall_by_the_constant() -> None:
    """κ = 6: 90 V become 15 V, and five sixths of the energy pull the slab in."""
    stage = changed(AIR, SLAB, on=False)
    part = solution_of(stage.solved).parts["C1"]
    assert (part.voltage.text, part.field.text) == ("15.0 V", "15.0 kV/m")
    assert part.charge.exact == read_build(AIR).capacitance * 90
    assert part.density.exact == read_build(AIR).density(flint.fmpq(90))
    assert part.energy.exact == stage.account.before.exact / 6
    assert stage.account.by_hand.exact == -stage.account.before.exact * 5 / 6
    assert stage.account.lost.exact == 0


def test_with_the_battery_on_voltage_and_field_stay_and_half_of_its_work_pulls_the_slab_in() -> None:
    """Energy and charge grow sixfold; the battery gives ΔQ·V = 5·CV², of which 5/2·CV² is stored."""
    stage = changed(AIR, SLAB, on=True)
    part = solution_of(stage.solved).parts["C1"]
    assert (part.voltage.text, part.field.text) == ("90.0 V", "90.0 kV/m")
    assert part.charge.exact == 6 * read_build(AIR).capacitance * 90
    before = stage.account.before.exact
    assert stage.account.work["E1"].exact == 10 * before
    assert stage.account.by_hand.exact == -5 * before


def test_what_the_hand_did_is_not_read_as_lost() -> None:
    """Where plates or slabs move, work less the rise of the stored energy is no loss: only the account tells."""
    solution = solution_of(changed(AIR, SLAB, on=True).solved)
    assert solution.totals.lost is None
    assert [check.kind for check in solution.checks] == ["loop"]


def test_pulling_isolated_plates_to_twice_the_gap_takes_as_much_work_as_was_stored() -> None:
    """The field stays, voltage and energy double (an AQA-style question; derived from U = Q²/2C)."""
    stage = changed("plates 400 cm² 1 mm", "plates 400 cm² 2 mm", on=False)
    part = solution_of(stage.solved).parts["C1"]
    assert (part.voltage.text, part.field.text) == ("180 V", "90.0 kV/m")
    assert stage.account.by_hand == stage.account.before


@pytest.mark.parametrize("on", [False, True])
@given(BUILDS, BUILDS, st.integers(-300, 300))
def test_the_account_of_any_change_closes_exactly(on: bool, before: str, after: str, volts: int) -> None:
    stage = changed(before, after, on=on, volts=volts)
    account = stage.account
    supplied = sum((work.exact for work in account.work.values()), flint.fmpq(0))
    assert account.before.exact + supplied + account.by_hand.exact == account.after.exact + account.lost.exact
    old, new = read_build(before).capacitance, read_build(after).capacitance
    charge = old * volts
    if on:
        assert account.by_hand.exact == -(flint.fmpq(volts) ** 2) * (new - old) / 2
        assert supplied == flint.fmpq(volts) ** 2 * (new - old)
    else:
        assert account.by_hand.exact == charge**2 / 2 * (1 / new - 1 / old)
        assert supplied == 0
    assert account.lost.exact == 0


def test_a_slab_can_push_a_build_past_breakdown_in_one_stage_only() -> None:
    """Air pulled apart from 1 mm to 60 mm, isolated: 5.4 kV, but the field stays at 90 kV/m. Beside 0.99 mm of mica
    900 V make 900 V/(0.99/6 + 0.01) mm = 5.1 MV/m in what is left of the air."""
    apart = changed("plates 400 cm² 1 mm", "plates 400 cm² 60 mm", on=False)
    assert solution_of(apart.solved).notes == ()
    squeezed = changed("plates 400 cm² 1 mm", "plates 400 cm² mica 0.99 mm + air 0.01 mm", on=True, volts=900)
    assert [note.code for note in solution_of(squeezed.solved).notes] == ["past-breakdown"]


def test_a_build_that_cannot_be_is_a_fault_of_its_stage() -> None:
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", AIR, "a", "0"),
        stages=[Stage(), Stage((), (("C1", "plates 400 cm² 0 mm"),)), Stage((), (("C1", SLAB),))],
    )
    first, wrong, last = solve_stages(sketch)
    assert [fault.code for fault in wrong.faults] == ["value-not-understood"]
    assert "has to be more than zero" in wrong.faults[0].text
    assert first.solved
    assert last.account.work["E1"].exact == read_build(AIR).capacitance * 81 * 5

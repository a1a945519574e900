"""Stages: each starts from the charges that the one before left, and its energies add up."""

from __future__ import annotations

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, battery, capacitor, resistor, switch
from solver.sketch import Stage
from solver.stages import SolvedStage, solve_stages

LANTERN = (
    battery("E1", "9 V", "e", "0"),
    switch("S1", "e", "a"),
    capacitor("C1", "30 µF", "a", "0"),
    switch("S2", "a", "b"),
    capacitor("C2", "15 µF", "b", "0"),
)


def stages(*of: Stage, parts=LANTERN) -> tuple[SolvedStage, ...]:
    return solve_stages(Sketch.of(*parts, stages=of))


def charges(solved: SolvedStage) -> dict[str, flint.fmpq]:
    network, outcome = solved.solved.outcome.network, solved.solved.outcome
    voltages = outcome.voltages(network.capacitors)
    return {part.name: part.capacitance * v for part, v in zip(network.capacitors, voltages, strict=True)}


def micro(number: int | str) -> flint.fmpq:
    return flint.fmpq(number) / 10**6


def test_a_charged_capacitor_shares_its_charge_in_proportion_to_the_capacitances():
    charged, shared = stages(Stage(("S1",)), Stage(("S2",)))
    assert charges(charged) == {"C1": micro(270), "C2": 0}
    assert charges(shared) == {"C1": micro(180), "C2": micro(90)}
    # ½·30·9² = 1215 µJ; then 270² / (2·45) = 810 µJ, and a third of it is lost.
    assert (shared.account.before.exact, shared.account.after.exact) == (micro(1215), micro(810))
    assert shared.account.lost.exact == micro(405)
    [kept] = shared.kept
    assert (kept.parts, kept.sum.text) == (("C1", "C2"), "270 µC")
    assert [[reading.text for reading in then] for then in (kept.before, kept.after)] == [
        ["270 µC", "0 C"],
        ["180 µC", "90.0 µC"],
    ]


def test_a_slab_that_goes_in_with_the_battery_off_pulls_itself_in():
    _, slab = stages(Stage(("S1",)), Stage((), (("C1", "60 µF"),)))
    assert charges(slab)["C1"] == micro(270)
    # Q²/2C goes from 1215 µJ to half of that.
    assert slab.account.by_hand.exact == -micro("1215") / 2
    assert (slab.account.work["E1"].exact, slab.account.lost.exact) == (0, 0)


def test_with_the_battery_on_half_of_its_work_pulls_the_slab_in():
    _, slab = stages(Stage(("S1",)), Stage(("S1",), (("C1", "60 µF"),)))
    # 9 V · 270 µC = 2430 µJ of work, of which 1215 µJ are stored.
    assert slab.account.work["E1"].exact == micro(2430)
    assert slab.account.by_hand.exact == -micro(1215)
    assert slab.account.lost.exact == 0


def test_plates_joined_plus_to_minus_cancel():
    parts = (capacitor("C1", "10 µF", "a", "0", initial="9 V"), capacitor("C2", "10 µF", "b", "0", initial="-9 V"))
    _, joined = stages(Stage(), Stage(("S1",)), parts=(*parts, switch("S1", "a", "b")))
    assert charges(joined) == {"C1": 0, "C2": 0}
    assert joined.account.lost.exact == micro(810)


def test_a_capacitor_across_a_closed_switch_gives_all_its_charge_away():
    parts = (capacitor("C1", "10 µF", "a", "0", initial="9 V"), switch("S1", "a", "0"))
    [shorted] = stages(Stage(("S1",)), parts=parts)
    assert charges(shorted) == {"C1": 0}
    assert (shorted.account.lost.exact, shorted.account.after.exact) == (micro(405), 0)


def test_values_stay_as_they_were_set_and_switches_are_told_anew():
    first, second, third = stages(Stage(("S1",)), Stage(("S1",), (("C1", "60 µF"),)), Stage())
    values = [{part.name: part.value for part in solved.sketch.parts}["C1"] for solved in (first, second, third)]
    assert values == ["30 µF", "60 µF", "60 µF"]
    assert charges(third) == charges(second)


def test_a_battery_across_a_closed_switch_is_that_stage_s_fault_and_the_others_are_solved():
    parts = (*LANTERN, switch("S3", "e", "0"))
    first, shorted, last = stages(Stage(("S1",)), Stage(("S3",)), Stage(("S2",)), parts=parts)
    assert [fault.code for fault in shorted.faults] == ["battery-shorted-by-switch"]
    assert shorted.solved is None
    assert charges(last) == {"C1": micro(180), "C2": micro(90)}
    assert first.faults == last.faults == ()


@pytest.mark.parametrize(
    ("stage", "code", "text"),
    [
        (Stage(("S7",)), "unknown-stage-part", "The stage names S7, which is not a switch on the sheet."),
        (
            Stage((), (("S1", "3 V"),)),
            "unknown-stage-part",
            "The stage names S1, which is not a part with a value on the sheet.",
        ),
        (
            Stage((), (("C1", "0 µF"),)),
            "value-not-positive",
            "The capacitance of C1 is 0 µF, and it has to be more than zero.",
        ),
    ],
)
def test_what_a_stage_cannot_be_is_said_in_it(stage, code, text):
    good, bad = stages(Stage(("S1",)), stage)
    assert good.faults == ()
    assert [(fault.code, fault.text) for fault in bad.faults] == [(code, text)]


def test_a_value_at_fault_whatever_the_stage_is_the_sketch_s_fault():
    with pytest.raises(SketchFaults):
        stages(Stage(), parts=(capacitor("C1", "10 parsec", "a", "0"),))


def test_while_a_current_goes_on_there_is_no_account_to_close():
    parts = (*LANTERN, resistor("R1", "1 kΩ", "a", "0"))
    [flowing] = stages(Stage(("S1",)), parts=parts)
    assert flowing.account is None
    assert charges(flowing)["C1"] == micro(270)


def test_symbols_go_through_all_stages():
    parts = (
        battery("E1", "V_0", "e", "0"),
        switch("S1", "e", "a"),
        capacitor("C1", "C", "a", "0"),
        switch("S2", "a", "b"),
        capacitor("C2", "2C", "b", "0"),
    )
    _, shared = stages(Stage(("S1",)), Stage(("S2",)), parts=parts)
    assert shared.account.lost.text == "CV_0²/3"


JOINTS = ("a", "b", "c", "d", "0")
VALUES = st.sampled_from(("1 µF", "2 µF", "3 µF", "4.7 µF", "10 µF"))
PAIRS = st.tuples(st.sampled_from(JOINTS), st.sampled_from(JOINTS)).filter(lambda pair: pair[0] != pair[1])


@st.composite
def sequences(draw):
    """Capacitors, some charged, switches, a battery with a resistance inside, and what is done with them."""
    ends = draw(st.lists(PAIRS, min_size=2, max_size=5))
    starts = draw(st.lists(st.sampled_from(("0 V", "6 V", "-4 V")), min_size=len(ends), max_size=len(ends)))
    capacitors = [
        capacitor(f"C{n}", draw(VALUES), a, b, initial=start)
        for n, ((a, b), start) in enumerate(zip(ends, starts, strict=True))
    ]
    switches = [switch(f"S{n}", a, b) for n, (a, b) in enumerate(draw(st.lists(PAIRS, min_size=1, max_size=4)))]
    names = [part.name for part in switches]
    done = draw(
        st.lists(
            st.builds(
                Stage,
                st.lists(st.sampled_from(names), unique=True).map(tuple),
                st.dictionaries(st.sampled_from([part.name for part in capacitors]), VALUES, max_size=2).map(
                    lambda settings: tuple(settings.items())
                ),
            ),
            min_size=1,
            max_size=20,
        )
    )
    source = battery("E1", "9 V", "a", "0", internal=draw(st.sampled_from(("1 Ω", "20 Ω"))))
    return Sketch.of(source, *capacitors, *switches, stages=done)


@given(sequences())
def test_every_stage_s_energies_add_up_and_isolated_conductors_keep_their_charge(sketch):
    for solved in solve_stages(sketch):
        for kept in solved.kept:
            assert sum(reading.exact for reading in kept.before) == sum(reading.exact for reading in kept.after)
            assert sum(reading.exact for reading in kept.after) == kept.sum.exact
        if account := solved.account:
            came = account.before.exact + sum(work.exact for work in account.work.values()) + account.by_hand.exact
            assert came == account.after.exact + account.lost.exact
            assert account.lost.exact >= 0


def test_a_body_that_resistors_join_keeps_its_charge_too():
    # 270 µC and 0 on two plates that a resistor joins: 180 and 90 in the end.
    parts = (
        battery("E1", "9 V", "e", "0"),
        switch("S1", "e", "a"),
        capacitor("C1", "30 µF", "a", "0"),
        switch("S2", "a", "m"),
        resistor("R1", "1 kΩ", "m", "b"),
        capacitor("C2", "15 µF", "b", "0"),
    )
    _, shared = stages(Stage(("S1",)), Stage(("S2",)), parts=parts)
    [kept] = shared.kept
    assert (kept.joints, kept.parts) == (("a", "m", "b"), ("C1", "C2"))
    assert [reading.exact for reading in kept.before] == [micro(270), 0]
    assert [reading.exact for reading in kept.after] == [micro(180), micro(90)]


def test_a_first_stage_at_fault_leaves_the_next_to_start_from_the_initial_voltages():
    bad, good = stages(
        Stage((), (("C1", "0 µF"),)),
        Stage(("S2",), (("C1", "30 µF"),)),
        parts=(
            *LANTERN[:2],
            capacitor("C1", "30 µF", "a", "0", initial="6 V"),
            *LANTERN[3:],
        ),
    )
    assert [fault.code for fault in bad.faults] == ["value-not-positive"]
    # 6 V · 30 µF on 45 µF.
    assert charges(good) == {"C1": micro(120), "C2": micro(60)}


def test_where_every_stage_has_a_value_at_fault_the_sketch_has():
    with pytest.raises(SketchFaults):
        stages(Stage((), (("C1", "0 µF"),)), Stage(("S2",)))

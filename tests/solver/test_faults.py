"""Everything that cannot be solved is said by name: one small sketch for each code, and several faults at once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solver import Sketch, SketchFaults, solve
from solver.faults import SketchFault, listing

MESSAGES = Path(__file__).resolve().parents[2] / "shared" / "messages.json"
JOINTS = {"a": [0, 0], "b": [4, 0], "0": [0, 4]}
BATTERY = {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"}


def sketch(*parts, **entries):
    return {"joints": JOINTS, "parts": list(parts), **entries}


def part(name, kind, start, end, **entries):
    return {"name": name, "kind": kind, "from": start, "to": end, **entries}


def faults_of(document):
    with pytest.raises(SketchFaults) as caught:
        solve(document)
    return caught.value.faults


CASES = {
    "no sketch": (
        [1, 2],
        "sketch-not-understood",
        (),
        (),
        "This is not a sketch: a sketch is a set of named entries such as “joints” and “parts”.",
    ),
    "a misspelt entry of the sketch": (
        sketch(colour="red"),
        "unknown-key",
        (),
        (),
        "The sketch has an entry “colour” that a sketch does not know.",
    ),
    "a misspelt entry of a part": (
        sketch(BATTERY | {"colour": "red"}),
        "unknown-key",
        ("E1",),
        (),
        "Part E1 has an entry “colour” that a battery does not know.",
    ),
    "an entry of another kind of part": (
        sketch(part("W1", "wire", "a", "b", value="9 V")),
        "unknown-key",
        ("W1",),
        (),
        "Part W1 has an entry “value” that a wire does not know.",
    ),
    "no joints": ({"parts": []}, "missing-key", (), (), "The sketch lacks its “joints”."),
    "a part without an end": (
        sketch({"name": "R1", "kind": "resistor", "from": "a", "value": "1 Ω"}),
        "missing-key",
        ("R1",),
        (),
        "Part R1 lacks its “to”.",
    ),
    "a value that is no text": (
        sketch(part("C1", "capacitor", "a", "b", value=10)),
        "wrong-content",
        ("C1",),
        (),
        "“value” of part C1 is not as it should be: it has to be a text.",
    ),
    "a kind that there is not": (
        sketch(part("L1", "coil", "a", "b")),
        "wrong-content",
        ("L1",),
        (),
        "“kind” of part L1 is not as it should be: it has to be one of capacitor, resistor, battery, switch, "
        "two-way switch, wire.",
    ),
    "a name that is none": (
        sketch(part("", "wire", "a", "b")),
        "wrong-content",
        (),
        (),
        "“name” of part number 1 is not as it should be: "
        "a name is 1 to 20 letters, digits and underscores, the first one a letter.",
    ),
    "a joint between the lines of the grid": (
        {"joints": {"a": [1.5, 0]}, "parts": []},
        "wrong-content",
        (),
        ("a",),
        "Joint a is not as it should be: it has to be a whole number.",
    ),
    "too many figures": (
        sketch(figures=13),
        "wrong-content",
        (),
        (),
        "“figures” of the sketch is not as it should be: it may be 12 at most.",
    ),
    "two parts of one name": (
        sketch(BATTERY, part("E1", "wire", "a", "b")),
        "duplicate-name",
        ("E1",),
        (),
        "Two parts are called E1; give one of them another name.",
    ),
    "a part that ends nowhere": (
        sketch(part("W1", "wire", "a", "z")),
        "unknown-joint",
        ("W1",),
        ("z",),
        "W1 names the joint “z”, which is not on the sheet.",
    ),
    "a zero that is nowhere": (
        sketch(BATTERY, zero="z"),
        "unknown-joint",
        (),
        ("z",),
        "“zero” of the sketch names the joint “z”, which is not on the sheet.",
    ),
    "a probe that is nowhere": (
        sketch(BATTERY, probes=[["a", "0"], ["a", "z"]]),
        "unknown-joint",
        (),
        ("z",),
        "Probe number 2 names the joint “z”, which is not on the sheet.",
    ),
    "no value": (
        sketch(part("C1", "capacitor", "a", "b")),
        "value-missing",
        ("C1",),
        (),
        "C1 has no capacitance yet: type one, such as 10 µF.",
    ),
    "a blank value": (
        sketch(part("R1", "resistor", "a", "b", value=" ")),
        "value-missing",
        ("R1",),
        (),
        "R1 has no resistance yet: type one, such as 1.5 kΩ.",
    ),
    "a value that is none": (
        sketch(part("C1", "capacitor", "a", "b", value="ten µF")),
        "value-not-understood",
        ("C1",),
        (),
        "“ten µF” is not understood as the capacitance of C1: a number and a unit, such as 10 µF.",
    ),
    "an initial voltage that is none": (
        sketch(part("C1", "capacitor", "a", "b", value="1 F", initial="full")),
        "value-not-understood",
        ("C1",),
        (),
        "“full” is not understood as the initial voltage of C1: a number and a unit, such as 10 V.",
    ),
    "ohms on a capacitor": (
        sketch(part("C1", "capacitor", "a", "b", value="10 Ω")),
        "value-wrong-unit",
        ("C1",),
        (),
        "10 Ω is a resistance, but the capacitance of C1 is written like 10 µF.",
    ),
    "a capacitance of zero": (
        sketch(part("C1", "capacitor", "a", "b", value="0 F")),
        "value-not-positive",
        ("C1",),
        (),
        "The capacitance of C1 is 0 F, and it has to be more than zero.",
    ),
    "a resistance of less than zero": (
        sketch(part("R1", "resistor", "a", "b", value="-5 Ω")),
        "value-not-positive",
        ("R1",),
        (),
        "The resistance of R1 is −5 Ω, and it has to be more than zero.",
    ),
    "a rated voltage of zero": (
        sketch(part("C1", "capacitor", "a", "b", value="1 F", rated="0 V")),
        "value-not-positive",
        ("C1",),
        (),
        "The rated voltage of C1 is 0 V, and it has to be more than zero.",
    ),
    "an internal resistance of less than zero": (
        sketch(BATTERY | {"internal": "-1 Ω"}),
        "value-negative",
        ("E1",),
        (),
        "The internal resistance of E1 is −1 Ω, and it cannot be less than zero.",
    ),
    "a number that nobody could build": (
        sketch(part("C1", "capacitor", "a", "b", value="1e90 F")),
        "value-out-of-range",
        ("C1",),
        (),
        "“1e90 F” as the capacitance of C1 is far outside anything that could be built.",
    ),
    "a tolerance that is none": (
        sketch(BATTERY, part("C1", "capacitor", "a", "0", value="10 µF", tolerance="a little")),
        "tolerance-not-understood",
        ("C1",),
        (),
        "“a little” is not understood as the tolerance of C1: a tolerance is written like ±10 %.",
    ),
    "a tolerance that is negative": (
        sketch(BATTERY, part("R1", "resistor", "a", "0", value="10 Ω", tolerance="−10 %")),
        "tolerance-not-understood",
        ("R1",),
        (),
        "“−10 %” is not understood as the tolerance of R1: a tolerance cannot be negative; write it like ±10 %.",
    ),
    "a tolerance of everything": (
        sketch(BATTERY, part("C1", "capacitor", "a", "0", value="10 µF", tolerance="±100 %")),
        "tolerance-out-of-range",
        ("C1",),
        (),
        "The tolerance of C1 is ±100 %: it has to be below 100 %, or nothing would be left of the value.",
    ),
    "a tolerance in farads as large as the part": (
        sketch(BATTERY, part("C1", "capacitor", "a", "0", value="0.5 pF", tolerance="±0.5 pF")),
        "tolerance-out-of-range",
        ("C1",),
        (),
        "The tolerance of C1 is ±0.5 pF: it has to be below 100 %, or nothing would be left of the value.",
    ),
    "a battery joined to itself": (
        sketch(BATTERY, part("W1", "wire", "a", "b"), part("W2", "wire", "b", "0")),
        "battery-shorted",
        ("E1",),
        (),
        "Both terminals of battery E1 are joined by wire, so nothing limits its current: "
        "take the wire away or put a part in it.",
    ),
    "batteries at odds": (
        sketch(BATTERY, part("E2", "battery", "a", "0", value="6 V")),
        "batteries-contradict",
        ("E1", "E2"),
        (),
        "E1 and E2 form a loop of ideal batteries whose emfs do not add up to zero: "
        "change one, or give one an internal resistance.",
    ),
}


@pytest.mark.parametrize(("document", "code", "parts", "joints", "text"), CASES.values(), ids=CASES)
def test_a_fault_has_its_code_its_parts_and_joints_and_one_plain_sentence(document, code, parts, joints, text):
    (fault,) = faults_of(document)
    assert (fault.code, fault.parts, fault.joints, fault.text) == (code, parts, joints, text)
    assert fault.document() == {"code": code, "parts": list(parts), "joints": list(joints), "text": text}


def test_a_symbol_for_two_quantities_names_the_parts():
    # A symbol's letter does not always tell what it stands for, so both of these pass as values.
    document = sketch(part("R1", "resistor", "a", "b", value="x"), part("C1", "capacitor", "a", "b", value="x"))
    (fault,) = faults_of(document)
    assert (fault.code, fault.parts) == ("symbol-used-twice", ("R1", "C1"))
    assert fault.text == (
        "The symbol x stands for a resistance on one part and a capacitance on another (R1 and C1); "
        "give them different symbols."
    )


def test_one_symbol_may_be_an_emf_and_an_initial_voltage():
    document = sketch(BATTERY | {"value": "V_0"}, part("C1", "capacitor", "a", "0", value="C", initial="V_0"))
    assert solve(document).parts["E1"].charge.text == "0 C"


def test_symbols_in_too_large_a_network_are_refused_before_anything_is_tried():
    ends = [(p, q) for p in range(8) for q in range(p)]
    document = {
        "joints": {f"j{p}": [p, 0] for p in range(8)},
        "parts": [part(f"C{p}{q}", "capacitor", f"j{p}", f"j{q}", value=f"C_{p}{q}") for p, q in ends],
    }
    (fault,) = faults_of(document)
    assert fault.code == "too-many-symbols"
    assert fault.text.startswith("This network is too large to be solved with symbols (C_10, C_20, C_21, ")


def test_every_code_of_the_shared_messages_belongs_to_one_type_and_has_a_case():
    codes = {kind.code for kind in SketchFault.__subclasses__()}
    assert codes == set(json.loads(MESSAGES.read_text("utf-8"))["errors"])
    elsewhere = {"not-a-number", "requirement-missing", "sheet-too-small", "symbol-used-twice", "two-way-not-tidied"}
    elsewhere |= {"time-not-required", "too-many-symbols", "unknown-reading", "unknown-stage-part", "unknowns-differ"}
    elsewhere |= {"battery-shorted-by-switch", "requirement-idle", "requirement-not-met", "requirements-do-not-match"}
    assert codes == {code for _, code, *_ in CASES.values()} | elsewhere | {"requirements-alike"}


def test_all_faults_of_a_sketch_are_told_at_once():
    document = sketch(
        BATTERY,
        part("E2", "battery", "b", "b", value="3 V"),
        part("E3", "battery", "a", "0", value="8 V"),
        part("C1", "capacitor", "a", "b"),
        part("C2", "capacitor", "a", "b", value="7 Ω", initial="-"),
        part("R1", "resistor", "a", "b", value="-1 Ω"),
    )
    assert [fault.code for fault in faults_of(document)] == [
        "value-missing",
        "value-wrong-unit",
        "value-not-understood",
        "value-not-positive",
        "battery-shorted",
        "batteries-contradict",
    ]


def test_faults_of_form_are_told_at_once_too():
    document = {"joints": {"a": [0], "b!": [0, 0]}, "parts": [{"name": "R1", "kind": "resistor"}], "figures": 0}
    assert sorted(fault.code for fault in faults_of(document)) == [
        "missing-key",
        "missing-key",
        "wrong-content",
        "wrong-content",
        "wrong-content",
    ]


def test_a_loop_at_odds_names_exactly_its_own_batteries():
    document = sketch(
        BATTERY,
        part("E2", "battery", "a", "b", value="4 V"),
        part("E3", "battery", "b", "0", value="4 V"),
        part("R1", "resistor", "b", "0", value="1 Ω"),
    )
    document["joints"] = JOINTS | {"c": [9, 9]}
    document["parts"].append(part("E4", "battery", "c", "b", value="1 V"))
    (fault,) = faults_of(document)
    assert fault.parts == ("E1", "E2", "E3")


def test_every_independent_contradiction_is_told():
    document = sketch(
        BATTERY,
        part("E2", "battery", "a", "0", value="8 V"),
        part("E3", "battery", "a", "b", value="1 V"),
        part("E4", "battery", "b", "a", value="1 V"),
    )
    assert [fault.parts for fault in faults_of(document)] == [("E1", "E2"), ("E3", "E4")]


def test_a_battery_whose_emf_is_at_fault_contradicts_nothing():
    document = sketch(BATTERY, part("E2", "battery", "a", "0", value="eight"))
    assert [fault.code for fault in faults_of(document)] == ["value-not-understood"]


@pytest.mark.parametrize("emf", ["9 V", "9.0 V", "9000 mV", "9 V "])
def test_ideal_batteries_that_agree_are_no_fault(emf):
    solution = solve(sketch(BATTERY, part("E2", "battery", "a", "0", value=emf)))
    assert [note.code for note in solution.notes] == ["loose-joints", "split-open"]


def test_an_internal_resistance_ends_a_contradiction():
    solution = solve(sketch(BATTERY, part("E2", "battery", "a", "0", value="6 V", internal="1 Ω")))
    assert solution.parts["E1"].current.text == "3.00 A"


def test_no_more_than_fifty_faults_are_told():
    document = sketch(*(part(f"C{k}", "capacitor", "a", "b") for k in range(200)))
    assert len(faults_of(document)) == 50


def test_a_document_nested_without_end_is_refused():
    nested: list = []
    for _ in range(100_000):
        nested = [nested]
    (fault,) = faults_of(sketch(title=nested))
    assert (fault.code, fault.text) == ("sketch-not-understood", "This is not a sketch: it is nested too deeply.")


@pytest.mark.parametrize("document", [None, 7, "text", {1: 2}, {"joints": {}, "parts": [], "title": {1}}])
def test_what_is_no_sketch_at_all_is_refused_as_that(document):
    assert {fault.code for fault in faults_of(document)} == {"sketch-not-understood"}


def test_long_names_are_cut_short_in_sentences():
    (fault,) = faults_of(sketch(**{"k" * 1000: 1}))
    assert len(fault.text) < 120


def test_the_message_of_the_exception_has_every_sentence():
    with pytest.raises(SketchFaults, match=r"C1 has no capacitance yet.*\nR1 has no resistance yet"):
        solve(sketch(part("C1", "capacitor", "a", "b"), part("R1", "resistor", "a", "b")))


def test_a_list_of_names_reads_as_a_sentence():
    assert [listing(names) for names in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a and b", "a, b and c"]
    assert listing([str(number) for number in range(15)]) == "0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 and 3 more"


def test_what_a_notebook_builds_is_held_to_the_same_rules():
    from solver import capacitor

    with pytest.raises(SketchFaults, match="Two parts are called C1"):
        Sketch.of(capacitor("C1", "1 F", "a", "b"), capacitor("C1", "1 F", "b", "c"))

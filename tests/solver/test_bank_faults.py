"""What is wrong with a wish for a bank is told in sentences, all of it together, with the fields concerned."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solver.bank import BankFaults, Wish, drawn
from solver.bank.wish import UNITS
from tests.solver.banks import EMPTY, row, wish

PARTS = row("100 µF", "63 V", 4)
MESSAGES = json.loads((Path(__file__).parents[2] / "shared" / "messages.json").read_text("utf-8"))["bank"]


def faults(*rows: dict[str, str], **others: str) -> list[tuple[str, tuple[str, ...], str]]:
    with pytest.raises(BankFaults) as refusal:
        Wish.read(wish(*rows, **others))
    return [(fault.code, fault.fields, fault.text) for fault in refusal.value.faults]


@pytest.mark.parametrize(
    ("changed", "code", "fields", "words"),
    [
        ({"voltage": ""}, "bank-missing", ("voltage",), "The working voltage is missing: type one, such as 48 V."),
        ({"voltage": "V_0"}, "bank-symbol", ("voltage",), "“V_0” is a symbol"),
        ({"voltage": "0 V"}, "bank-not-positive", ("voltage",), "The working voltage is 0 V"),
        ({"voltage": "-45 V"}, "bank-not-positive", ("voltage",), "The working voltage is −45 V"),
        ({"capacitance": "12"}, "bank-not-understood", ("capacitance",), "12 what?"),
        ({"derating": "0 %"}, "bank-derating", ("derating",), "0 % of the rated voltage cannot be used"),
        ({"derating": "120 %"}, "bank-derating", ("derating",), "at most 100 %"),
        ({"derating": "most"}, "bank-not-understood", ("derating",), "“most” is not understood"),
        ({"resistors": "100 %"}, "bank-resistor-tolerance", ("resistors",), "type less than 100 %"),
        ({"downTo": "50 V", "within": "1 s"}, "bank-bleed-too-high", ("downTo",), "it works at 40 V"),
        ({"downTo": "5 V"}, "bank-missing", ("within",), "The time to bleed down in is missing"),
        ({"downTo": "5 V", "within": "soon"}, "bank-not-understood", ("within",), "such as 60 s or 5 min"),
        ({"downTo": "5 V", "within": "0 s"}, "bank-not-positive", ("within",), "more than zero"),
    ],
)
def test_a_field_that_is_wrong_is_named(changed: dict, code: str, fields: tuple, words: str):
    [(found, where, text)] = faults(PARTS, **changed)
    assert (found, where) == (code, fields)
    assert words in text


@pytest.mark.parametrize(
    ("changed", "code", "key", "words"),
    [
        ({"value": ""}, "bank-missing", "value", "The value in row 1 is missing"),
        ({"rated": "0 V"}, "bank-not-positive", "rated", "The rated voltage in row 1 is 0 V"),
        ({"tolerance": "100 %"}, "bank-tolerance-whole", "tolerance", "no capacitance at all"),
        ({"tolerance": "wide"}, "bank-not-understood", "tolerance", "a percentage, such as 20 %"),
        ({"tolerance": "±100 µF"}, "bank-tolerance-whole", "tolerance", "no capacitance at all"),
        ({"leakage": "-1 mA"}, "bank-not-positive", "leakage", "more than zero"),
        ({"count": ""}, "bank-missing", "count", "How many there are in row 1 is missing"),
        ({"count": "-3"}, "bank-not-understood", "count", "a whole number"),
        ({"count": "4000"}, "bank-too-many", "count", "up to 1000 of one kind"),
        ({"price": "free"}, "bank-not-understood", "price", "in a currency of your own"),
    ],
)
def test_a_row_that_is_wrong_is_named(changed: dict, code: str, key: str, words: str):
    [(found, where, text)] = faults({**PARTS, **changed})
    assert (found, where) == (code, (f"kinds.0.{key}",))
    assert words in text


def test_a_number_alone_is_in_the_unit_of_its_field():
    alone = {"voltage": "40", "derating": "80", "resistors": "5", "downTo": "5", "within": "60"}
    told = {"voltage": "40 V", "derating": "80 %", "resistors": "5 %", "downTo": "5 V", "within": "60 s"}
    of_energy = {"goal": "energy", "capacitance": ""}
    one = Wish.read(wish(row("100 µF", "63", 4, tolerance="20"), **alone, **of_energy, energy="0,02", lowest="1/2"))
    other = Wish.read(
        wish(row("100 µF", "63 V", 4, tolerance="20 %"), **told, **of_energy, energy="0.02 J", lowest="0.5 V")
    )
    assert one == other


def test_units_of_a_number_alone_are_told_for_fields_of_the_form_only():
    described = json.loads((Path(__file__).parents[2] / "shared" / "openapi.json").read_text("utf-8"))
    schemas = described["components"]["schemas"]
    fields = schemas["BankWish"]["properties"] | schemas["BankKind"]["properties"]
    assert set(UNITS) <= set(fields)
    assert set(UNITS.values()) <= {"V", "J", "s", "%"}


def test_a_tolerance_may_stand_with_the_value_but_not_twice():
    [kind] = Wish.read(wish(row("100 µF ±10 %", "63 V", 4))).kinds
    assert (kind.value, kind.tolerance.text) == ("100 µF", "±10 %")
    [(code, where, _)] = faults(row("100 µF ±10 %", "63 V", 4, tolerance="5 %"))
    assert (code, where) == ("bank-tolerance-twice", ("kinds.0.value", "kinds.0.tolerance"))


def test_requirements_that_contradict_each_other_are_told_with_both():
    told = faults(PARTS, goal="energy", energy="1 J", lowest="60 V")
    assert [(code, where) for code, where, _ in told] == [("bank-lowest-too-high", ("lowest", "voltage"))]
    assert told[0][2].startswith("The bank cannot give energy between 40 V and 60 V")


def test_no_parts_at_hand_is_a_fault_of_its_own():
    for rows in ([], [EMPTY], [{**PARTS, "count": "0"}]):
        assert [code for code, _, _ in faults(*rows)] == ["bank-no-parts"]


def test_everything_that_is_wrong_is_told_together():
    told = faults({**PARTS, "rated": "", "count": "x"}, EMPTY, {**PARTS, "value": "9 V"}, voltage="", derating="0")
    assert [where for _, (where, *_), _ in told] == [
        "voltage",
        "derating",
        "kinds.0.rated",
        "kinds.0.count",
        "kinds.2.value",
    ]


@pytest.mark.parametrize(
    ("strings", "code"),
    [
        ([{"times": 1, "parts": [{"row": 3, "count": 1}]}], "bank-strings-unknown"),
        ([{"times": 1000, "parts": [{"row": 0, "count": 1}]}], "bank-too-large-to-draw"),
    ],
)
def test_a_bank_that_cannot_be_drawn_is_refused(strings: list, code: str):
    with pytest.raises(BankFaults) as refusal:
        drawn(Wish.read(wish(PARTS)), {"strings": strings, "balancing": True, "bleed": True})
    assert [fault.code for fault in refusal.value.faults] == [code]


def test_every_sentence_is_used_somewhere():
    code = "".join(path.read_text("utf-8") for path in (Path(__file__).parents[2] / "solver" / "bank").glob("*.py"))
    assert [key for key in MESSAGES if f'"{key}"' not in code] == []

"""The ledger as CSV: every spreadsheet reads it, its numbers are exact, and no cell is taken for a formula."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor
from solver.ledger_csv import ledger_csv, safe
from solver.solving import solution_of, solve_network
from solver.strains import strains
from tests.solver.strategies import networks

THIRDS = Sketch.of(
    battery("E1", "1 V", "a", "0"), capacitor("C1", "10 µF", "a", "b"), capacitor("C2", "20 µF", "b", "0", rated="16 V")
)


def written(sketch: Sketch, *covered: str) -> bytes:
    sketch = replace(sketch, covered=covered)
    return ledger_csv(sketch, solution_of(solve_network(sketch)))


def rows(content: bytes) -> dict[str, dict[str, str]]:
    """The rows by the name of their part, read as a spreadsheet would."""
    table = csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline=""))
    return {f"{row['Part']} {row['Kind']}": row for row in table}


def test_it_is_utf8_with_its_mark_and_lines_as_rfc_4180_has_them() -> None:
    content = written(THIRDS)
    assert content.startswith(b"\xef\xbb\xbfPart,Kind,")
    assert content.endswith(b"\r\n")
    assert "µF".encode() in content
    lines = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))
    assert len({len(line) for line in lines}) == 1


def test_each_reading_has_its_text_its_number_and_its_exact_value() -> None:
    # 10 and 20 µF in series: 20/3 µF, so 20/3 µC, and 2/3 V across the smaller one.
    row = rows(written(THIRDS))["C1 capacitor"]
    assert (row["Value"], row["Value, number"], row["Value, exact"]) == ("10 µF", "1e-05", "1/100000 F")
    assert (row["Voltage"], row["Voltage, exact"]) == ("667 mV", "2/3 V")
    assert float(row["Voltage / V"]) == 2 / 3
    assert (row["Charge"], row["Charge, exact"]) == ("6.67 µC", "1/150000 C")
    assert rows(written(THIRDS))["C2 capacitor"]["Rated, exact"] == "16 V"


def test_what_is_covered_is_a_question_mark_and_nothing_else() -> None:
    row = rows(written(THIRDS, "C1.voltage", "total.energy"))["C1 capacitor"]
    assert (row["Voltage"], row["Voltage / V"], row["Voltage, exact"]) == ("?", "", "")
    assert row["Charge"] == "6.67 µC"
    assert rows(written(THIRDS, "total.energy"))["all total energy"]["Energy"] == "?"


def test_symbols_have_a_formula_and_no_number() -> None:
    row = rows(written(Sketch.of(battery("E1", "V", "a", "0"), capacitor("C1", "2C", "a", "0"))))["C1 capacitor"]
    assert (row["Charge"], row["Charge, exact"]) == ("2CV", "2*C*V")
    assert row["Value"] == "2C"
    # A column that nothing stands in is not there.
    assert not {"Charge / C", "Value, number"} & set(row)


@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_a_text_that_a_spreadsheet_would_take_for_a_formula_has_an_apostrophe(begin: str) -> None:
    assert safe(f"{begin}1+1") == f"'{begin}1+1"


def test_a_battery_that_was_typed_with_a_sign_is_no_formula() -> None:
    row = rows(written(Sketch.of(battery("E1", "-9 V", "a", "0"), resistor("R1", "+3 Ω", "a", "0"))))
    assert row["E1 battery"]["Value"] == "'-9 V"
    assert row["R1 resistor"]["Value"] == "'+3 Ω"
    assert (row["R1 resistor"]["Current"], row["R1 resistor"]["Current / A"]) == ("−3.00 A", "-3.0")
    assert row["R1 resistor"]["Current, exact"] == "−3 A"


@given(st.text())
def test_no_text_begins_as_a_formula(text: str) -> None:
    assert not safe(text).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert safe(text).removeprefix("'") == text.removeprefix("'") or safe(text) == text


@given(networks())
@settings(max_examples=40, deadline=None)
def test_numbers_are_those_of_the_solution_and_texts_are_no_formulas(sketch: Sketch) -> None:
    solution = solution_of(solve_network(sketch))
    table = rows(ledger_csv(sketch, solution))
    for part in sketch.parts:
        if part.kind == "wire":
            continue
        row = table[f"{part.name} {part.kind}"]
        for name, unit in (("voltage", "V"), ("charge", "C"), ("energy", "J")):
            reading = getattr(solution.parts[part.name], name, None)
            if reading is None:
                continue
            assert row[name.capitalize()] == reading.text
            exact = row[f"{name.capitalize()}, exact"]
            assert exact.endswith(f" {unit}")
            assert Fraction(exact.removesuffix(f" {unit}").replace("−", "-")) == Fraction(str(reading.exact))
            assert float(row[f"{name.capitalize()} / {unit}"]) == reading.value
    for row in table.values():
        for column, text in row.items():
            if not column.endswith((" / V", " / C", " / J", " / A", " / W", "in SI units", ", number")):
                assert not text.startswith(("=", "+", "-", "@"))


def test_shares_of_ratings_stand_in_columns_of_their_own_and_are_covered_with_the_voltage() -> None:
    sketch = Sketch.of(
        battery("E1", "9 V", "a", "0"),
        capacitor("C1", "30 µF", "a", "b", rated="2 V"),
        capacitor("C2", "15 µF", "b", "0", rated="16 V", reverse="1 V"),
        capacitor("C3", "15 µF", "a", "0"),
    )
    # 3 V of 2 V, 6 V of 16 V.
    for covered, expected in (((), ["150 %", "1.5", "yes"]), (("C1.voltage",), ["?", "", "?"])):
        solved = solve_network(replace(sketch, covered=covered))
        written = ledger_csv(solved.sketch, solution_of(solved), strains([solved])).decode("utf-8-sig")
        found = {row["Part"]: row for row in csv.DictReader(io.StringIO(written))}
        columns = ("Share of limit", "Share of limit, number", "Past its limit")
        assert [found["C1"][column] for column in columns] == expected
        assert [found["C2"][column] for column in columns] == ["38 %", "0.375", "no"]
        assert [found["C3"][column] for column in columns] == ["", "", ""]
        assert (found["C2"]["Rated"], found["C2"]["Reversed"]) == ("16 V", "1 V")

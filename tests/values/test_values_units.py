"""Units: every spelling of every prefix, and what is no unit."""

import json
import subprocess
import sys
from pathlib import Path

import flint
import pytest

from solver.kinds import KINDS, KINDS_FILE
from solver.quantities import Quantity
from solver.units import PREFIXES, find_unit

TABLE = json.loads(KINDS_FILE.read_text("utf-8"))
# SI Brochure, 9th edition, table 7.
SI_PREFIXES = {"f": -15, "p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9}


def ten_to(power: int) -> flint.fmpq:
    return flint.fmpq(10) ** power


def test_the_prefixes_are_those_of_the_si():
    assert PREFIXES == SI_PREFIXES


@pytest.mark.parametrize("prefix", SI_PREFIXES)
@pytest.mark.parametrize("symbol", ["F", "Ω", "V", "C"])
def test_every_listed_spelling_takes_every_prefix_as_a_sign_or_a_word(symbol, prefix):
    for spelling in TABLE["unitSpellings"][symbol]:
        spellings = [prefix + spelling]
        if len(spelling) > 2:
            spellings.append(TABLE["prefixWords"][prefix] + spelling.lower())
        for written in spellings:
            unit = find_unit(written)
            assert (unit.prefix, unit.symbol, unit.factor) == (prefix, symbol, ten_to(SI_PREFIXES[prefix]))
            assert type(unit.factor) is flint.fmpq


@pytest.mark.parametrize(
    ("spelling", "quantity"),
    [
        ("F", "capacitance"),
        ("Ω", "resistance"),
        ("V", "voltage"),
        ("C", "charge"),
        ("J", "energy"),
        ("W", "power"),
        ("A", "current"),
        ("s", "time"),
        ("mm", "length"),
        ("mH", "inductance"),
        ("kHz", "frequency"),
    ],
)
def test_a_unit_knows_the_quantity_it_measures(spelling, quantity):
    assert find_unit(spelling).quantity == quantity


@pytest.mark.parametrize(
    "spelling", ["", "f", "mf", "MV ", "mmF", "Fohm", "parsec", "F*V", "kg", "degC", "count", "\x00"]
)
def test_what_is_not_listed_is_no_unit_though_a_units_library_may_know_it(spelling):
    assert find_unit(spelling) is None


def test_quantities_and_kinds_are_those_of_the_shared_table():
    assert [quantity.value for quantity in Quantity] == list(TABLE["quantities"])
    assert {quantity.value: quantity.unit for quantity in Quantity} == {
        name: entry["unit"] for name, entry in TABLE["quantities"].items()
    }
    assert list(KINDS) == list(TABLE["kinds"])
    assert KINDS["battery"].quantity is Quantity.EMF
    assert KINDS["battery"].optional == {"internal": Quantity.RESISTANCE}
    assert KINDS["switch"].quantity is None


def test_reading_values_loads_the_units_library_only_when_a_unit_is_looked_up():
    program = (
        "import sys; from solver.values import read_value; from solver.quantities import Quantity; "
        "before = 'pint' in sys.modules; read_value('1 F', Quantity.CAPACITANCE); print(before, 'pint' in sys.modules)"
    )
    house = Path(__file__).resolve().parents[2]
    done = subprocess.run([sys.executable, "-c", program], cwd=house, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True"]

"""Cautions: from which voltage and energy on, what they say, and that their data are what they claim to be."""

from __future__ import annotations

import json
from pathlib import Path

import flint
import jsonschema_rs
import pytest

from solver import Sketch, battery, capacitor, resistor
from solver.cautions import DECIDING, DISCHARGING, VENTING, caution_of, cautions_of, for_figures, thresholds_of
from solver.quantities import Quantity
from solver.readings import Reading
from solver.solving import solve_network

DATA = json.loads((Path(__file__).resolve().parents[2] / "shared" / "cautions.json").read_text("utf-8"))


def made(volts: str, joules: str):
    number = [
        flint.fmpq(*map(int, text.split("/"))) if "/" in text else flint.fmpq(int(text)) for text in (volts, joules)
    ]
    return for_figures(Reading(number[0], Quantity.VOLTAGE), Reading(number[1], Quantity.ENERGY))


TOUCH = "CLEAPSS Student Safety Sheet 10"
SHOCK = "section 360.3, from memory"
DEADLY = "table 2.2.13"
BURN = "table 2.3.5"
ARC = "table 2.3.3"


@pytest.mark.parametrize(
    ("volts", "joules", "said"),
    [
        # Above 40 V d.c.: CLEAPSS Student Safety Sheet 10 (UK schools).
        ("40", "0", set()),
        ("41", "0", {TOUCH}),
        # 1 J at 100 V and 0.25 J at 400 V: NFPA 70E-2021, section 360.3, from memory.
        ("100", "99/100", {TOUCH}),
        ("100", "1", {TOUCH, SHOCK}),
        ("99", "9", {TOUCH}),
        ("399", "1/4", {TOUCH}),
        ("400", "1/4", {TOUCH, SHOCK}),
        # 10 J at 100 V: LBNL Electrical Safety Manual, table 2.2.13.
        ("100", "10", {TOUCH, DEADLY}),
        # More than 100 J at any voltage: LBNL, table 2.3.5; 10 kJ at 100 V: table 2.3.3.
        ("24", "100", set()),
        ("24", "101", {BURN}),
        ("100", "10000", {TOUCH, DEADLY, BURN, ARC}),
    ],
)
def test_hazards_are_told_from_their_thresholds_on(volts: str, joules: str, said: set[str]) -> None:
    caution = made(volts, joules)
    sentences = " ".join(caution.sentences) if caution else ""
    assert {words for words in (TOUCH, SHOCK, DEADLY, BURN, ARC) if words in sentences} == said
    assert "safe" not in sentences.replace("Safety", "")


def test_a_caution_has_the_figures_what_is_usual_and_who_decides() -> None:
    caution = made("400", "8/25")
    assert caution.figures == "Caution: up to 400 V and up to 320 mJ"
    assert caution.sentences[-1] == DECIDING
    usual = " ".join(caution.sentences)
    for words in ("through a resistor", "wait", "measure", "short its terminals", "guard", "never work alone"):
        assert words in usual
    assert "comes back by itself" in usual
    assert all(words in DECIDING for words in ("Local codes", "school's rules", "trained or licensed"))


def test_what_is_told_suits_what_there_is() -> None:
    charged = caution_of(
        [solve_network(Sketch.of(battery("E1", "400 V", "a", "0"), capacitor("C1", "4 µF", "a", "0")))]
    )
    assert {VENTING, DISCHARGING} <= {*charged.sentences}
    live = caution_of([solve_network(Sketch.of(battery("E1", "230 V", "a", "0"), resistor("R1", "1 kΩ", "a", "0")))])
    assert live.figures == "Caution: up to 230 V"
    assert not {VENTING, DISCHARGING} & {*live.sentences}


def test_the_most_of_all_stages_counts_and_what_was_stored_before_is_not_forgotten() -> None:
    """Charged to 400 V and then discharged: ½ · 4 µF · (400 V)² = 0.32 J were there."""
    emptied = Sketch.of(capacitor("C1", "4 µF", "a", "0", initial="400 V"), resistor("R1", "1 kΩ", "a", "0"))
    lower = solve_network(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "4 µF", "a", "0")))
    assert caution_of([lower]) is None
    assert caution_of([lower, solve_network(emptied)]).figures == "Caution: up to 400 V and up to 320 mJ"


def test_paper_carries_a_general_caution_below_every_threshold_and_all_of_it_above() -> None:
    [general] = cautions_of(
        [solve_network(Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "4 µF", "a", "0")))]
    )
    assert "stay charged" in general
    high = [solve_network(Sketch.of(battery("E1", "400 V", "a", "0"), capacitor("C1", "4 µF", "a", "0")))]
    assert cautions_of(high) == ("Caution: up to 400 V and up to 320 mJ.", *caution_of(high).sentences)


def test_with_symbols_no_figures_can_be_told() -> None:
    assert (
        caution_of([solve_network(Sketch.of(battery("E1", "V_0", "a", "0"), capacitor("C1", "C", "a", "0")))]) is None
    )


@pytest.mark.parametrize(
    "wrong",
    [
        {"hazard": "touch", "volts": {"above": 40}, "sure": "read"},
        {"hazard": "touch", "source": "a book", "sure": "read"},
        {"hazard": "touch", "volts": {"above": -1}, "source": "a book", "sure": "read"},
        {"hazard": "touch", "volts": {"above": 1, "from": 2}, "source": "a book", "sure": "read"},
        {"hazard": "fright", "volts": {"above": 1}, "source": "a book", "sure": "read"},
        {"hazard": "touch", "volts": {"above": 1}, "source": "a book", "sure": "hearsay"},
    ],
)
def test_a_threshold_without_its_source_or_bound_is_refused(wrong: dict) -> None:
    thresholds_of(DATA)
    with pytest.raises(jsonschema_rs.ValidationError):
        thresholds_of({**DATA, "thresholds": [*DATA["thresholds"], wrong]})

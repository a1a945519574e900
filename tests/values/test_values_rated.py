"""A rated voltage behind a capacitor's value, as it is printed on the part, and what is refused as one."""

from __future__ import annotations

import flint
import pytest

from solver import Sketch, SketchFaults, battery, capacitor, solve
from solver.say_it import change, write
from solver.values import ValueNotPositive, read_rating, read_text


@pytest.mark.parametrize(
    ("text", "value", "rated"),
    [
        ("10 µF 16 V", "10 µF", "16 V"),
        ("10uF 16v", "10 µF", "16 V"),
        ("4u7/63V", "4.7 µF", "63 V"),
        ("0,1 µF, 2,5 kV", "0.1 µF", "2.5 kV"),
        ("22 nF rated 400 V", "22 nF", "400 V"),
        ("22 nF rated at 6.3 volts", "22 nF", "6.3 V"),
        ("2C 16 V", "2C", "16 V"),
        ("plates 20 cm² 0.1 mm mica 500 V", "plates 20 cm² 0.1 mm mica", "500 V"),
    ],
)
def test_a_voltage_behind_a_capacitance_is_its_rating(text: str, value: str, rated: str) -> None:
    typed = read_text(text)
    assert (typed.kind, typed.tidied, typed.rated) == ("capacitor", value, rated)
    assert typed.feedback == f"{value}, rated {rated}: a capacitor"


@pytest.mark.parametrize("text", ["9 V", "2/3 V", "V_0", "10 µF", "4u7"])
def test_what_was_a_value_before_stays_one(text: str) -> None:
    typed = read_text(text)
    assert typed.kind is not None
    assert typed.rated is None


@pytest.mark.parametrize("text", ["1.5 kΩ 16 V", "9 V 16 V", "switch 16 V", "10 16 V", "10 µF 16", "10 µF V_0"])
def test_nothing_else_takes_a_rating(text: str) -> None:
    assert read_text(text).kind is None


@pytest.mark.parametrize("text", ["10 µF 0 V", "10 µF -16 V"])
def test_a_rating_has_to_be_more_than_zero(text: str) -> None:
    typed = read_text(text)
    assert typed.kind is None
    assert typed.feedback == "a rated voltage has to be more than zero"
    with pytest.raises(ValueNotPositive):
        read_rating("0 V")


@pytest.mark.parametrize(("entry", "what"), [("rated", "rated voltage"), ("reverse", "reversed limit")])
@pytest.mark.parametrize(("text", "written"), [("0 V", "0 V"), ("-5 V", "−5 V")])
def test_a_sketch_with_a_rating_of_zero_or_less_is_refused(entry: str, what: str, text: str, written: str) -> None:
    part = capacitor("C1", "10 µF", "a", "0", **{entry: text})
    with pytest.raises(SketchFaults) as refusal:
        solve(Sketch.of(battery("E1", "9 V", "a", "0"), part))
    [fault] = refusal.value.faults
    assert fault.code == "value-not-positive"
    assert fault.text == f"The {what} of C1 is {written}, and it has to be more than zero."


def test_a_line_says_ratings_and_polarity_and_keeps_them() -> None:
    sketch = change("9 V : 10 µF 16 V + 22 µF (rated 25 V, reversed at most 1 V)", Sketch(joints={}, parts=()))
    first, second = (part for part in sketch.parts if part.kind == "capacitor")
    assert (first.rated, first.reverse) == ("16 V", None)
    assert (second.rated, second.reverse) == ("25 V", "1 V")
    assert write(sketch).text == "9 V : 10 µF (rated 16 V) + 22 µF (rated 25 V, reversed at most 1 V)"
    again = change(str(write(sketch).text).replace("10 µF", "12 µF"), sketch)
    assert [part.reverse for part in again.parts] == [part.reverse for part in sketch.parts]


def test_turned_round_a_polarised_capacitor_says_so() -> None:
    sketch = change("9 V : 10 µF (turned, reversed at most 1 V)", Sketch(joints={}, parts=()))
    [part] = [part for part in sketch.parts if part.kind == "capacitor"]
    assert solve(sketch).parts[part.name].voltage.exact == flint.fmpq(-9)
    assert "turned" in str(write(sketch).text)


def test_usable_goes_through_a_document() -> None:
    sketch = Sketch.of(battery("E1", "9 V", "a", "0"), usable=80)
    assert sketch.document()["usable"] == 80
    assert Sketch.read(sketch.document()) == sketch
    assert "usable" not in Sketch.of(battery("E1", "9 V", "a", "0")).document()

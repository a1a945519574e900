"""What must not matter does not: which way round a part is drawn, what it is called, in which order it comes."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, solve
from solver.readings import entries
from tests.solver.exactly import fraction
from tests.solver.strategies import networks, written

TURNS_SIGN = {"voltage", "charge", "current", "passed"}


def exact(solution):
    """Every part's readings as fractions."""
    return {
        name: {word: fraction(reading) for word, reading in entries(readings)}
        for name, readings in solution.parts.items()
    }


def potentials(solution):
    return {joint: fraction(one.potential) for joint, one in solution.joints.items()}


def with_joints_of(sketch, parts):
    """The sketch with other parts on the joints that it has, so that its zero stays where it is."""
    return replace(sketch, parts=tuple(parts), zero=sketch.zero or next(iter(sketch.joints), None))


def opposite(text):
    return None if text is None else written(-int(text.split(" ")[0]), "V")


def turned(part):
    """The same thing drawn from its other end, where emfs and initial voltages count the other way."""
    value = opposite(part.value) if part.kind == "battery" else part.value
    return part._replace(start=part.end, end=part.start, value=value, initial=opposite(part.initial))


@given(networks(), st.data())
def test_turning_a_part_round_changes_its_signs_and_nothing_else(sketch, data):
    if not sketch.parts:
        return
    sketch = with_joints_of(sketch, sketch.parts)
    place = data.draw(st.sampled_from(range(len(sketch.parts))))
    name = sketch.parts[place].name
    parts = [turned(part) if part.name == name else part for part in sketch.parts]
    before, after = exact(solve(sketch)), exact(solve(with_joints_of(sketch, parts)))
    signs = {word: -1 if word in TURNS_SIGN else 1 for word in before[name]}
    assert after.pop(name) == {word: signs[word] * value for word, value in before.pop(name).items()}
    assert after == before


@given(networks(), st.data())
def test_the_order_of_the_parts_changes_nothing(sketch, data):
    sketch = with_joints_of(sketch, sketch.parts)
    shuffled = with_joints_of(sketch, data.draw(st.permutations(sketch.parts)))
    one, other = solve(sketch), solve(shuffled)
    assert exact(one) == exact(other)
    assert {name: fraction(reading) for name, reading in entries(one.totals)} == {
        name: fraction(reading) for name, reading in entries(other.totals)
    }


@given(networks())
def test_names_of_parts_and_joints_change_nothing(sketch):
    sketch = with_joints_of(sketch, sketch.parts)
    joint = {old: f"x{number}" for number, old in enumerate(sketch.joints)}
    name = {part.name: f"part_{number}" for number, part in enumerate(sketch.parts)}
    renamed = replace(
        sketch,
        joints={joint[old]: place for old, place in sketch.joints.items()},
        parts=tuple(
            part._replace(name=name[part.name], start=joint[part.start], end=joint[part.end]) for part in sketch.parts
        ),
        zero=joint.get(sketch.zero),
    )
    one, other = solve(sketch), solve(renamed)
    assert {name[old]: readings for old, readings in exact(one).items()} == exact(other)
    assert {joint[old]: value for old, value in potentials(one).items()} == potentials(other)


@given(networks())
def test_where_the_joints_lie_changes_nothing(sketch):
    moved = replace(sketch, joints={joint: (3 * y, -x) for joint, (x, y) in sketch.joints.items()})
    assert solve(moved).document() == solve(sketch).document()


@given(networks())
def test_the_document_read_back_is_the_same_sketch(sketch):
    assert Sketch.read(sketch.document()) == sketch

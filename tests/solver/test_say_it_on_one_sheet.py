"""Lines typed one after the other over what is on the sheet: each is drawn plainly, and the sheet is what it says."""

from __future__ import annotations

import random
from collections import defaultdict
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, SketchFaults, solve
from solver.say_it import Description, Item, Parallel, Series, change, known_parts, parse, write
from solver.say_it.describing import describe
from solver.say_it.description import all_items, in_parallel, in_series, items, named, with_items
from solver.say_it.line import as_written
from solver.say_it.writing import text_of
from solver.tidy import draw
from tests.solver.drawn import crossings, drawn, mistakes
from tests.solver.say_it_trees import descriptions

EMPTY = Sketch({}, ())
LINES = """\
9 V : 100 µF
9 V : 30 µF + 60 µF
9 V : 30 µF ∥ 60 µF
9 V : 30 µF + (10 µF ∥ 5 µF)
9 V : (30 µF + 10 µF) ∥ 5 µF
12 V : 3 × 10 µF in series
12 V : 3 × 10 µF parallel
12 V : 4 × 4.7 µF series
6 V : 2 µF + 3 µF + 6 µF
6 V : 2 µF ∥ 3 µF ∥ 6 µF
24 V : (2 µF + 2 µF) ∥ (4 µF + 4 µF)
24 V : (2 µF ∥ 2 µF) + (4 µF ∥ 4 µF)
9 V : C + C
V_0 : C + 2C + 3C
V_0 : C ∥ 2C ∥ 3C
V_0 : C + (2C ∥ C/3 ∥ 3/2 C)
V_0 : (C + C) ∥ (C + C) ∥ C
9 V : 1 kΩ + 100 µF
9 V : switch + 1 kΩ + 100 µF
9 V : 1 kΩ + (100 µF ∥ 2 kΩ)
9 V : 1 kΩ + 2 kΩ
9 V : 1 kΩ ∥ 2 kΩ
9 V : 220 Ω + (470 Ω ∥ 470 Ω)
9 V : switch + (10 µF ∥ (switch + 1 kΩ))
1.5 V + 1.5 V : 10 µF
1.5 V + 1.5 V : 10 µF + 5 µF
3 × 1.5 V : 10 µF ∥ 22 µF
9 V + 4.5 V (turned) : 10 µF + 5 µF
9 V (inside 0.5 Ω) : 10 Ω
9 V : 10 µF (rated 16 V) + 22 µF (rated 25 V)
10 µF + 22 µF
10 µF ∥ 22 µF
10 µF + (22 µF ∥ 47 µF)
9 V : 10 µF (starts at 3 V) + 1 kΩ
9 V : 9 × 10 µF + 1 µF
9 V : 30 µF + (10 µF ∥ (5 µF + (2 µF ∥ 1 µF)))
9 V : 30 µF + (((10 µF ∥ 10 µF) + 10 µF) ∥ 5 µF ∥ 10 µF)
9 V : 4u7 + 100n + 22p
9 V : 30 µF + [10 µF ∥ {5 µF + 2 µF}]
9 V : (10 µF + (5 µF ∥ 5 µF)) ∥ 20 µF
9 V : 10 µF + 5 µF + 5 µF
9 V : 10 µF + 5 µF
9 V : 10 µF ∥ 5 µF
9 V : 10 µF ∥ 5 µF ∥ 2 µF
9 V : 10 µF ∥ (5 µF + 2 µF)
9 V : 10 µF + 1 kΩ + 5 µF
12 V : 10 µF + 10 µF
100 V : 1 µF + (1 µF ∥ (1 µF + (1 µF ∥ (1 µF + 1 µF))))
5 V : 1 kΩ + (10 µF ∥ 10 µF) + switch
9 V : 1 kΩ + (2 kΩ ∥ 10 µF) + switch
9 V : C1 = 10 µF + C2 = 20 µF
9 V : Cx = 10 µF + (Cy = 20 µF ∥ Cz = 30 µF)
12 V : (6 µF ∥ 6 µF ∥ 6 µF) + 6 µF
12 V : 2 × (3 µF + 6 µF) parallel
9 V
9 V : closed switch + (10 µF ∥ 5 µF)
45 V : 2 × (5 × 470 µF in series) in parallel
9 V : 10 µF + switch
9 V : 30 µF + (10 µF ∥ 5 µF) + 15 µF
9 V : (1 kΩ + 10 µF) ∥ (2 kΩ + 20 µF)
9 V : 10 µF + (10 µF ∥ 10 µF) + 10 µF + (10 µF ∥ 10 µF)
""".splitlines()


def without_names(description: Description) -> Description:
    """The description with what a line says beside names."""
    written = as_written(description)
    return with_items(written, (replace(item, name=None) for item in all_items(written)))


def corners(sketch: Sketch) -> int:
    """Joints at which a line turns and nothing branches off."""
    meeting = defaultdict(list)
    for line in drawn(sketch):
        meeting[line.part.start].append(line.upright)
        meeting[line.part.end].append(line.upright)
    return sum(len(ways) == 2 and ways[0] != ways[1] for ways in meeting.values())


def across(sketch: Sketch) -> int:
    """Parts that do not stand upright."""
    return sum(not line.upright for line in drawn(sketch) if line.part.kind != "wire")


def voltages(sketch: Sketch, names: list[str | None]) -> list[object] | None:
    """The voltages of parts, whichever way round these lie; None where the sheet cannot be solved."""
    try:
        parts = solve(sketch).parts
    except SketchFaults:
        return None
    found = [parts[str(name)].voltage for name in names if name]
    return [voltage and {str(voltage.exact), str(-voltage.exact)} for voltage in found]


def typed(line: str, before: Sketch) -> Sketch:
    """The sheet after a line, which is drawn plainly, reads as was typed, and is solved as on a sheet of its own."""
    wanted = parse(line, known_parts(before))
    after = change(line, before)
    assert Sketch.read(after.document()) == after
    assert crossings(after) == mistakes(after) == []
    alone = draw(named(wanted))
    assert corners(after) <= corners(alone)
    assert across(after) <= across(alone) + 1
    text = write(after).text or ""
    assert without_names(parse(text, known_parts(after))) == without_names(wanted)
    assert change(text, after) == after
    here, there = ([item.name for item in all_items(each)] for each in (describe(after), named(wanted)))
    assert voltages(after, here) == voltages(alone, there)
    return after


@pytest.mark.parametrize("turn", range(4))
def test_whatever_was_on_the_sheet_before_a_line_is_drawn_plainly_and_means_what_it_says(turn):
    sketch = EMPTY
    for line in random.Random(turn).sample(LINES, len(LINES)):
        sketch = typed(line, sketch)


def line_of(description: Description) -> str:
    """A line that a random description has; without a battery nothing says which way round its parts lie."""
    lying = (
        replace(item, turned=item.turned and bool(description.source) and item.kind != "battery")
        for item in all_items(description)
    )
    return text_of(as_written(with_items(description, lying)))


lines_typed = descriptions.map(line_of)


@given(st.lists(lines_typed, min_size=2, max_size=4))
def test_any_lines_one_after_the_other_are_drawn_plainly(lines):
    sketch = EMPTY
    for line in lines:
        sketch = typed(line, sketch)


NEW = (
    Item("capacitor", "1 µF"),
    Item("capacitor", "30 µF"),
    Item("resistor", "1 kΩ"),
    Item("switch", closed=False),
    Series((Item("capacitor", "7 µF"), Item("resistor", "3 kΩ"))),
)


def edited(description: Description, how: str, place: int, new: Item | Series) -> Description:
    """A description in which something is done to one of the parts of its network, or at it."""
    count = iter(range(10_000))
    place %= sum(1 for _ in items(description.network)) or 1

    def within(branch: Item | Series | Parallel) -> Item | Series | Parallel | None:
        if isinstance(branch, Item):
            if next(count) != place:
                return branch
            join = in_parallel if how == "beside" else in_series
            return {"away": None, "instead": new, "before": join([new, branch])}.get(how, join([branch, new]))
        members = [inner for member in branch.members if (inner := within(member))]
        join = in_parallel if isinstance(branch, Parallel) else in_series
        return join(members) if members else None

    return replace(description, network=within(description.network) if description.network else new)


edits = st.tuples(
    st.sampled_from(("away", "instead", "before", "after", "beside")), st.integers(0, 12), st.sampled_from(NEW)
)


@given(lines_typed, st.lists(edits, min_size=1, max_size=6), st.booleans())
def test_a_line_that_is_edited_again_and_again_stays_plainly_drawn(line, changes, with_names):
    sketch = typed(line, EMPTY)
    for how, place, new in changes:
        shown = parse(write(sketch).text or "", known_parts(sketch))
        wanted = edited(shown, how, place, new)
        if wanted.network is None:
            continue
        if not with_names:
            wanted = with_items(wanted, (replace(item, name=None) for item in all_items(wanted)))
        sketch = typed(text_of(wanted), sketch)

"""Where lines run on the sheet, how they meet, and that what is added finds a place: tested away from the page."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from solver import solve
from tests.browser.module_page import sample_sketches, shared
from tests.browser.test_modules import FROZEN, MIXED, part

Run = Callable[..., Any]

KINDS = shared("kinds")["kinds"]
GEOMETRY = (
    "const { corner, bendLeaving, plainRoute, routes, touched, leads, bounds } = await import('/static/geometry.js');"
)
JOINING = (
    FROZEN + "const { drawPart, joined, moveJoints, jointOn, closedOnThemselves } = await import('/static/joining.js');"
)


DRAW = """
  const kindOf = { W: "wire", C: "capacitor" };
  const draw = (sketch, [letter, from, to, bend]) =>
    drawPart(freeze(sketch), { kind: kindOf[letter], ...(bend ? { bend } : {}) }, letter, from, to).sketch;
"""


def drawn(run: Run, *lines: tuple[Any, ...]) -> dict[str, Any]:
    """The sketch after lines were drawn on an empty sheet: letter of the kind, from, to, the bend where it matters."""
    body = f"{JOINING} {DRAW} return given.reduce(draw, {{ joints: {{}}, parts: [] }});"
    sketch: dict[str, Any] = run(body, [list(line) for line in lines])
    return sketch


def ends(sketch: dict[str, Any], name: str) -> list[list[int]]:
    return [sketch["joints"][part(sketch, name)[end]] for end in ("from", "to")]


@pytest.mark.parametrize(
    ("bend", "points"),
    [("upper", [[0, 0], [6, 0], [6, 4]]), ("lower", [[0, 0], [0, 4], [6, 4]]), (None, [[0, 0], [6, 0], [6, 4]])],
)
def test_a_line_bends_once_at_its_upper_or_its_lower_corner(
    run: Run, bend: str | None, points: list[list[int]]
) -> None:
    assert run(f"{GEOMETRY} return plainRoute([0, 0], [6, 4], given ?? undefined);", bend) == points


@pytest.mark.parametrize(
    ("end", "across"),
    [([6, 4], True), ([6, 4], False), ([6, -4], True), ([6, -4], False), ([-6, 4], True), ([-6, -4], False)],
)
def test_a_line_bends_the_way_it_set_out(run: Run, end: list[int], across: bool) -> None:
    turn = run(
        f"{GEOMETRY} return corner([0, 0], given.end, bendLeaving([0, 0], given.end, given.across));",
        {"end": end, "across": across},
    )
    assert turn == ([end[0], 0] if across else [0, end[1]])


def test_a_straight_line_does_not_bend(run: Run) -> None:
    assert run(f"{GEOMETRY} return [plainRoute([0, 0], [6, 0], 'lower'), plainRoute([0, 0], [0, 6])];") == [
        [[0, 0], [6, 0]],
        [[0, 0], [0, 6]],
    ]


def test_parts_between_the_same_joints_are_drawn_apart(run: Run) -> None:
    sketch = {
        "joints": {"a": [0, 0], "b": [0, 8]},
        "parts": [{"name": f"C{n}", "kind": "capacitor", "from": "a", "to": "b"} for n in (1, 2, 3)],
    }
    places = run(f"{GEOMETRY} return [...routes(given).values()].map((way) => way.symbol.at);", sketch)
    assert len({tuple(place) for place in places}) == 3


def test_a_joint_is_touched_before_a_symbol_and_a_symbol_before_a_line(run: Run) -> None:
    given = {"sketch": MIXED, "kinds": KINDS}
    spots = "[[15, 2.2], [15.3, 5], [15, 3.2], [12, 8.1], [18, 12]]"
    hits = run(f"{GEOMETRY} return {spots}.map((spot) => touched(given.sketch, spot, 0.5, given.kinds));", given)
    assert hits[0] == {"joint": "b"}
    assert (hits[1]["part"], hits[1]["on"]) == ("C1", "symbol")
    assert (hits[2]["part"], hits[2]["on"]) == ("C1", "line")
    assert hits[3] == {"part": "W2", "on": "line", "spot": [12, 8]}
    assert hits[4] is None


def test_lines_that_cross_do_not_join(run: Run) -> None:
    sketch = drawn(run, ("W", [0, 4], [8, 4]), ("W", [4, 0], [4, 8]))
    assert len(sketch["joints"]) == 4
    assert len(sketch["parts"]) == 2


def test_an_end_on_a_wire_cuts_it_in_two(run: Run) -> None:
    sketch = drawn(run, ("W", [0, 4], [8, 4]), ("C", [4, 4], [4, 8]))
    assert sorted(ends(sketch, "W1") + ends(sketch, "W2")) == [[0, 4], [4, 4], [4, 4], [8, 4]]


def test_an_end_on_the_lead_of_a_part_joins_it_and_the_part_stays_whole(run: Run) -> None:
    sketch = drawn(run, ("C", [4, 0], [4, 12]), ("W", [4, 2], [9, 2]))
    assert ends(sketch, "C1") == [[4, 2], [4, 12]]
    assert [each["kind"] for each in sketch["parts"]].count("capacitor") == 1


def test_an_end_on_the_symbol_itself_does_not_cut_it(run: Run) -> None:
    sketch = drawn(run, ("C", [4, 0], [4, 12]), ("W", [4, 6], [9, 6]))
    assert ends(sketch, "C1") == [[4, 0], [4, 12]]


def test_a_wire_drawn_over_joints_ends_at_each_of_them(run: Run) -> None:
    sketch = drawn(run, ("C", [4, 4], [4, 8]), ("C", [6, 4], [6, 8]), ("W", [0, 4], [9, 4]))
    wires = [each for each in sketch["parts"] if each["kind"] == "wire"]
    assert sorted(sorted([sketch["joints"][each["from"]], sketch["joints"][each["to"]]]) for each in wires) == [
        [[0, 4], [4, 4]],
        [[4, 4], [6, 4]],
        [[6, 4], [9, 4]],
    ]


def test_a_wire_drawn_twice_is_there_once(run: Run) -> None:
    assert len(drawn(run, ("W", [0, 4], [8, 4]), ("W", [8, 4], [0, 4]))["parts"]) == 1


def test_a_cut_in_a_bent_wire_keeps_its_picture(run: Run) -> None:
    sketch = drawn(run, ("W", [0, 0], [8, 6], "lower"), ("C", [4, 6], [4, 10]))
    spots = run(f"{GEOMETRY} return [...routes(given).values()].flatMap((way) => way.points);", sketch)
    assert [0, 6] in spots


SCRIBBLE = (
    JOINING
    + DRAW
    + """
  const { routes, onLeg } = await import('/static/geometry.js');
  const same = (a, b) => a[0] === b[0] && a[1] === b[1];

  /** What is untrue of a sketch, if anything. */
  function untrue(sketch) {
    const { joints, parts } = sketch;
    const ids = Object.keys(joints);
    const places = ids.map((id) => joints[id].join());
    if (new Set(places).size < places.length) return "two joints on one dot";
    if (new Set(parts.map((each) => each.name)).size < parts.length) return "a name twice";
    for (const { name, kind, from, to } of parts) {
      if (!(from in joints && to in joints)) return `${name} ends nowhere`;
      if (from === to) return `${name} is closed on itself`;
      const { points } = routes(sketch).get(name);
      if (kind !== "wire" || points.length > 3) continue;
      for (const id of ids.filter((each) => each !== from && each !== to))
        for (let leg = 0; leg + 1 < points.length; leg += 1)
          if (onLeg(joints[id], points[leg], points[leg + 1])) return `${name} passes over joint ${id}`;
    }
    return "";
  }

  for (let seed = 1; seed <= 40; seed += 1) {
    const random = dice(seed);
    const under = (most) => Math.floor(random() * most);
    const spot = () => [under(9), under(9)];
    let sketch = { joints: {}, parts: [] };
    for (let turn = 1; turn <= given.turns; turn += 1) {
      const before = sketch;
      const ids = Object.keys(sketch.joints);
      if (ids.length && random() < 0.25) {
        const moved = new Set([ids[under(ids.length)]]);
        sketch = joined(freeze(moveJoints(sketch, moved, [under(5) - 2, under(5) - 2])), moved);
        if (closedOnThemselves(sketch).length) sketch = before;
      } else {
        const [from, to] = [spot(), spot()];
        const letter = random() < 0.6 ? "W" : "C";
        if (!same(from, to)) sketch = draw(sketch, [letter, from, to, random() < 0.5 ? "" : "lower"]);
      }
      const wrong = untrue(sketch);
      if (wrong) return JSON.stringify({ wrong, seed, turn, before, sketch });
    }
  }
  return "";
"""
)


def test_whatever_is_drawn_and_moved_the_sketch_is_true_to_its_picture(run: Run) -> None:
    assert run(SCRIBBLE, {"turns": 40}) == ""


GROW = (
    FROZEN
    + """
  const { addInSeries, addInParallel } = await import('/static/arrange.js');
  const { routes, STEP } = await import('/static/geometry.js');

  const boxOf = (sketch, { name, kind }) => {
    const { at, along } = routes(sketch).get(name).symbol;
    const { reach, side } = given.kinds[kind].drawing;
    const half = along[0] === 0 ? [side, reach] : [reach, side];
    return [0, 1].map((axis) => [at[axis] * STEP - half[axis], at[axis] * STEP + half[axis]]);
  };
  const legsOf = (sketch, { name }) => {
    const { points } = routes(sketch).get(name);
    const span = (leg, axis) => [points[leg][axis] * STEP, points[leg + 1][axis] * STEP].sort((a, b) => a - b);
    return points.slice(1).map((_, leg) => [span(leg, 0), span(leg, 1)]);
  };
  const meet = (one, other) => one.every(([low, high], axis) => low < other[axis][1] && other[axis][0] < high);

  function clashes(sketch) {
    const symbols = sketch.parts.filter((each) => each.kind !== "wire");
    return symbols.flatMap((one) => {
      const box = boxOf(sketch, one);
      const others = sketch.parts.filter((each) => each.name !== one.name);
      const on = others.filter((each) => each.kind !== "wire" && meet(box, boxOf(sketch, each)));
      const through = others.filter((each) => legsOf(sketch, each).some((leg) => meet(box, leg)));
      const said = (all, does) => all.map((each) => `${each.name} ${does} ${one.name}`);
      return [...said(on, "lies on"), ...said(through, "runs through")];
    });
  }

  const runs = [];
  for (let seed = 1; seed <= given.seeds; seed += 1) {
    const random = dice(seed);
    let sketch = freeze(given.sketch);
    const steps = [];
    for (let turn = 0; turn < given.turns; turn += 1) {
      const able = sketch.parts.filter((each) => ["capacitor", "resistor"].includes(each.kind));
      const { name } = able[Math.floor(random() * able.length)];
      const how = random() < 0.5 ? "series" : "parallel";
      const made = (how === "series" ? addInSeries : addInParallel)(sketch, name, given.kinds);
      steps.push({ name, how, added: made.added, before: sketch, after: made.sketch, clashes: clashes(made.sketch) });
      sketch = freeze(made.sketch);
    }
    runs.push(steps);
  }
  return runs;
"""
)


def exact(sketch: dict[str, Any], name: str, reading: str) -> Fraction:
    return Fraction(solve(sketch).document()["parts"][name][reading]["exact"])


@pytest.mark.parametrize("sketch", sample_sketches(), ids=lambda sketch: sketch["title"])
def test_parts_added_in_series_and_parallel_are_what_they_are_called_and_lie_clear_of_each_other(
    run: Run, sketch: dict[str, Any]
) -> None:
    for steps in run(GROW, {"sketch": sketch, "seeds": 6, "turns": 4, "kinds": KINDS}):
        trail = " ".join(f"{step['name']}-{step['how']}" for step in steps)
        for step in steps:
            assert step["clashes"] == [], trail
            kind = part(step["before"], step["name"])["kind"]
            flow = "charge" if kind == "capacitor" else "current"
            alike = flow if step["how"] == "series" else "voltage"
            assert exact(step["after"], step["name"], alike) == exact(step["after"], step["added"], alike), trail
            # Capacitance grows in parallel, resistance in series; a part that carries nothing changes nothing.
            if "equivalent" not in solve(step["after"]).document()["parts"]["E1"]:
                continue  # an open switch lies between the battery and all else
            before, after = (exact(step[when], "E1", "equivalent") for when in ("before", "after"))
            assert after >= before if (kind == "capacitor") is (step["how"] == "parallel") else after <= before, trail

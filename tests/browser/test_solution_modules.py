"""What the worked solution is made of: formulas as elements and in lines, the walk through the steps, words, copies."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flint
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.formula import Amount, Equation, Fraction, Number, Power, Product, Sum, Symbol, difference, half
from solver.quantities import Quantity
from solver.readings import Reading

Run = Callable[..., Any]

V1, V2, C1, C2 = Symbol("V", "1"), Symbol("V", "2"), Symbol("C", "1"), Symbol("C", "2")

MATH = """
  const { mathElement, piecesOf, inLines } = await import("/static/solution/math.js");
  const textOf = (rows) => mathElement(["math", ...rows]).textContent;
"""


def volts(numerator: int, denominator: int = 1) -> Amount:
    return Amount(Reading(flint.fmpq(numerator, denominator), Quantity.VOLTAGE))


def test_every_formula_of_the_solver_becomes_mathml(run: Run) -> None:
    formulas = [
        Equation(Symbol("C", "12"), Fraction(Product(C1, C2), Sum(C1, C2))),
        Equation(Symbol("U", "1"), half(C1, Power(V1, 2)), volts(9)),
        difference(V1, V2, volts(3, 2)),
        Product(Number(2), C1, difference(V1, V2)),
    ]
    made = run(
        MATH
        + """
        return given.map((tree) => {
          const element = mathElement(tree);
          document.body.append(element);
          const { width, height } = element.getBoundingClientRect();
          return [element.namespaceURI, element.textContent, width > 10 && height > 10];
        });
        """,
        [formula.math() for formula in formulas],
    )
    assert {namespace for namespace, _, _ in made} == {"http://www.w3.org/1998/Math/MathML"}
    assert all(seen for _, _, seen in made)
    assert made[0][1].replace("\u2062", "") == "C12=C1C2C1+C2"


@pytest.mark.parametrize(
    "tree",
    [
        ["math", ["script", "alert(1)"]],
        ["math", ["mi", {"onclick": "alert(1)"}, "x"]],
        ["math", ["mi", {"mathvariant": "url(x)"}, "x"]],
        ["math", ["mi", {"href": "https://example.org"}, "x"]],
        ["math", ["annotation-xml", ["mi", "x"]]],
        ["math", ["maction", ["mi", "x"]]],
        ["math", ["constructor", "x"]],
    ],
)
def test_what_is_not_on_the_list_is_not_made(run: Run, tree: list[Any]) -> None:
    told = run(
        MATH + "try { mathElement(given); return 'made'; } catch (error) { return error.constructor.name; }", tree
    )
    assert told == "TypeError"


def test_markup_in_a_formula_stays_text(run: Run) -> None:
    count, text = run(
        MATH
        + "const element = mathElement(given); return [element.querySelectorAll('*').length, element.textContent];",
        ["math", ["mtext", "<img src=x onerror=alert(1)>"]],
    )
    assert (count, text) == (1, "<img src=x onerror=alert(1)>")


def pieces(run: Run, formula: Any) -> list[tuple[int, str]]:
    made = run(MATH + "return piecesOf(given).map(({ side, row }) => [side, textOf(row)]);", formula.math())
    return [(side, text.replace("\u2062", "")) for side, text in made]


def test_a_formula_may_be_broken_at_equals_signs_and_between_terms(run: Run) -> None:
    formula = Equation(V1, difference(V2, Symbol("V", "3")), volts(3))
    assert pieces(run, formula) == [(0, "V1"), (1, "=V2"), (1, "−V3"), (2, "=3.00\u00a0V")]


def test_a_negative_number_is_not_parted_from_its_sign(run: Run) -> None:
    formula = Equation(V1, volts(-3))
    assert [text for _, text in pieces(run, formula)] == ["V1", "=−3.00\u00a0V"]


def test_brackets_and_fractions_are_not_broken(run: Run) -> None:
    formula = Equation(Product(C1, difference(V1, V2)), Fraction(Sum(C1, C2), V1))
    assert [text for _, text in pieces(run, formula)] == ["C1(V1−V2)", "=C1+C2V1"]


FIT = """
  const { FormulaLine, fitFormulas } = await import("/static/solution/formula.js");
  if (!document.getElementById("looks")) {
    const looks = document.createElement("link");
    Object.assign(looks, { id: "looks", rel: "stylesheet", href: "/static/solution.css" });
    const ready = new Promise((resolve) => looks.addEventListener("load", resolve));
    document.head.append(looks);
    await ready;
  }
  const box = document.createElement("div");
  box.style.fontSize = "16px";
  document.body.replaceChildren(box);
  const lines = given.formulas.map((math) => new FormulaLine({ math, latex: "", text: "" }));
  for (const line of lines) box.append(line.element);
  const measured = given.widths.map((width) => {
    box.style.width = `${width}px`;
    fitFormulas(lines);
    return lines.map(({ element }) => ({
      text: element.textContent.replace(/[\\u2062\\s]/g, ""), rows: element.querySelectorAll("mtr").length || 1,
      over: element.scrollWidth - element.clientWidth, scrolls: element.tabIndex === 0,
      size: parseFloat(element.style.fontSize),
    }));
  });
  return measured;
"""

LONG = Equation(Symbol("U"), Sum(*[Symbol("U", str(index)) for index in range(1, 9)]), volts(405))


def test_a_formula_keeps_to_one_row_where_there_is_room_and_else_to_few(run: Run) -> None:
    wide, narrow = run(FIT, {"formulas": [LONG.math()], "widths": [900, 260]})
    assert wide[0]["rows"] == 1
    assert 2 < narrow[0]["rows"] < 9
    assert wide[0]["text"] == narrow[0]["text"]


def test_it_goes_back_to_one_row_when_there_is_room_again(run: Run) -> None:
    rows = [each[0]["rows"] for each in run(FIT, {"formulas": [LONG.math()], "widths": [900, 200, 900]})]
    assert rows[0] == rows[2] == 1
    assert rows[1] > 1


def test_what_cannot_be_broken_is_set_smaller_and_then_scrolls(run: Run) -> None:
    whole = Equation(V1, Fraction(Sum(*[Symbol("C", str(index)) for index in range(12)]), V2))
    smaller, scrolling = run(FIT, {"formulas": [whole.math()], "widths": [520, 120]})
    assert smaller[0]["size"] <= 1.22
    assert not smaller[0]["scrolls"]
    assert scrolling[0]["scrolls"]


letters = st.builds(Symbol, st.sampled_from("CVQRI"), st.integers(1, 99).map(str))
amounts = st.builds(volts, st.integers(-(10**6), 10**6), st.integers(1, 999))
terms = st.one_of(letters, amounts, st.builds(Product, letters, letters), st.builds(Fraction, letters, letters))
sums = st.lists(terms, min_size=1, max_size=7).map(lambda all_terms: Sum(*all_terms))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    sides=st.lists(sums, min_size=1, max_size=4),
    widths=st.lists(st.integers(90, 900), min_size=1, max_size=4),
)
def test_a_formula_says_the_same_at_every_width_and_is_never_cut_off(
    run: Run, sides: list[Sum], widths: list[int]
) -> None:
    formula = Equation(*sides)
    measured = run(FIT, {"formulas": [formula.math()], "widths": [2000, *widths]})
    whole = measured[0][0]["text"]
    for (each,) in measured:
        assert each["text"] == whole
        assert each["over"] <= 1 or each["scrolls"], formula.text()


WALK = """
  const { Walk } = await import("/static/solution/walk.js");
  const walk = new Walk();
  const where = () => [walk.at, walk.told];
  walk.follow(given.count);
  walk.ask(given.asks);
  return given.moves.map((move) => {
    if (typeof move === "number") walk.follow(move);
    else walk[move]();
    return where();
  });
"""


def test_a_walk_goes_step_by_step_and_stays_within(run: Run) -> None:
    moves = ["back", "forward", "forward", "forward", "back", "toEnd", "toStart"]
    where = run(WALK, {"count": 2, "asks": False, "moves": moves})
    assert [at for at, _ in where] == [0, 1, 2, 2, 1, 2, 0]
    assert all(told for _, told in where)


def test_a_walk_that_asks_stops_twice_at_every_step(run: Run) -> None:
    moves = ["forward", "forward", "forward", "back", "forward", "forward"]
    where = run(WALK, {"count": 2, "asks": True, "moves": moves})
    assert where == [[1, False], [1, True], [2, False], [1, True], [2, False], [2, True]]


def test_a_walk_keeps_its_step_when_the_solution_changes_and_ends_with_it(run: Run) -> None:
    where = run(WALK, {"count": 5, "asks": False, "moves": ["forward", "forward", "forward", 4, 2, 5]})
    assert [at for at, _ in where[2:]] == [3, 3, 2, 2]


def test_names_are_found_whole_and_nowhere_else(run: Run) -> None:
    cut = run(
        """
        const { cutAtNames } = await import("/static/solution/words.js");
        return cutAtNames(given.text, given.names).filter(({ isName }) => isName).map(({ text }) => text);
        """,
        {"text": "C1 and C12 join k2; C123, C1's plate, mC1 and C1_x do not. (C1)", "names": ["C1", "C12", "k2"]},
    )
    assert cut == ["C1", "C12", "k2", "C1", "C1"]


def test_sentences_have_indices_below_and_numbers_with_their_units(run: Run) -> None:
    written = run(
        """
        const { withNames } = await import("/static/solution/words.js");
        const { allAsLatex } = await import("/static/solution/copies.js");
        const whole = { title: "", opening: given, closing: "", steps: [] };
        const words = withNames(given, ["C12"]).map((piece) => piece.textContent ?? piece);
        return [words.join(""), allAsLatex(whole, ["C12"])];
        """,
        "The charge of C12, 4CV_0/5, is 90.0 µC.",
    )
    assert written[0] == "The charge of C12, 4CV₀/5, is 90.0\u00a0µC."
    assert "The charge of $C_{12}$, 4CV${}_{0}$/5, is 90.0 $\\mu$C." in written[1]


def test_a_copy_in_latex_escapes_what_latex_would_take_for_its_own(run: Run) -> None:
    copied = run(
        """
        const { allAsLatex } = await import("/static/solution/copies.js");
        return allAsLatex(given, ["C1"]);
        """,
        {
            "title": "50 % of C1 & {more} #1 \\input_x",
            "opening": "10 µF ∥ 5 Ω − ½ “so”",
            "closing": "",
            "steps": [{"title": "C1", "reason": "a~b^c $", "lines": [{"latex": "C_{1} = 1", "text": "C1 = 1"}]}],
        },
    )
    assert r"50 \% of $C_{1}$ \& \{more\} \#1 \textbackslash{}input\_x" in copied
    assert r"10 $\mu$F $\parallel$ 5 $\Omega$ $-$ $\frac{1}{2}$ ``so''" in copied
    assert r"a\textasciitilde{}b\textasciicircum{}c \$" in copied
    assert r"\[ C_{1} = 1 \]" in copied


CLOSER = """
  const { drawnCloser } = await import("/static/solution/reduced.js");
  return drawnCloser(given).joints;
"""


def test_a_reduced_network_is_drawn_closer_in_the_same_order(run: Run) -> None:
    sketch = {
        "joints": {"a": [3, 2], "b": [40, 2], "c": [40, 30], "0": [3, 30]},
        "parts": [
            {"name": "E1", "kind": "battery", "from": "a", "to": "0"},
            {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
            {"name": "C12", "kind": "capacitor", "from": "b", "to": "c"},
            {"name": "W2", "kind": "wire", "from": "c", "to": "0"},
        ],
    }
    joints = run(CLOSER, sketch)
    assert joints["a"][0] == joints["0"][0] < joints["b"][0] == joints["c"][0] < 15
    assert joints["a"][1] == joints["b"][1] < joints["0"][1] == joints["c"][1] < 12


def test_a_part_that_would_run_back_along_a_wire_is_drawn_straight(run: Run) -> None:
    sketch = {
        "joints": {"a": [4, 2], "b": [15, 2], "f": [10, 16], "0": [4, 16]},
        "parts": [
            {"name": "E1", "kind": "battery", "from": "a", "to": "0"},
            {"name": "W1", "kind": "wire", "from": "a", "to": "b"},
            {"name": "C123", "kind": "capacitor", "from": "b", "to": "f"},
            {"name": "W5", "kind": "wire", "from": "f", "to": "0"},
        ],
    }
    joints = run(CLOSER, sketch)
    assert joints["b"][0] == joints["f"][0]
    assert joints["b"][1] == joints["a"][1]

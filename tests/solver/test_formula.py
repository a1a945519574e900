"""Formulas: one expression, three ways of writing, with brackets where the way of writing needs them and only there."""

from __future__ import annotations

import re

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import Sketch, battery, capacitor
from solver.formula import (
    Amount,
    Equation,
    Formula,
    Fraction,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Sum,
    Symbol,
    Words,
    difference,
    half,
    reciprocal,
)
from solver.formula_amount import drawn
from solver.formula_functions import Decimal, Logarithm
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.solving import solve

C1, C2, V1 = Symbol("C", "1"), Symbol("C", "2"), Symbol("V", "1")


def amount(top: int, bottom: int, quantity: Quantity, figures: int = 3) -> Amount:
    return Amount(Reading(flint.fmpq(top, bottom), quantity, Writing(figures)))


TEN = amount(1, 10**5, Quantity.CAPACITANCE)
FIVE = amount(5, 10**6, Quantity.CAPACITANCE)
DOWN = amount(-3, 1, Quantity.VOLTAGE)


@pytest.mark.parametrize(
    ("formula", "text", "latex"),
    [
        (Sum(C1, C2), "C1 + C2", r"C_{1} + C_{2}"),
        (Sum(C1, Negative(C2)), "C1 − C2", r"C_{1} - C_{2}"),
        (difference(C1, C2, V1), "C1 − C2 − V1", r"C_{1} - C_{2} - V_{1}"),
        (Sum(), "0", "0"),
        (Sum(C1), "C1", "C_{1}"),
        (Negative(Sum(C1, C2)), "−(C1 + C2)", r"-\left(C_{1} + C_{2}\right)"),
        (Product(C1, V1), "C1 · V1", r"C_{1}\,V_{1}"),
        (Product(C1, Sum(V1, C2)), "C1 · (V1 + C2)", r"C_{1}\,\left(V_{1} + C_{2}\right)"),
        (Product(TEN, V1), "10.0 µF × V1", r"10.0\,\mathrm{\mu F} \times V_{1}"),
        (Product(Number(3), C1), "3 · C1", r"3\,C_{1}"),
        (Product(Number(3), TEN), "3 × 10.0 µF", r"3 \times 10.0\,\mathrm{\mu F}"),
        (half(C1, Power(V1, 2)), "½ · C1 · V1²", r"\frac{1}{2}\,C_{1}\,V_{1}^{2}"),
        (Power(TEN, 2), "(10.0 µF)²", r"\left(10.0\,\mathrm{\mu F}\right)^{2}"),
        (Power(Fraction(C1, C2), 2), "(C1/C2)²", r"\left(\frac{C_{1}}{C_{2}}\right)^{2}"),
        (reciprocal(Sum(C1, C2)), "1/(C1 + C2)", r"\frac{1}{C_{1} + C_{2}}"),
        (reciprocal(TEN), "1/(10.0 µF)", r"\frac{1}{10.0\,\mathrm{\mu F}}"),
        (Fraction(Sum(reciprocal(C1), V1), C2), "(1/C1 + V1)/C2", r"\frac{\frac{1}{C_{1}} + V_{1}}{C_{2}}"),
        (Fraction(reciprocal(C1), C2), "(1/C1)/C2", r"\frac{\frac{1}{C_{1}}}{C_{2}}"),
        (Sum(C1, DOWN), "C1 + (−3.00 V)", r"C_{1} + \left(-3.00\,\mathrm{V}\right)"),
        (Sum(C1, Negative(DOWN)), "C1 − (−3.00 V)", r"C_{1} - \left(-3.00\,\mathrm{V}\right)"),
        (Parallel(C1, C2), "C1 ∥ C2", r"C_{1} \parallel C_{2}"),
        (Equation(C1, TEN), "C1 = 10.0 µF", r"C_{1} = 10.0\,\mathrm{\mu F}"),
        (Sum(C1, Words("…"), C2), "C1 + … + C2", r"C_{1} + \text{\ldots{}} + C_{2}"),
        (Symbol("V", "C1"), "V_C1", r"V_{\mathrm{C1}}"),
        (Symbol("V", "b"), "V_b", r"V_{b}"),
        (Symbol("τ"), "τ", r"\tau"),
        (reciprocal(Decimal("0.368")), "1/0.368", r"\frac{1}{0.368}"),
        (reciprocal(Decimal("−0.368")), "1/(−0.368)", r"\frac{1}{-0.368}"),
        (Product(Decimal("5.00 V²"), V1), "5.00 V² × V1", r"5.00\,\mathrm{V^{2}} \times V_{1}"),
        (Logarithm(Decimal("4.57")), "ln 4.57", r"\ln 4.57"),
        (Logarithm(Decimal("1.00 × 10⁹")), "ln(1.00 × 10⁹)", r"\ln \left(1.00 \times 10^{9}\right)"),
    ],
)
def test_text_and_latex_say_the_same(formula: Formula, text: str, latex: str):
    assert formula.text() == text
    assert formula.latex() == latex


def test_mathml_draws_it_in_two_dimensions():
    equation = Equation(Symbol("C", "12"), Fraction(Product(C1, C2), Sum(TEN, FIVE)))
    ten, five = (["mrow", ["mn", number], ["mtext", "\u00a0µF"]] for number in ("10.0", "5.00"))
    first, second = (["msub", ["mi", "C"], ["mn", index]] for index in "12")
    assert equation.math() == [
        "math",
        ["msub", ["mi", "C"], ["mn", "12"]],
        ["mo", "="],
        ["mfrac", ["mrow", first, ["mo", "\u2062"], second], ["mrow", ten, ["mo", "+"], five]],
    ]


def test_a_symbol_with_an_index_is_raised_in_one_element():
    assert Power(V1, 2).math() == ["math", ["msubsup", ["mi", "V"], ["mn", "1"], ["mn", "2"]]]


@pytest.mark.parametrize(
    ("text", "latex"),
    [
        ("90.0 µC", r"90.0\,\mathrm{\mu C}"),
        ("−4.70 kΩ", r"-4.70\,\mathrm{k\Omega}"),
        ("0 V", r"0\,\mathrm{V}"),
        ("1.2 × 10⁻²¹ F", r"1.2 \times 10^{-21}\,\mathrm{F}"),
        ("2C/3", r"\frac{2\,C}{3}"),
        ("−CV_0/2", r"-\frac{C\,V_{0}}{2}"),
        ("(2C + 3D)/5", r"\frac{2\,C + 3\,D}{5}"),
        ("C_1 C_2/(C_1 + C_2)", r"\frac{C_{1}\,C_{2}}{C_{1} + C_{2}}"),
        ("9.00 V × C/(C + 10.0 µF)", r"\frac{9.00\,\mathrm{V} \times C}{C + 10.0\,\mathrm{\mu F}}"),
        ("2·V", r"2 \cdot V"),
        ("C/(2(C + D))", r"\frac{C}{2\,\left(C + D\right)}"),
        ("5.00 V·Ω/F × C", r"5.00\,\mathrm{V\cdot \Omega /F} \times C"),
        ("CV_0²/25", r"\frac{C\,V_{0}^{2}}{25}"),
        ("9.00 V/R", r"\frac{9.00\,\mathrm{V}}{R}"),
        ("V_0(C + D)/2", r"\frac{V_{0}\,\left(C + D\right)}{2}"),
        ("C(C + D)²/(2(C + E)²)", r"\frac{C\,\left(C + D\right)^{2}}{2\,\left(C + E\right)^{2}}"),
        ("C/(C + D)²", r"\frac{C}{\left(C + D\right)^{2}}"),
        ("(C + D)²/C", r"\frac{\left(C + D\right)^{2}}{C}"),
        ("a formula of 30 terms", r"\text{a formula of 30 terms}"),
        ("C + 10.0 µF + … 9 more terms", r"C + 10.0\,\mathrm{\mu F} + \text{\ldots{} 9 more terms}"),
    ],
)
def test_a_readings_text_is_taken_apart(text: str, latex: str):
    assert drawn(text).latex == latex


def test_writing_a_formula_twice_gives_the_same():
    """The parts of a reading's text are kept from one time to the next, and must not grow."""
    chain = Equation(Sum(TEN, FIVE), Sum(FIVE, TEN))
    assert chain.math() == chain.math()
    assert TEN.math() == ["math", ["mrow", ["mn", "10.0"], ["mtext", "\u00a0µF"]]]


def flat(tree) -> str:
    """All text of a tree."""
    return "".join(child if isinstance(child, str) else flat(child) for child in tree[1:])


ELEMENTS = {"math", "mrow", "mi", "mn", "mo", "mtext", "mfrac", "msub", "msup", "msubsup"}
CHILDREN = {"mfrac": 2, "msub": 2, "msup": 2, "msubsup": 3}


def assert_is_mathml(tree) -> None:
    """MathML Core (W3C, 2025): token elements hold text, fractions and scripts have a fixed number of children."""
    name, *children = tree
    assert name in ELEMENTS
    if name in ("mi", "mn", "mo", "mtext"):
        assert len(children) == 1
        assert isinstance(children[0], str)
        return
    assert len(children) == CHILDREN.get(name, len(children))
    assert children
    for child in children:
        assert_is_mathml(child)


amounts = st.builds(
    amount,
    st.integers(-(10**6), 10**6),
    st.integers(1, 10**9),
    st.sampled_from([Quantity.VOLTAGE, Quantity.CAPACITANCE]),
    st.integers(1, 6),
)
leaves = st.one_of(
    st.builds(Symbol, st.sampled_from("CVQ"), st.sampled_from(["", "1", "23", "b", "R1"])),
    st.builds(Number, st.integers(1, 9)),
    amounts,
)
formulas = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.builds(Negative, inner),
        st.lists(inner, min_size=1, max_size=3).map(lambda terms: Sum(*terms)),
        st.lists(inner, min_size=1, max_size=3).map(lambda factors: Product(*factors)),
        st.builds(Fraction, inner, inner),
        st.builds(Power, inner, st.integers(2, 3)),
    ),
    max_leaves=8,
)


@given(formulas)
def test_any_formula_is_mathml_and_balanced_latex(formula: Formula):
    assert_is_mathml(formula.math())
    latex = formula.latex()
    assert latex.count("{") == latex.count("}")
    assert latex.count(r"\left(") == latex.count(r"\right)")
    assert not re.search(r"[µΩ−×²]", latex)
    text = formula.text()
    assert text.count("(") == text.count(")")


@given(amounts)
def test_an_amount_reads_the_same_in_mathml_as_in_text(own: Amount):
    plain = own.text().replace("⁻", "−")
    raised = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")
    assert flat(own.math()).replace("\u00a0", "").replace(" ", "") == plain.translate(raised).replace(" ", "")


def test_every_symbolic_reading_is_understood():
    """None of them falls back to words, whatever mixture of symbols and numbers they are of."""
    solution = solve(
        Sketch.of(
            battery("E1", "V_0", "a", "0"),
            capacitor("C1", "C", "a", "b"),
            capacitor("C2", "10 µF", "b", "0"),
            capacitor("C3", "2C_x/3", "b", "c"),
            capacitor("C4", "C", "c", "0"),
        )
    )
    for name in ("C1", "C2", "C3", "C4"):
        part = solution.parts[name]
        for reading in (part.voltage, part.charge, part.energy):
            assert r"\text" not in drawn(reading.text).latex, reading.text

"""Formulas on paper: drawn from the solver's tree, of listed elements only, broken where they are too wide."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from app.formulas import drawn_formula, mathml
from app.typesetting import part_name

# ziamath finds its font in a way that Python 3.11 and 3.12 call deprecated.
pytestmark = pytest.mark.filterwarnings("ignore:path is deprecated:DeprecationWarning")

SUM = ["math", ["mi", "U"], ["mo", "="], ["mi", "a"], ["mo", "+"], ["mi", "b"], ["mo", "="], ["mn", "405"]]


def test_the_tree_becomes_mathml_with_its_texts_escaped() -> None:
    tree = ["math", ["msub", ["mi", {"mathvariant": "normal"}, "V<"], ["mn", "1"]]]
    assert mathml(tree) == '<math><msub><mi mathvariant="normal">V&lt;</mi><mn>1</mn></msub></math>'


@pytest.mark.parametrize(
    "tree",
    [
        ["script", "alert(1)"],
        ["math", ["maction", ["mi", "a"]]],
        ["math", {"href": "x"}],
        ["math", ["mi", {"style": "x"}, "a"]],
    ],
)
def test_other_elements_and_attributes_are_refused(tree: list[object]) -> None:
    with pytest.raises(ValueError, match="of a formula"):
        mathml(tree)


def test_a_formula_that_fits_stands_in_one_line() -> None:
    [line] = drawn_formula(SUM, 500)
    assert line.indent == 0
    assert 0 < line.width <= 500
    assert ElementTree.fromstring(line.svg).tag.endswith("svg")


def test_the_drawing_refers_to_nothing() -> None:
    [line] = drawn_formula(SUM, 500)
    attributes = {name for element in ElementTree.fromstring(line.svg).iter() for name in element.attrib}
    assert not any(name.endswith("href") for name in attributes)
    assert "url(" not in line.svg


def test_a_wide_formula_is_broken_into_lines_that_fit() -> None:
    [whole] = drawn_formula(SUM, 500)
    room = whole.width * 0.6
    lines = drawn_formula(SUM, room)
    assert len(lines) > 1
    assert all(line.width + line.indent <= room * 1.1 for line in lines)
    assert [line.indent > 0 for line in lines] == [False] + [True] * (len(lines) - 1)


def test_names_are_set_as_the_trade_sets_them_and_stay_text() -> None:
    assert part_name("C12") == "<i>C</i><sub>12</sub>"
    assert part_name("λ_eq") == "<i>λ</i><sub>eq</sub>"
    assert part_name("a<b") == "<i>a&lt;b</i>"

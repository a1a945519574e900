"""How a reading's text and a symbol's name look in a formula: as MathML elements and as LaTeX.

A reading is rounded and written once, in readings.py. Here its text is only taken apart again, by the grammar in which
format.py and symbolic_text.py write: "90.0 µC", "2C/3", "9.00 V × C/(C + 10.0 µF)".
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any, Final, NamedTuple

_FROM_SUPERSCRIPT: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_RAISED: Final = "⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+"
_SIMPLE_UNIT: Final = "[fpnµmkMG]?[FΩVCJAWs]"
_FACTOR: Final = f"[VΩF](?:{_RAISED})?"
_UNIT: Final = (
    rf"(?:(?:1|{_FACTOR}(?:·{_FACTOR})*)/{_FACTOR}(?:·{_FACTOR})*|{_FACTOR}(?:·{_FACTOR})+|[VΩF]{_RAISED}|{_SIMPLE_UNIT})"
    r"(?![A-Za-z0-9_])"
)
_TOKEN: Final = re.compile(
    rf"(?P<number>[0-9]+(?:\.[0-9]+)?)(?: × 10(?P<ten>{_RAISED}))?(?: (?P<unit>{_UNIT}))?"
    rf"|(?P<symbol>[A-Za-zΑ-Ωα-ω])(?:_(?P<index>[A-Za-zΑ-Ωα-ω0-9]+))?(?P<raised>{_RAISED})?"
    rf"|(?P<power>{_RAISED})"
    r"|(?P<more>… [0-9]+ more terms)"
    r"|(?P<sign> [+−×] |[−·/() ])"
)
_GREEK: Final = (
    ("α", "alpha"), ("β", "beta"), ("γ", "gamma"), ("δ", "delta"), ("ε", "varepsilon"), ("ζ", "zeta"), ("η", "eta"),
    ("θ", "theta"), ("ι", "iota"), ("κ", "kappa"), ("λ", "lambda"), ("μ", "mu"), ("ν", "nu"), ("ξ", "xi"), ("π", "pi"),
    ("ρ", "rho"), ("σ", "sigma"), ("ς", "varsigma"), ("τ", "tau"), ("υ", "upsilon"), ("φ", "varphi"), ("χ", "chi"),
    ("ψ", "psi"), ("ω", "omega"), ("Γ", "Gamma"), ("Δ", "Delta"), ("Θ", "Theta"), ("Λ", "Lambda"), ("Ξ", "Xi"),
    ("Π", "Pi"), ("Σ", "Sigma"), ("Υ", "Upsilon"), ("Φ", "Phi"), ("Ψ", "Psi"), ("Ω", "Omega"), ("µ", "mu"),
)  # fmt: skip
# Greek letters that look like Latin ones have no command of their own.
_LATEX_LETTERS: Final = {letter: rf"\{name} " for letter, name in _GREEK} | dict(
    zip("ΑΒΕΖΗΙΚΜΝΟΡΤΧο…", [*"ABEZHIKMNOPTXo", r"\ldots{}"], strict=True)
)

Math = list[Any]


class Drawn(NamedTuple):
    """Part of a formula in both ways of writing.

    `loose` where it is a sum or begins with a minus, `letter` where it is one symbol and nothing else.
    """

    row: list[Math]
    latex: str
    loose: bool = False
    letter: bool = False


@lru_cache(maxsize=2048)
def latex_word(word: str) -> str:
    """A word or unit with the letters that LaTeX writes by name."""
    return "".join(
        _LATEX_LETTERS.get(letter, rf"\{letter}" if letter in "_%&#$" else letter) for letter in word
    ).rstrip()


def named_math(stem: str, index: str) -> Math:
    """A letter with its index as one MathML element; indices of several letters are upright, as names are."""
    if not index:
        return ["mi", stem]
    return ["msub", ["mi", stem], ["mn" if index.isdigit() else "mi", index]]


@lru_cache(maxsize=2048)
def named_latex(stem: str, index: str) -> str:
    """A letter with its index in LaTeX."""
    letter = latex_word(stem)
    if not index:
        return letter
    upright = len(index) > 1 and not index.isdigit()
    return rf"{letter}_{{\mathrm{{{latex_word(index)}}}}}" if upright else f"{letter}_{{{latex_word(index)}}}"


@lru_cache(maxsize=2048)
def drawn(text: str) -> Drawn:
    """The text of a reading taken apart; one that the grammar does not know stays as words."""
    if text.startswith("a formula of "):
        return _words(text)
    reader = _Reader(text)
    try:
        whole = reader.sum()
    except _NotInGrammar:
        return _words(text)
    if not reader.at_end():
        return _words(text)
    return whole._replace(letter=len(whole.row) == 1 and whole.row[0][0] in ("mi", "msub"))


def _words(text: str) -> Drawn:
    return Drawn([["mtext", text]], rf"\text{{{latex_word(text)}}}")


class _NotInGrammar(Exception):
    pass


class _Reader:
    """Reads one text from left to right: sums of products, each with at most one stroke."""

    def __init__(self, text: str) -> None:
        self._tokens: list[re.Match[str]] = []
        place = 0
        while place < len(text) and (found := _TOKEN.match(text, place)):
            self._tokens.append(found)
            place = found.end()
        self._whole: Final = place == len(text)
        self._place = 0

    def at_end(self) -> bool:
        """Whether all of the text has been read."""
        return self._whole and self._place == len(self._tokens)

    def _sign(self) -> str | None:
        if self._place < len(self._tokens) and (sign := self._tokens[self._place]["sign"]):
            return sign
        return None

    def _take(self, *signs: str) -> str | None:
        sign = self._sign()
        if sign in signs:
            self._place += 1
            return sign
        return None

    def sum(self) -> Drawn:
        """Products with + and − between them."""
        minus = self._take("−")
        first = self._product()
        row, latex, loose = first.row, first.latex, bool(minus)
        if minus:
            row, latex = [["mo", "−"], *row], f"-{latex}"
        while sign := self._take(" + ", " − "):
            term = self._product()
            row = [*row, ["mo", sign.strip()], *term.row]
            latex += f"{sign.replace('−', '-')}{term.latex}"
            loose = True
        return Drawn(row, latex, loose)

    def _product(self) -> Drawn:
        row, latex = self._factor()
        while True:
            if self._take("/"):
                below = self._factor(bare=True)
                if len(row) == 1 and row[0][0] == "mrow" and row[0][1] == ["mo", "("]:
                    # The stroke brackets what is above it.
                    row, latex = row[0][2:-1], latex.removeprefix(r"\left(").removesuffix(r"\right)")
                row, latex = [["mfrac", _one(row), _one(below[0])]], rf"\frac{{{latex}}}{{{below[1]}}}"
                continue
            times = self._take(" × ", "·", " ")
            if times is None and not self._factor_follows():
                return Drawn(row, latex)
            right = self._factor()
            between = {" × ": "×", "·": "·"}.get(times or "", "\u2062")
            row = [*row, ["mo", between], *right[0]]
            latex += {"×": r" \times ", "·": r" \cdot ", "\u2062": r"\,"}[between] + right[1]

    def _factor_follows(self) -> bool:
        if self._place >= len(self._tokens):
            return False
        sign = self._tokens[self._place]["sign"]
        return sign is None or sign == "("

    def _power(self) -> str:
        """The exponent of a bracket that was just closed, empty where it has none."""
        if self._place < len(self._tokens) and (power := self._tokens[self._place]["power"]):
            self._place += 1
            return power.translate(_FROM_SUPERSCRIPT)
        return ""

    def _factor(self, *, bare: bool = False) -> tuple[list[Math], str]:
        if self._take("("):
            inner = self.sum()
            if not self._take(")"):
                raise _NotInGrammar
            power = self._power()
            if bare and not power:
                return inner.row, inner.latex
            whole, latex = ["mrow", ["mo", "("], *inner.row, ["mo", ")"]], rf"\left({inner.latex}\right)"
            return ([["msup", whole, ["mn", power]]], f"{latex}^{{{power}}}") if power else ([whole], latex)
        if self._place >= len(self._tokens):
            raise _NotInGrammar
        token = self._tokens[self._place]
        if token["sign"] or token["power"]:
            raise _NotInGrammar
        self._place += 1
        if token["number"]:
            return _number(token)
        if token["more"]:
            words = _words(token["more"])
            return words.row, words.latex
        element, latex = (
            named_math(token["symbol"], token["index"] or ""),
            named_latex(token["symbol"], token["index"] or ""),
        )
        if token["raised"]:
            power = token["raised"].translate(_FROM_SUPERSCRIPT)
            latex += f"^{{{power}}}"
            element = (
                ["msubsup", *element[1:], ["mn", power]] if element[0] == "msub" else ["msup", element, ["mn", power]]
            )
        return [element], latex


def _number(token: re.Match[str]) -> tuple[list[Math], str]:
    row: list[Math] = [["mn", token["number"]]]
    latex = token["number"]
    if token["ten"]:
        power = token["ten"].translate(_FROM_SUPERSCRIPT)
        row += [["mo", "×"], ["msup", ["mn", "10"], ["mn", power.replace("-", "−")]]]
        latex += rf" \times 10^{{{power}}}"
    if token["unit"]:
        # The space that the SI Brochure sets between number and unit is part of the text, and does not break.
        row.append(["mtext", f"\u00a0{token['unit']}"])
        latex += rf"\,\mathrm{{{_latex_unit(token['unit'])}}}"
    return [_one(row)] if len(row) > 1 else row, latex


def _latex_unit(unit: str) -> str:
    written = re.sub(_RAISED, lambda found: f"^{{{found[0].translate(_FROM_SUPERSCRIPT)}}}", unit)
    return latex_word(written).replace("·", r"\cdot ")


def _one(row: list[Math]) -> Math:
    return row[0] if len(row) == 1 else ["mrow", *row]

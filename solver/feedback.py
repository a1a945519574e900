"""What the typing field says while a text is being typed: which part it makes, in one short line.

All its sentences are here, but for those on a text that is no value yet, which value_faults.py has.
"""

from __future__ import annotations

from typing import Final

import flint

from solver.format import format_number
from solver.kinds import KINDS, Kind
from solver.numerals import clean
from solver.value_faults import with_article
from solver.written import Written

# What makes a part by its word alone, and whether the switch is closed.
WORDS: Final[dict[str, tuple[str, bool | None]]] = {
    "switch": ("switch", False),
    "open switch": ("switch", False),
    "switch open": ("switch", False),
    "closed switch": ("switch", True),
    "switch closed": ("switch", True),
    "two-way switch": ("two-way switch", None),
    "two way switch": ("two-way switch", None),
    "twoway switch": ("two-way switch", None),
    "2-way switch": ("two-way switch", None),
    "change-over switch": ("two-way switch", None),
    "wire": ("wire", None),
    "": ("wire", None),
}


def about_word(word: str) -> str:
    """The line for a text that is one of WORDS."""
    if not word:
        return "Enter makes it a wire"
    if WORDS[word][0] == "two-way switch":
        return "a two-way switch: its arm where the line began; a click throws it over"
    return "a wire" if word == "wire" else f"{with_article(word)}; a click opens and closes it"


def about_value(written: Written, typed: str, tidy: str, kind: Kind) -> str:
    """The line for a text that makes a part of this kind: what told so, or how it was read where that may surprise."""
    part = with_article(kind.word)
    if written.symbol:
        return _about_symbol(written, typed, part)
    if written.numeral.comma:
        return f"decimal comma, read as {tidy}: {part}"
    if clean(typed).replace(" ", "").replace(",", ".").replace("u", "µ") == clean(tidy).replace(" ", ""):
        return f"{written.unit} makes it {part}"
    return f"read as {tidy}: {part}"


def about_build(capacitance: flint.fmpq) -> str:
    """The line for a capacitor's build in words."""
    return f"{format_number(capacitance, 'F', 3)}: a capacitor"


def about_open_build(word: str) -> str:
    """The line for a build with a size that is “?”; `word` is what the size is called."""
    return f"a capacitor; the {word} is to be found, from what a reading has to be"


def _about_symbol(written: Written, typed: str, part: str) -> str:
    times = "" if written.factor == 1 else f"{str(written.factor).replace('-', '−')} × "
    line = f"{times}the symbol {written.symbol}: {part}"
    if written.symbol == "R" and clean(typed).removeprefix("-")[:-1].strip().isdigit():
        return f"{line}; for ohms type {written.factor} Ω"
    return line


def about_beginning(word: str) -> str | None:
    """The line for the first letters of a word that makes a part, or for a kind's name; None where it is neither."""
    for whole, (kind, _) in WORDS.items():
        if word and whole.startswith(word) and (len(word) > 1 or whole == kind):
            return f"{whole} makes it {with_article(kind)}"
    for entry in KINDS.values():
        if len(word) > 2 and entry.word.startswith(word):
            return f"{with_article(entry.word)} is told by its value, such as {entry.example}"
    return None

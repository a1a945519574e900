"""The say-it line: one line of text describes a network, as in `9 V : 30 µF + (10 µF ∥ 5 µF)`.

description: what a line describes, as a tree; tokens, item_text, parsing: from text to that tree; writing: back;
reduction, describing: from the sheet to the tree; line: the line of a sheet; changing: from an edited line to the
sheet; matching, bare, putting_in, taking_away, plainness: what that edit is, and whether it can be made in place;
mentions: what the sheet says of its parts; faults, misfits: the sentences on what is wrong with a line, and on what a
line cannot describe.
"""

from solver.say_it.changing import change
from solver.say_it.description import Branch, Description, Item, Parallel, Series
from solver.say_it.faults import LineFault, LineFaults
from solver.say_it.line import Line, known_parts, write
from solver.say_it.parsing import parse, words_of

__all__ = [
    "Branch",
    "Description",
    "Item",
    "Line",
    "LineFault",
    "LineFaults",
    "Parallel",
    "Series",
    "change",
    "known_parts",
    "parse",
    "words_of",
    "write",
]

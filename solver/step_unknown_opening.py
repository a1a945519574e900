"""What the derivation of a value marked “?” begins with, and whether the network has any part in it."""

from __future__ import annotations

from solver.faults import listing
from solver.unknown import Found
from solver.unknown_texts import asked_words


def is_given(found: Found) -> bool:
    """Whether what is required is the capacitance itself of which a build asks for a size."""
    [condition, *others], [value, *_] = found.conditions, found.values
    is_own = condition.requirement.reading == f"{value.part}.capacitance"
    return not others and is_own and value.size is not None and len(value.texts) == 1


def opening_of(found: Found) -> str:
    """The sentences before the first step."""
    names = listing([value.part for value in found.values])
    if is_given(found):
        return f"{names} has to have {found.values[0].value.text}. All of its build is known but one size."
    many = len(found.values) > 1
    told = (
        f"{names} {'are' if many else 'is'} not known, so {'they stay letters' if many else 'it stays a letter'}. "
        f"The network is solved with {'them' if many else 'it'} like with any number, and what is required makes an "
        "equation for it."
    )
    sizes = [asked_words(found.asked.sheet, value.part) for value in found.values if value.size is not None]
    return f"{told} From that {'follow' if len(sizes) > 1 else 'follows'} {listing(sizes)}." if sizes else told

"""What can be wrong with a sketch, as typed errors, and what is worth saying about a solution, as notes.

Their sentences are made here and nowhere else, from the templates in shared/messages.json.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar, Final

from solver.numerals import quoted

_MESSAGES: Final[dict[str, dict[str, str]]] = {
    section: entries
    for section, entries in json.loads(
        (Path(__file__).resolve().parent.parent / "shared" / "messages.json").read_text("utf-8")
    ).items()
    if section != "about"
}
_LISTED: Final = 12
_REPORTED: Final = 50


def listing(names: Sequence[str]) -> str:
    """Names as a sentence lists them; many are cut short.

    >>> listing(["E1", "E2", "E3"])
    'E1, E2 and E3'
    """
    if len(names) > _LISTED:
        return f"{', '.join(names[:_LISTED])} and {len(names) - _LISTED} more"
    return every(names)


def every(names: Sequence[str]) -> str:
    """All of the names as a sentence lists them, however many."""
    return " and ".join(filter(None, [", ".join(names[:-1]), *names[-1:]]))


def _sentence(section: str, code: str, parts: Sequence[str], joints: Sequence[str], details: dict[str, Any]) -> str:
    if "text" in details:
        details = {**details, "text": quoted(details["text"])}
    return _MESSAGES[section][code].format(
        **{
            "part": parts[0] if parts else "",
            "parts": listing(parts),
            "joint": joints[0] if joints else "",
            "joints": listing(joints),
        }
        | details
    )


class SketchFault(Exception):
    """One thing wrong with a sketch: its code, the parts and joints concerned, and one sentence about it.

    >>> fault = BatteryShorted(parts=["E1"])
    >>> fault.code, fault.parts
    ('battery-shorted', ('E1',))
    """

    code: ClassVar[str]

    def __init__(self, *, parts: Iterable[str] = (), joints: Iterable[str] = (), **details: str) -> None:
        self.parts: Final = tuple(parts)
        self.joints: Final = tuple(joints)
        self.text: Final = _sentence("errors", self.code, self.parts, self.joints, details)
        super().__init__(self.text)

    def document(self) -> dict[str, Any]:
        """The fault as the web interface sends it."""
        return {"code": self.code, "parts": list(self.parts), "joints": list(self.joints), "text": self.text}


class SketchNotUnderstood(SketchFault):
    """The document is no sketch at all."""

    code = "sketch-not-understood"


class UnknownKey(SketchFault):
    """An entry that a sketch does not have, often a misspelt one."""

    code = "unknown-key"


class MissingKey(SketchFault):
    """An entry that has to be there and is not."""

    code = "missing-key"


class WrongContent(SketchFault):
    """An entry whose content is not of the kind the schema asks for."""

    code = "wrong-content"


class DuplicateName(SketchFault):
    """Two parts of one name."""

    code = "duplicate-name"


class UnknownJoint(SketchFault):
    """A joint that is named but is not on the sheet."""

    code = "unknown-joint"


class UnknownStagePart(SketchFault):
    """A stage that names a switch or a part with a value which is not on the sheet."""

    code = "unknown-stage-part"


class UnknownReading(SketchFault):
    """A requirement on a reading that the sketch does not have."""

    code = "unknown-reading"


class RequirementsDoNotMatch(SketchFault):
    """Not as many requirements as values marked “?”."""

    code = "requirements-do-not-match"


class RequirementMissing(SketchFault):
    """A value marked “?” without the reading that it is to be found from, or without what that reading has to be."""

    code = "requirement-missing"


class RequirementNotMet(SketchFault):
    """No value at all makes the readings what they have to be."""

    code = "requirement-not-met"


class RequirementsAlike(SketchFault):
    """Two requirements that say the same of two unknowns, so that any number of pairs of values do it."""

    code = "requirements-alike"


class UnknownsDiffer(SketchFault):
    """A part that is asked for in one way on the sheet, or in a stage, and in another way in another stage."""

    code = "unknowns-differ"


class RequirementIdle(SketchFault):
    """A reading that does not depend on the value that is asked for."""

    code = "requirement-idle"


class TimeNotRequired(SketchFault):
    """A requirement on a reading after a time, or on the time constant, that makes no sense here."""

    code = "time-not-required"


class ValueMissing(SketchFault):
    """A capacitor, resistor or battery without a value."""

    code = "value-missing"


class ValueNotUnderstood(SketchFault):
    """A text that is no value."""

    code = "value-not-understood"


class ValueWrongUnit(SketchFault):
    """A value of another quantity than the part takes."""

    code = "value-wrong-unit"


class ValueNotPositive(SketchFault):
    """A capacitance, resistance or rated voltage of zero or less."""

    code = "value-not-positive"


class ValueNegative(SketchFault):
    """An internal resistance of less than zero."""

    code = "value-negative"


class ValueOutOfRange(SketchFault):
    """A number too large or too small to mean anything."""

    code = "value-out-of-range"


class ToleranceNotUnderstood(SketchFault):
    """A text that is no tolerance."""

    code = "tolerance-not-understood"


class ToleranceOutOfRange(SketchFault):
    """A tolerance of 100 % or more, or of as many farads as the part has."""

    code = "tolerance-out-of-range"


class SymbolUsedTwice(SketchFault):
    """One symbol for two quantities."""

    code = "symbol-used-twice"


class BatteryShorted(SketchFault):
    """An ideal battery whose terminals are one conductor."""

    code = "battery-shorted"


class BatteryShortedBySwitch(SketchFault):
    """An ideal battery whose terminals are one conductor because of switches; `parts` are the battery and these."""

    code = "battery-shorted-by-switch"


class BatteriesContradict(SketchFault):
    """Ideal batteries round a loop whose emfs do not add up to zero; `parts` are the batteries of that loop."""

    code = "batteries-contradict"


class TooManySymbols(SketchFault):
    """A network with symbols that is too large to be solved."""

    code = "too-many-symbols"


class TwoWayNotTidied(SketchFault):
    """A two-way switch for whose second contact the layout has no room."""

    code = "two-way-not-tidied"


class SheetTooSmall(SketchFault):
    """A network that, laid out, reaches over the edges of the sheet."""

    code = "sheet-too-small"


class NotANumber(SketchFault):
    """Values so far apart that floating-point numbers give no answer."""

    code = "not-a-number"


class SketchFaults(Exception):
    """Everything found wrong with a sketch, together, in the order in which it was found; at most the first 50.

    Attributes: faults, a tuple of SketchFault, never empty, no two with the same sentence.

    >>> SketchFaults([BatteryShorted(parts=["E1"]), DuplicateName(parts=["C1"])]).faults[1].text
    'Two parts are called C1; give one of them another name.'
    """

    def __init__(self, faults: Iterable[SketchFault]) -> None:
        by_text: dict[str, SketchFault] = {}
        for fault in faults:
            by_text.setdefault(fault.text, fault)
            if len(by_text) == _REPORTED:
                break
        self.faults: Final = tuple(by_text.values())
        super().__init__("\n".join(fault.text for fault in self.faults))


@dataclass(frozen=True, slots=True)
class Note:
    """Something a reader of a solution should know, such as why a quantity is absent.

    >>> note("only-battery", parts=["E1"], joints=["a", "0"]).text
    'Only E1 lies between joints a and 0.'
    """

    code: str
    parts: tuple[str, ...]
    joints: tuple[str, ...]
    text: str

    def document(self) -> dict[str, Any]:
        """The note as the web interface sends it."""
        return {"code": self.code, "parts": list(self.parts), "joints": list(self.joints), "text": self.text}


def note(code: str, *, parts: Iterable[str] = (), joints: Iterable[str] = (), **details: str) -> Note:
    """The note of that code, with its sentence."""
    part_names, joint_names = tuple(parts), tuple(joints)
    return Note(code, part_names, joint_names, _sentence("notes", code, part_names, joint_names, details))

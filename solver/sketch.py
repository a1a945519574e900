"""The sketch: joints on a grid, and parts between them. It is what the solver reads, as written in design and schema.

Build one in a notebook with Sketch.of and the functions capacitor, resistor, battery, switch, two_way_switch and wire.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final, NamedTuple, Self

from solver.faults import DuplicateName, SketchFault, SketchFaults, UnknownJoint, WrongContent
from solver.schema import require_sketch

FIGURES: Final = 3
_SPACING: Final = 4


class Part(NamedTuple):
    """What lies between two joints, as typed.

    `start` and `end` are the joints a document calls `from` and `to`; the texts `value`, `initial`, `rated`, `reverse`
    (which makes a capacitor a polarised one), `internal` and `tolerance` are None where left out, `closed` is for
    switches, `bend` concerns the drawing only. Of a two-way switch `start` is the arm, `end` the first contact,
    `second` the joint of the second one; `rests` ("first" or "second") tells which one the arm touches, the first where
    left out.
    """

    name: str
    kind: str
    start: str
    end: str
    value: str | None = None
    initial: str | None = None
    rated: str | None = None
    reverse: str | None = None
    internal: str | None = None
    closed: bool | None = None
    bend: str | None = None
    tolerance: str | None = None
    second: str | None = None
    rests: str | None = None

    @property
    def ends(self) -> tuple[str, ...]:
        """The joints where the part ends: two, or three for a two-way switch."""
        return (self.start, self.end) if self.second is None else (self.start, self.end, self.second)

    @property
    def touched(self) -> str:
        """The joint that a two-way switch's arm touches; of other parts their end."""
        return self.second if self.rests == "second" and self.second is not None else self.end

    @property
    def gap(self) -> tuple[str, str]:
        """The joints that an open switch keeps apart: its ends; of a two-way switch the arm and the free contact."""
        if self.second is None:
            return self.start, self.end
        return self.start, self.end if self.rests == "second" else self.second

    @property
    def state(self) -> str:
        """How a switch stands, in words; "" for other parts."""
        if self.kind == "two-way switch":
            return f"on contact {2 if self.rests == 'second' else 1}"
        return ("closed" if self.closed else "open") if self.kind == "switch" else ""

    @property
    def at_rest(self) -> Part:
        """A two-way switch as a closed switch from its arm to the contact that it touches; other parts as they are.

        `rests` stays, to tell which contact that is.
        """
        if self.second is None:
            return self
        return self._replace(kind="switch", end=self.touched, second=None, closed=True, rests=self.rests or "first")

    def document(self) -> dict[str, Any]:
        """The part as in a sketch document; entries left out stay out."""
        entries = {
            "name": self.name,
            "kind": self.kind,
            "value": self.value,
            "tolerance": self.tolerance,
            "from": self.start,
            "to": self.end,
            "initial": self.initial,
            "rated": self.rated,
            "reverse": self.reverse,
            "internal": self.internal,
            "closed": self.closed,
            "bend": self.bend,
            "second": self.second,
            "rests": self.rests if self.second is not None else None,
        }
        return {key: entry for key, entry in entries.items() if entry is not None}

    @classmethod
    def read(cls, entry: Mapping[str, Any]) -> Self:
        """The part of a document entry that has passed the schema."""
        get = entry.get
        required = entry["name"], entry["kind"], entry["from"], entry["to"], get("value")
        if len(entry) == len(required) and "value" in entry:
            # By far the most parts are like this, and a sheet may have thousands.
            return cls(*required)
        optional = ("initial", "rated", "reverse", "internal", "closed", "bend", "tolerance", "second", "rests")
        return cls(*required, *(get(key) for key in optional))


def capacitor(
    name: str,
    value: str,
    start: str,
    end: str,
    *,
    initial: str | None = None,
    rated: str | None = None,
    tolerance: str | None = None,
    reverse: str | None = None,
) -> Part:
    """A capacitor; `initial` is its voltage (at `start` less that at `end`) before anything is connected.

    `rated` is its rated voltage. With `reverse` it is a polarised one, + at `start`, that stands so much reversed.

    >>> capacitor("C1", "30 µF", "a", "b", initial="6 V").initial
    '6 V'
    """
    return Part(
        name, "capacitor", start, end, value, initial=initial, rated=rated, reverse=reverse, tolerance=tolerance
    )


def resistor(name: str, value: str, start: str, end: str, *, tolerance: str | None = None) -> Part:
    """A resistor.

    >>> resistor("R1", "1.5 kΩ", "a", "b").value
    '1.5 kΩ'
    """
    return Part(name, "resistor", start, end, value, tolerance=tolerance)


def battery(name: str, value: str, start: str, end: str, *, internal: str | None = None) -> Part:
    """A battery with its + terminal at `start`; `internal` is its internal resistance, none when left out.

    >>> battery("E1", "9 V", "a", "0").start
    'a'
    """
    return Part(name, "battery", start, end, value, internal=internal)


def switch(name: str, start: str, end: str, *, closed: bool = False) -> Part:
    """A switch, open unless said otherwise.

    >>> switch("S1", "a", "b").closed
    False
    """
    return Part(name, "switch", start, end, closed=closed)


def two_way_switch(name: str, arm: str, first: str, second: str, *, rests: str = "first") -> Part:
    """A two-way switch: its arm rests on the first contact unless said otherwise.

    >>> two_way_switch("S1", "c", "a", "b", rests="second").touched
    'b'
    """
    return Part(name, "two-way switch", arm, first, second=second, rests=rests)


@dataclass(frozen=True, slots=True)
class Stage:
    """One arrangement of switches and values, in a sequence of them.

    `closed` names the switches that are closed in it, all others are open; `second` the two-way switches that rest on
    their second contact, all others rest on their first; `settings` are (part, value) pairs of the
    values that parts have from this stage on. Each stage starts from the charges that the one before left.
    """

    closed: tuple[str, ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    name: str | None = None
    text: str | None = None
    second: tuple[str, ...] = ()

    def document(self) -> dict[str, Any]:
        """The stage as in a sketch document; entries left out stay out."""
        entries: dict[str, Any] = {"name": self.name, "text": self.text, "closed": list(self.closed)}
        if self.second:
            entries["second"] = list(self.second)
        if self.settings:
            entries["set"] = dict(self.settings)
        return {key: entry for key, entry in entries.items() if entry is not None}

    @classmethod
    def read(cls, entry: Mapping[str, Any]) -> Self:
        """The stage of a document entry that has passed the schema."""
        settings = tuple(entry.get("set", {}).items())
        return cls(
            tuple(entry["closed"]), settings, entry.get("name"), entry.get("text"), tuple(entry.get("second", ()))
        )


@dataclass(frozen=True, slots=True)
class Requirement:
    """What a reading has to be: its key, as in a sketch's `covered` ("C1.voltage"), and the value as typed.

    `after` is how long after the start it has to be so, as typed; None in the end, when all has settled.
    """

    reading: str
    value: str
    after: str | None = None

    def document(self) -> dict[str, str]:
        """The requirement as in a sketch document."""
        entries = {"reading": self.reading, "value": self.value, "after": self.after}
        return {key: entry for key, entry in entries.items() if entry is not None}


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked about a reading over time: when it reaches a value, or what it is at a time after the start.

    One of `reaches` and `at` is there, as typed; the other is None.
    """

    reading: str
    reaches: str | None = None
    at: str | None = None

    def document(self) -> dict[str, str]:
        """The question as in a sketch document."""
        entries = {"reading": self.reading, "reaches": self.reaches, "at": self.at}
        return {key: entry for key, entry in entries.items() if entry is not None}


def wire(name: str, start: str, end: str) -> Part:
    """A wire.

    >>> wire("W1", "a", "b").kind
    'wire'
    """
    return Part(name, "wire", start, end)


@dataclass(frozen=True)
class Sketch:
    """A drawing of a network.

    `joints` maps each joint to its place on the grid, (across, down) in whole steps, which the solver ignores;
    `zero` is the joint at 0 V (None: the negative terminal of the first battery, else the first joint);
    `figures` is the number of significant figures of readings as text, `probes` are pairs of joints to read between,
    `stages` what is done with the switches and values one after the other, `stage` the one that the parts show (counted
    from 0), `moment` how many seconds after its start that is (None: in the end; the solver ignores it), `required`
    what readings have to be while a part's value is “?”, `questions` what is asked about readings over time, `usable`
    how much of each rated voltage is to be used at the most (per cent), `lot` the number of a lot from the
    drawer that parts with a tolerance are drawn from (see solver.lot).

    >>> sketch = Sketch.of(battery("E1", "9 V", "a", "0"), capacitor("C1", "10 µF", "a", "0"))
    >>> list(sketch.joints), sketch.parts[1].value
    (['a', '0'], '10 µF')
    """

    joints: Mapping[str, tuple[int, int]]
    parts: tuple[Part, ...]
    title: str | None = None
    zero: str | None = None
    figures: int = FIGURES
    probes: tuple[tuple[str, str], ...] = ()
    covered: tuple[str, ...] = ()
    stages: tuple[Stage, ...] = ()
    stage: int | None = None
    moment: float | None = None
    required: tuple[Requirement, ...] = ()
    questions: tuple[Question, ...] = ()
    usable: int = 100
    lot: int | None = None

    @classmethod
    def of(
        cls,
        *parts: Part,
        zero: str | None = None,
        figures: int = FIGURES,
        probes: Iterable[tuple[str, str]] = (),
        title: str | None = None,
        stages: Iterable[Stage] = (),
        required: Iterable[Requirement] = (),
        questions: Iterable[Question] = (),
        usable: int = 100,
    ) -> Self:
        """A sketch of these parts, for a notebook: its joints are the parts' ends, set in a row.

        Raises SketchFaults for what would not pass as a document either, such as two parts of one name.
        """
        ends = dict.fromkeys(joint for part in parts for joint in part.ends)
        document: dict[str, Any] = {
            "joints": {joint: [_SPACING * place, 0] for place, joint in enumerate(ends)},
            "parts": [part.document() for part in parts],
            "figures": figures,
            "probes": [list(pair) for pair in probes],
            "stages": [stage.document() for stage in stages],
            "required": [each.document() for each in required],
            "questions": [each.document() for each in questions],
            "usable": usable,
        }
        if zero is not None:
            document["zero"] = zero
        if title is not None:
            document["title"] = title
        return cls.read(document)

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """The sketch of a document.

        Raises SketchFaults, with everything at once: what the schema refuses, or else names used twice and joints
        that are not on the sheet.
        """
        require_sketch(document)
        sketch = cls(
            joints=MappingProxyType({name: (int(x), int(y)) for name, (x, y) in document["joints"].items()}),
            parts=tuple(map(Part.read, document["parts"])),
            title=document.get("title"),
            zero=document.get("zero"),
            figures=int(document.get("figures", FIGURES)),
            probes=tuple((a, b) for a, b in document.get("probes", ())),
            covered=tuple(document.get("covered", ())),
            stages=tuple(map(Stage.read, document.get("stages", ()))),
            stage=document.get("stage"),
            moment=document.get("moment"),
            required=tuple(
                Requirement(each["reading"], each["value"], each.get("after")) for each in document.get("required", ())
            ),
            questions=tuple(
                Question(each["reading"], each.get("reaches"), each.get("at")) for each in document.get("questions", ())
            ),
            usable=int(document.get("usable", 100)),
            lot=document.get("lot"),
        )
        if faults := sketch._faults():
            raise SketchFaults(faults)
        return sketch

    def document(self) -> dict[str, Any]:
        """The sketch as a document; reading it back gives an equal sketch."""
        entries: dict[str, Any] = {
            "title": self.title,
            "joints": {name: list(place) for name, place in self.joints.items()},
            "parts": [part.document() for part in self.parts],
            "zero": self.zero,
            "figures": self.figures,
            "probes": [list(pair) for pair in self.probes] or None,
            "covered": list(self.covered) or None,
            "stages": [stage.document() for stage in self.stages] or None,
            "stage": self.stage,
            "moment": self.moment,
            "required": [each.document() for each in self.required] or None,
            "questions": [each.document() for each in self.questions] or None,
            "usable": self.usable if self.usable != 100 else None,
            "lot": self.lot,
        }
        return {key: entry for key, entry in entries.items() if entry is not None}

    @property
    def at_rest(self) -> Sketch:
        """The sketch with every two-way switch as a closed switch from its arm to the contact that it touches."""
        return replace(self, parts=tuple(part.at_rest for part in self.parts))

    def _faults(self) -> list[SketchFault]:
        faults: list[SketchFault] = []
        joints = self.joints
        seen: set[str] = set()
        for part in self.parts:
            if part.name in seen:
                faults.append(DuplicateName(parts=[part.name]))
            seen.add(part.name)
            if missing := [joint for joint in part.ends if joint not in joints]:
                faults.extend(
                    UnknownJoint(parts=[part.name], joints=[joint], where=part.name) for joint in dict.fromkeys(missing)
                )
        if self.zero is not None and self.zero not in self.joints:
            faults.append(UnknownJoint(joints=[self.zero], where="“zero” of the sketch"))
        if self.stage is not None and self.stage >= len(self.stages):
            counted = "there are none" if not self.stages else f"there are only {len(self.stages)}"
            faults.append(WrongContent(where="“stage” of the sketch", reason=f"of stages {counted}"))
        for index, pair in enumerate(self.probes):
            faults.extend(
                UnknownJoint(joints=[joint], where=f"Probe number {index + 1}")
                for joint in dict.fromkeys(pair)
                if joint not in self.joints
            )
        return faults

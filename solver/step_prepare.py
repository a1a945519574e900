"""What is set aside before anything is put together: switches, parts that do nothing in the end, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from solver.checks import conductor_name
from solver.faults import listing
from solver.quantities import Quantity
from solver.readings import Reading
from solver.sketch import Sketch
from solver.step_drawing import drawing_of
from solver.step_plan import Plan
from solver.step_teller import Teller
from solver.worked import Step

_ZEROS: Final = {
    "capacitor": (Quantity.VOLTAGE, Quantity.CHARGE, Quantity.ENERGY),
    "resistor": (Quantity.VOLTAGE, Quantity.CURRENT, Quantity.POWER),
}

_CLOSED: Final = "is closed and acts like a wire"
_ALL_CLOSED: Final = "are closed and act like wires"
_OPEN: Final = "is open: no charge passes there, so it is left out"
_ALL_OPEN: Final = "are open: no charge passes there, so they are left out"


class Preparation:
    """Sets aside what does nothing; `drawing` is what is left, as far as the steps have been told."""

    def __init__(self, sketch: Sketch, teller: Teller, plan: Plan) -> None:
        self._teller: Final = teller
        self._plan: Final = plan
        self._kinds: Final = {part.name: part.kind for part in sketch.parts}
        self._switches: Final = [part for part in sketch.parts if part.kind == "switch"]
        network = teller.network
        self._ends: Final = {part.name: (part.a, part.b) for part in network.branches}
        conductor_of = network.conductor_of
        self.drawing = drawing_of(sketch, conductor_of)
        self._merged: Final = {joint: plan.node[conductor] for joint, conductor in conductor_of.items()}

    def steps(self) -> Iterator[Step]:
        """A step for each sort of thing that is set aside."""
        if self._switches:
            yield self._switched()
        if self._plan.shorted:
            yield self._shorted()
        if self._plan.idle:
            yield self._idle()
        self.drawing = self.drawing.numbered(self._merged)
        if self._plan.level:
            yield self._level()
        if self._plan.dead:
            yield self._dead()

    def _switched(self) -> Step:
        two_way = [part for part in self._switches if part.rests]
        closed = [part.name for part in self._switches if part.closed and not part.rests]
        opened = [part.name for part in self._switches if not part.closed]
        told = []
        if closed:
            told.append(f"{listing(closed)} {_CLOSED if len(closed) == 1 else _ALL_CLOSED}.")
        if opened:
            told.append(f"{listing(opened)} {_OPEN if len(opened) == 1 else _ALL_OPEN}.")
        told += (
            f"{part.name} rests on its {part.rests} contact and acts like a wire to there; nothing passes to the other."
            for part in two_way
        )
        joining = [*closed, *(part.name for part in two_way)]
        self.drawing = self.drawing.as_wires(joining).without(opened)
        names = [part.name for part in self._switches]
        title = f"The switch {names[0]}" if len(names) == 1 else f"The switches {listing(names)}"
        return self._step("switch", title, names, " ".join(told))

    def _shorted(self) -> Step:
        names = self._plan.shorted
        self.drawing = self.drawing.without(names)
        reason = (
            f"Both ends of {names[0]} are on one conductor, so there is no voltage across it: {self._nothing(names)}."
        )
        if len(names) > 1:
            reason = (
                f"{listing(names)} each have both ends on one conductor, so there is no voltage across any of them: "
                f"{self._nothing(names)}."
            )
        return self._step("set-aside", f"No voltage across {listing(names)}", names, reason)

    def _idle(self) -> Step:
        names = self._plan.idle
        self.drawing = self.drawing.as_wires(names)
        stands = ", since capacitors let no steady current pass" if self._teller.network.capacitors else ""
        reason = (
            f"No conducting way leads {self._way()} through {_either(names)}{stands}. So in the end no current flows "
            f"through {_it(names)}, there is no voltage across {_it(names)}, and "
            f"{'it acts like a wire' if len(names) == 1 else 'they act like wires'}."
        )
        return self._step("set-aside", f"No current through {listing(names)}", names, reason)

    def _level(self) -> Step:
        names = self._plan.level
        self.drawing = self.drawing.without(names)
        joined = f"both ends of {names[0]}" if len(names) == 1 else f"the ends of {listing(names)}, for each of them"
        reason = (
            f"Resistors without a current join {joined}, so in the end no voltage is left across {_it(names)}, "
            f"and {_they_hold(names)} no charge."
        )
        return self._step("set-aside", f"No voltage across {listing(names)}", names, reason)

    def _dead(self) -> Step:
        names = self._plan.dead
        self.drawing = self.drawing.without(names)
        if self._plan.between is not None:
            reason = f"No way leads {self._way()} through {_either(names)}, so {_they_play(names)} no part."
            return self._step("set-aside", f"Without {listing(names)}", names, reason)
        reason = (
            f"No closed way leads {self._way()} through {_either(names)}: whatever came onto one plate would have to "
            f"leave the other, and there it has nowhere to go. So {_they_hold(names)} no charge, and there is no "
            f"voltage across {_it(names)}."
        )
        return self._step("set-aside", f"No charge on {listing(names)}", names, reason)

    def _way(self) -> str:
        """Between where and where a way would have to lead."""
        return "from a battery and back" if self._plan.between is None else "from the one joint to the other"

    def _nothing(self, names: Sequence[str]) -> str:
        kinds = {self._kinds[name] for name in names}
        one = len(names) == 1
        said = {
            frozenset({"capacitor"}): "it holds no charge" if one else "they hold no charge",
            frozenset({"resistor"}): "it carries no current" if one else "they carry no current",
        }
        return said.get(frozenset(kinds), "they hold no charge and carry no current")

    def _step(self, kind: str, title: str, names: Sequence[str], reason: str) -> Step:
        network = self._teller.network
        zero = network.arithmetic.zero
        readings: dict[str, Reading] = {
            f"{name}.{quantity.value}": self._teller.reading(zero, quantity)
            for name in names
            if self._plan.between is None
            for quantity in _ZEROS.get(self._kinds[name], ())
        }
        ends = sorted({end for name in names for end in self._ends.get(name, ())})
        return Step(
            kind=kind,
            title=title,
            parts=tuple(names),
            conductors=tuple(map(conductor_name, ends)),
            reason=reason,
            readings=readings,
            sketch=self.drawing.drawn,
        )


def _either(names: Sequence[str]) -> str:
    """Names with "or" between the last two; a long list as listing() has it."""
    listed = listing(names)
    return f"any of {listed}" if listed.endswith("more") else " or ".join(listed.rsplit(" and ", 1))


def _it(names: Sequence[str]) -> str:
    return "it" if len(names) == 1 else "them"


def _they_hold(names: Sequence[str]) -> str:
    return "it holds" if len(names) == 1 else "they hold"


def _they_play(names: Sequence[str]) -> str:
    return "it plays" if len(names) == 1 else "they play"

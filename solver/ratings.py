"""Will it hold, as a document: shares of ratings, the highest battery voltages, and what goes after what past them.

For teaching: the sentences never say that anything is safe, and a real part's maker decides what it stands.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

import flint

from solver.carried import starting_charges
from solver.compare_words import count_word
from solver.extremes import IN_THE_END
from solver.failures import Failure, failures
from solver.faults import SketchFaults, every, listing
from solver.format import format_exact, format_float
from solver.highest import Bound, EmfNotOne, Highest, Strained, highest_emfs, rounded_down, with_emf
from solver.quantities import Quantity
from solver.readings import Reading, Writing
from solver.sketch import Sketch
from solver.solving import SolvedNetwork, solution_of
from solver.stages import solve_stages
from solver.strains import Strain, is_followed, limits_of, resists, strains

_MOST_BATTERIES: Final = 4
_ALL_AT_ONCE: Final = 4
"""Parts that limit together from which on they are not named one by one where they are all that could."""
_MOST_PARTS: Final = 400
"""Parts of a network up to which the highest voltages are looked for."""
FOR_TEACHING: Final = (
    "This is for teaching. Real parts fail early, late, and in other ways than to a short: it never foretells what "
    "real hardware does, and nothing is to be built to find out."
)


def ratings_document(sketch: Sketch, networks: Sequence[SolvedNetwork]) -> dict[str, Any]:
    """The strain of each capacitor with a limit in the network shown, given as (thrown, solved) where it is a stage,
    and the highest emf of each battery: in all stages, and where there are several in each. `followed` says whether
    what happens on the way is judged, or only the end."""
    words, network = _Words(networks[-1].sketch), networks[0].outcome.network
    return {
        "usable": sketch.usable,
        "strains": {strain.part: words.strain_document(strain) for strain in strains(networks)},
        "highest": _highest(sketch, words) if len(sketch.parts) <= _MOST_PARTS else [],
        "followed": not resists(network) or is_followed(network),
        "leftOut": list(_left_out(sketch, words.limited)),
    }


def _left_out(sketch: Sketch, limited: Collection[str]) -> Iterator[str]:
    """What the highest voltages say nothing of, in sentences."""
    unrated = [part.name for part in sketch.parts if part.kind == "capacitor" and part.name not in limited]
    if unrated:
        has, takes = ("has", "it takes") if len(unrated) == 1 else ("have", "they take")
        yield f"{listing(unrated)} {has} no rating, so nothing is known of what {takes}."
    if any(part.tolerance is not None for part in sketch.parts):
        yield "Tolerances are left out: with other values within them a capacitor may get more."


def failures_document(sketch: Sketch, stage: int) -> dict[str, Any]:
    """What goes after what in a stage of the sketch (0 where it has none), as steps, each with its sketch and solution.

    Where all holds, the first battery that can is taken just past what holds. Raises SketchFaults.
    """
    thrown, solved, raised = _just_past(sketch, stage)
    charges = starting_charges(thrown.outcome.network)
    words = _Words(solved.sketch)
    steps: list[dict[str, Any]] = [
        {
            "title": "As it is" if raised is None else f"{raised[0]} just past what holds",
            "sentence": words.beginning(raised, strains([thrown, solved])),
            "failed": [],
            "sketch": solved.sketch.document(),
            "solution": solution_of(solved).document(),
        }
    ]
    gone: list[str] = []
    for number, failure in enumerate(failures(solved.sketch, charges)):
        gone.append(failure.part)
        steps.append(
            {
                "title": f"{failure.part} goes {'first' if number == 0 else 'next'}",
                "sentence": words.failure(failure, is_first=number == 0),
                "failed": list(gone),
                "sketch": failure.sketch.document(),
                "solution": solution_of(failure.solved).document() if failure.solved else None,
            }
        )
    return {"steps": steps, "closing": FOR_TEACHING}


def _just_past(sketch: Sketch, stage: int) -> tuple[SolvedNetwork, SolvedNetwork, tuple[str, Reading] | None]:
    """The stage (thrown, solved), with a battery just past the highest emf where nothing is past a limit; and which
    emf that is. Raises SketchFaults."""
    whole = replace(sketch, usable=100)
    here = _stage(whole, stage)
    if any(strain.is_past for strain in strains(here)):
        return *here, None
    for battery in _batteries(sketch):
        try:
            highest = highest_emfs(whole, battery)[1][stage]
        except (Strained, EmfNotOne):
            continue
        if highest is not None:
            emf = rounded_down(highest.emf, sketch.figures)
            emf += emf - rounded_down(emf * (1 - flint.fmpq(1, 10**12)), sketch.figures)
            raised = battery, Reading(emf, Quantity.EMF, Writing(sketch.figures))
            return *_stage(with_emf(whole, battery, format_exact(emf, "V")), stage), raised
    return *here, None


def _stage(sketch: Sketch, stage: int) -> tuple[SolvedNetwork, SolvedNetwork]:
    """A stage as its switches leave it, and solved. Raises SketchFaults."""
    found = solve_stages(sketch)[stage]
    if found.thrown is None or found.solved is None:
        raise SketchFaults(found.faults)
    return found.thrown, found.solved


def _batteries(sketch: Sketch) -> list[str]:
    return [part.name for part in sketch.parts if part.kind == "battery"][:_MOST_BATTERIES]


def _highest(sketch: Sketch, words: _Words) -> list[dict[str, Any]]:
    if not limits_of(sketch):
        return []
    found = []
    batteries = _batteries(sketch)
    for battery in batteries:
        alone = len(batteries) == 1
        try:
            whole, each = highest_emfs(sketch, battery)
        except Strained as past:
            verb = "is past its limit" if len(past.parts) == 1 else "are past their limits"
            sentence = f"No voltage of {battery} will do: {every(past.parts)} {verb} whatever {battery} gives."
            found.append({"battery": battery, "emf": None, "limits": list(past.parts), "sentence": sentence})
            continue
        except EmfNotOne:
            sentence = f"{battery} has several voltages in these stages, so no single highest one can be told."
            found.append({"battery": battery, "emf": None, "limits": [], "sentence": sentence})
            continue
        except SketchFaults:
            continue
        if whole is not None:
            found.append(words.highest_document(whole, battery="" if alone else battery, stage=""))
        if len(each) > 1:
            found += [
                words.highest_document(highest, battery="" if alone else battery, stage=f"Stage {number + 1}")
                for number, highest in enumerate(each)
                if highest is not None
            ]
    return found


class _Words:
    """What is said of strains, highest emfs and failures, with numbers to the sketch's figures."""

    def __init__(self, sketch: Sketch) -> None:
        self.writing = Writing(sketch.figures)
        self.usable = sketch.usable
        self.limited = sorted(limits_of(sketch))
        self.capacitors = sum(part.kind == "capacitor" for part in sketch.parts)

    def _text(self, number: flint.fmpq, quantity: Quantity = Quantity.VOLTAGE) -> str:
        return Reading(number, quantity, self.writing).text

    def strain_document(self, strain: Strain) -> dict[str, Any]:
        limit = strain.limit
        counted = limit.down if strain.is_reversed else limit.up
        kind = "reversed" if strain.is_reversed else "rated" if self.usable == 100 else "usable"
        return {
            "share": percent(strain.share),
            "inTheEnd": percent(strain.in_the_end),
            "limit": None
            if counted is None
            else {"value": float(counted), "text": format_exact(counted, "V"), "kind": kind},
            "isPast": strain.is_past,
            "isReversed": strain.is_reversed,
            "sentence": self.strain(strain),
        }

    def strain(self, strain: Strain) -> str:
        """How far a part is strained, in a sentence."""
        at = moment_words(strain.time)
        voltage = self._text(abs(strain.voltage))
        if strain.is_reversed and strain.limit.down is not None:
            stands = format_exact(strain.limit.down, "V")
            past = ": too much" if strain.is_past else ""
            return f"{strain.part} has {voltage} the wrong way round{at} and stands {stands} reversed{past}."
        verb = "is past its limit" if strain.is_past else "holds"
        return f"{strain.part} {verb}: {voltage}{at}, {percent(strain.share)} of {self._of(strain)}."

    def _of(self, strain: Strain) -> str:
        rated = strain.limit.rated
        if rated is None:
            return "no rating"
        whole = f"its {format_exact(rated, 'V')}"
        if self.usable == 100 or strain.limit.up is None:
            return whole
        return f"{format_exact(strain.limit.up, 'V')} usable, which are {self.usable} % of {whole}"

    def highest_document(self, found: Highest, *, battery: str, stage: str) -> dict[str, Any]:
        emf = Reading(found.told, Quantity.EMF, self.writing)
        who = [each for each in (stage, battery and f"with {battery}") if each]
        begins = f"{' '.join(who)[0].upper()}{' '.join(who)[1:]} holds" if stage else "Holds"
        if battery and not stage:
            begins = f"With {battery} it holds"
        document = {
            "battery": found.battery,
            "emf": emf.document(),
            "limits": list(found.limited_by),
            "sentence": f"{begins} up to {emf.text}; {self._limiting(found)} it{_moment(found.bounds)}.",
        }
        return document if stage else document | {"then": self._then(found)}

    def _limiting(self, found: Highest) -> str:
        names = found.limited_by
        if len(names) < _ALL_AT_ONCE or sorted(names) != self.limited:
            return f"{listing(names)} {'limits' if len(names) == 1 else 'limit'}"
        which = "" if len(names) == self.capacitors else " with a rating"
        return f"all {count_word(len(names))}{which} limit"

    def _then(self, found: Highest) -> str:
        said = []
        if found.charge is not None:
            said.append(f"{found.battery} has then delivered {self._text(found.charge, Quantity.CHARGE)}")
        if found.energy is not None:
            stored = self._text(found.energy, Quantity.ENERGY)
            said.append(f"{stored} {'are' if said else 'are then'} stored")
        return f"{' and '.join(said)}." if said else ""

    def beginning(self, raised: tuple[str, Reading] | None, found: Iterable[Strain]) -> str:
        """How things stand before anything goes."""
        told = " ".join(map(self.strain, found))
        if raised is None:
            return told if told else "No capacitor has a rated voltage."
        return f"Nothing is past its limit as it is, so {raised[0]} is taken to {raised[1].text}. {told}"

    def failure(self, failure: Failure, *, is_first: bool) -> str:
        """What has happened in a step, and what the others come to."""
        voltage = self._text(abs(failure.voltage))
        after = format_float(failure.time, "s", 3)
        when = "" if failure.time == 0 else f" {after} after {'the start' if is_first else 'that'}"
        how = f"it has {voltage} the wrong way round" if failure.is_reversed else f"it has {voltage}"
        first = f"{failure.part} goes {'first' if is_first else 'next'}{when}: {how}, and becomes a short."
        if failure.alike:
            verb = "is" if len(failure.alike) == 1 else "are"
            first += f" {listing(failure.alike)} {verb} as far past and could as well go."
        if failure.shorts:
            return f"{first} Nothing limits the current of {every(failure.shorts)} any more: wire and battery get hot."
        left = " ".join(map(self.strain, failure.strains))
        return f"{first} {left}" if left else f"{first} No other capacitor has a limit."


def percent(share: flint.fmpq) -> str:
    """A share as whole per cent; what is past 1 never reads as 100 %.

    >>> percent(flint.fmpq(18, 25)), percent(flint.fmpq(10001, 10000))
    ('72 %', 'over 100 %')
    """
    rounded = int((share * 100 + flint.fmpq(1, 2)).floor())
    if rounded == 100 and share != 1:
        return "over 100 %" if share > 1 else "99 %"
    return f"{rounded} %"


def moment_words(time: float | None) -> str:
    """When something is so, as the end of a sentence; nothing where it is so in the end."""
    if time is None:
        return " before the start"
    if time == 0:
        return " just after the start"
    return "" if time == IN_THE_END else f" {format_float(time, 's', 3)} after the start"


def _moment(bounds: Sequence[Bound]) -> str:
    """When the limit is reached, unless it is so in the end."""
    if any(bound.time == IN_THE_END for bound in bounds):
        return ""
    said = moment_words(bounds[0].time)
    return f",{said}" if said else ""

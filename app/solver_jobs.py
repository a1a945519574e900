"""What a solver process does with a job: asks `solver`, and writes its answer or its faults as JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Self

import orjson

from app.job_schemas import BANK, COMPARISON, HANDOUT, LINE, OFFLINE, SPREAD, TYPED_VALUE
from app.refusals import Refused, fault_of, require, typeset, web_sentence
from app.shared_data import shared_data
from solver import Sketch, SketchFaults
from solver.build_document import builds_document
from solver.kinds import KINDS
from solver.lot import Lot, drawn
from solver.quantities import Quantity
from solver.schema import require_sketch
from solver.solution import Solution
from solver.solving import SolvedNetwork, solution_of, solve_network
from solver.sparse import Floats
from solver.stage_document import stage_document, stages_document
from solver.stages import SolvedStage, solve_stages
from solver.strains import Strain, strains
from solver.typed_document import NoSuchPlace, TextRefused, document_of_text, document_of_value
from solver.unknown import Found, find, has_unknowns
from solver.values import ValueFault, read_value

Answer = tuple[str, bytes]


class _ForLongLane(Exception):
    """The job belongs into the lane of long work."""


class _StageAtFault(SketchFaults):
    """What is wrong in the stage shown, with all the stages."""

    def __init__(self, shown: SolvedStage, stages: tuple[SolvedStage, ...]) -> None:
        super().__init__(shown.faults)
        self.stages = stages


def get_ready() -> None:
    """Solve and read something small, so that whatever is loaded when first needed is there before the first job."""
    battery = {"name": "E1", "kind": "battery", "value": "9 V", "from": "a", "to": "0"}
    capacitor = {"name": "C1", "kind": "capacitor", "value": "C", "from": "a", "to": "0"}
    carry_out("solve", "long", {"joints": {"a": [0, 0], "0": [0, 1]}, "parts": [battery, capacitor]})
    carry_out("value", "quick", {"text": "22 µF"})
    # The library of linear algebra waits without end for memory that it does not get: it takes its own while there is.
    Floats().solve(3, [(0, 1, 1.0), (1, 2, 1.0), (0, 2, 1.0)], [[0.0, 1.0, 0.0]])


def carry_out(job: str, lane: str, document: Any) -> Answer:
    """An outcome (see app.solver_process.Outcome) and its JSON text. `job` is named as in SolverProcesses."""
    try:
        match job:
            case "solve":
                return _solve(document, lane)
            case "explain":
                return _explain(document, lane)
            case "compare":
                return _compare(document, lane)
            case "spread":
                return "answer", orjson.dumps(_spread(document))
            case "bank" | "bank-search" | "bank-sketch" | "bank-handout":
                return "answer", orjson.dumps(_bank(job, document))
            case "bank-pdf":
                return "answer", _bank_pdf(document)
            case "ledger":
                return _ledger(document, lane)
            case "offline":
                return _offline(document, lane)
            case "paper":
                return "answer", orjson.dumps(_paper())
            case "pdf":
                return "answer", _pdf(document)
            case "check":
                require_sketch(document)
                return "answer", b"null"
            case "value":
                return "answer", orjson.dumps(_typed_value(document))
            case "line":
                return "answer", orjson.dumps(_line(document))
            case "tidy":
                return "answer", orjson.dumps(_tidied(document, lane))
            case _:
                raise ValueError(job)
    except SketchFaults as refusal:
        return "refused", orjson.dumps({"faults": [fault.document() for fault in refusal.faults], "stages": None})
    except Refused as refusal:
        return "refused", orjson.dumps({"faults": refusal.faults, "stages": refusal.stages})
    except _ForLongLane:
        return "long", b""


def _solve(document: Any, lane: str) -> Answer:
    return _explain({"sketch": document, "with": [], "way": None}, lane)


def _explain(document: Any, lane: str) -> Answer:
    """The solution, and each view that is asked for as one more member of it."""
    try:
        answered = _Answered.of(_sketch_for(lane, document["sketch"]))
    except _StageAtFault as refusal:
        if "stages" not in document["with"]:
            raise
        faults, stages = refusal.faults, refusal.stages
        raise Refused([fault.document() for fault in faults], [stage_document(stage) for stage in stages]) from None
    told = answered.solution.document()
    for view in document["with"]:
        told[view] = _view(view, answered, document["way"])
    if answered.found is not None:
        told["found"] = [value.document() for value in answered.found.values]
    if answered.lot is not None:
        told["lot"] = answered.lot.document()
    if questions := answered.asked.questions:
        from solver.answers import answers_of

        told["answers"] = [answer.document() for answer in answers_of(questions, answered.from_the_start)]
    return "answer", orjson.dumps(told)


def _sketch_for(lane: str, document: Any) -> Sketch:
    """The sketch of a document, where this lane is the one for it. Raises SketchFaults."""
    sketch = Sketch.read(document)
    if lane == "quick" and _has_symbols(sketch):
        raise _ForLongLane
    return sketch


@dataclass(frozen=True)
class _Answered:
    """A sketch as it was sent, with “?” for values to be found, and what has been worked out of it: the values found,
    the lot drawn, its stages where there are any, and the network, which is that of the stage shown."""

    asked: Sketch
    found: Found | None
    lot: Lot | None
    stages: tuple[SolvedStage, ...]
    solved: SolvedNetwork
    solution: Solution

    @classmethod
    def of(cls, asked: Sketch) -> Self:
        """Raises SketchFaults, also with what is wrong in the stage shown."""
        found = find(asked) if has_unknowns(asked) else None
        sketch = found.sketch if found else asked
        if lot := drawn(sketch):
            sketch = lot.sketch
        stages = solve_stages(sketch) if sketch.stages else ()
        shown = stages[sketch.stage or 0] if stages else None
        if shown and shown.solved is None:
            raise _StageAtFault(shown, stages)
        solved = shown.solved if shown and shown.solved else solve_network(sketch)
        return cls(asked, found, lot, stages, solved, solution_of(solved))

    @property
    def sketch(self) -> Sketch:
        """The whole sketch, stages and all, with a value for each “?”."""
        return self.found.sketch if self.found else self.asked

    @property
    def strains(self) -> tuple[Strain, ...]:
        """How far capacitors with a limit are strained in what is shown."""
        return strains([self.from_the_start, self.solved])

    @property
    def from_the_start(self) -> SolvedNetwork:
        """What takes its time: the stage shown as its switches leave it, before values change; else the network."""
        shown = self.stages[self.asked.stage or 0] if self.stages else None
        return shown.thrown if shown and shown.thrown else self.solved


def _view(view: str, answered: _Answered, way: str | None) -> Any:
    """What an answer has beside the readings."""
    solved, solution = answered.solved, answered.solution
    match view:
        case "stages":
            stages = answered.stages or solve_stages(solved.sketch)
            return stages_document(stages, answered.asked.stage or 0)
        case "builds":
            return builds_document(solved)
        case "tiles":
            from solver.tiles import tiles_of

            return tiles_of(solved, solution).document()
        case "steps":
            return _worked(answered, way)
        case "line":
            from solver.say_it import write

            typed = answered.lot.as_typed(solved.sketch) if answered.lot else solved.sketch
            return write(answered.found.as_asked(typed) if answered.found else typed).document()
        case "handout":
            from solver.handout import handout_of

            return handout_of(answered.asked, solved, solution, answered.found, answered.strains).document()
        case "ratings":
            from solver.ratings import ratings_document

            return ratings_document(answered.sketch, [answered.from_the_start, solved])
        case "failures":
            from solver.ratings import failures_document

            return failures_document(answered.sketch, answered.asked.stage or 0)
        case "caution":
            from solver.cautions import caution_of

            caution = caution_of([stage.solved for stage in answered.stages if stage.solved] or [solved])
            return caution.document() if caution else None
        case _:
            raise ValueError(view)


def _spread(document: Any) -> dict[str, Any]:
    """The answer of POST /api/spread, as SpreadSlice in shared/openapi.json has it."""
    from solver.tolerance import spread_on
    from solver.tolerance_place import Place, SpreadLost

    require(SPREAD, document, most=200)
    asked = Sketch.read(document["sketch"])
    sketch = find(asked).sketch if has_unknowns(asked) else asked
    if sketch.stages and not sketch.stage:
        sketch = solve_stages(sketch)[0].sketch
    try:
        return spread_on(sketch, Place.read(document["from"]) if document["from"] else Place()).document()
    except SpreadLost:
        told = web_sentence("“from” is no place in the work on this sketch")
        raise Refused([fault_of("request-not-understood", told)]) from None


def _worked(answered: _Answered, way: str | None) -> dict[str, Any]:
    """The worked solution by one of its ways."""
    from solver.further_ways import further_ways
    from solver.steps import steps_of

    solved, solution = answered.solved, answered.solution
    ways = further_ways(answered.asked, answered.found, answered.stages, answered.from_the_start, solution)
    return steps_of(solved, solution, way, before=ways.before, after=ways.after).document()


def _ledger(document: Any, lane: str) -> Answer:
    """The ledger for spreadsheets."""
    from solver.ledger_csv import ledger_csv

    answered = _Answered.of(_sketch_for(lane, document))
    return "answer", ledger_csv(answered.solved.sketch, answered.solution, answered.strains)


def _offline(document: Any, lane: str) -> Answer:
    """The solution with every view, and the worked solution in every way that there is."""
    require(OFFLINE, document, most=200)
    answered = _Answered.of(_sketch_for(lane, document["sketch"]))
    whole = _with_views(answered, None)
    ways = {way: _worked(answered, way) for way in [each["way"] for each in whole["steps"]["ways"]]}
    return "answer", orjson.dumps({"solution": whole, "ways": ways})


def _paper() -> dict[str, Any]:
    """Whether PDFs can be made here, and if not why."""
    from app.typesetting import NoTypesetting, weasyprint

    try:
        weasyprint()
    except NoTypesetting:
        return {"pdf": False, "reason": shared_data("messages")["web"]["no-pdf"]["text"]}
    return {"pdf": True, "reason": None}


def _pdf(document: Any) -> bytes:
    """The handout as PDF: the solution is worked out here, the drawings come from the browser."""
    from app.typesetting import handout_pdf

    require(HANDOUT, document, most=200)
    answered, options = _Answered.of(Sketch.read(document["sketch"])), document["options"]
    whole = _with_views(answered, options["way"])
    with typeset():
        return handout_pdf(whole, answered.asked.document(), document["drawings"], options)


def _with_views(answered: _Answered, way: str | None) -> dict[str, Any]:
    """The solution's document, with the views that go on paper as members of it."""
    return answered.solution.document() | {view: _view(view, answered, way) for view in ("tiles", "steps", "handout")}


def _line(document: Any) -> dict[str, Any]:
    """The answer of POST /api/line, as DescribedSketch in shared/openapi.json has it."""
    from solver.say_it import LineFaults, change, known_parts, parse, words_of, write

    require(LINE, document, most=200)
    sketch = Sketch.read(document["sketch"])
    text = document.get("text")
    if text is None:
        return {"sketch": sketch.document(), "line": write(sketch).document(), "makes": None}
    try:
        changed = change(text, sketch)
    except LineFaults as refusal:
        raise Refused(fault.document() for fault in refusal.faults) from None
    makes = words_of(parse(text, known_parts(sketch)))
    return {"sketch": changed.document(), "line": write(changed).document(), "makes": makes}


def _compare(document: Any, lane: str) -> Answer:
    """The answer of POST /api/compare, as Comparison in shared/openapi.json has it."""
    from solver.compare import ComparisonFault, Wish, compare

    require(COMPARISON, document)
    wish = Wish.read(document)
    if lane == "quick" and (_has_symbols(wish.sketch) or (wish.emf and _is_symbol(wish.emf, Quantity.EMF))):
        raise _ForLongLane
    try:
        return "answer", orjson.dumps(compare(wish).document())
    except ComparisonFault as refusal:
        raise Refused([refusal.document()]) from None


def _bank(job: str, document: Any) -> dict[str, Any]:
    """The answers of POST /api/bank, /api/bank/search, /api/bank/sketch and /api/bank/handout. Raises Refused."""
    from solver.bank import BankFaults, Place, Wish, drawn, paper, plan, search_on

    require(BANK[job], document, most=200)
    try:
        if job == "bank":
            return plan(Wish.read(document))
        wish = Wish.read(document["wish"])
        if job == "bank-search":
            return search_on(wish, Place.read(document["from"]))
        return paper(wish, document) if job == "bank-handout" else drawn(wish, document)
    except BankFaults as refusal:
        raise Refused(fault.document() for fault in refusal.faults) from None


def _bank_pdf(document: Any) -> bytes:
    """The page of a bank as PDF: what stands on it is worked out here, the drawing comes from the browser."""
    from app.typesetting import bank_handout_pdf

    require(BANK["bank-pdf"], document, most=200)
    page = _bank("bank-handout", {key: value for key, value in document.items() if key != "drawing"})
    with typeset():
        return bank_handout_pdf(page, document["drawing"])


def _tidied(document: Any, lane: str) -> dict[str, Any]:
    """The sketch laid out anew."""
    from solver.tidy import tidy

    sketch = Sketch.read(document)
    if lane == "quick" and any(part.second is not None for part in sketch.parts):
        raise _ForLongLane
    return tidy(sketch).document()


def _has_symbols(sketch: Sketch) -> bool:
    """Whether a value is a symbol: exact answers in symbols can take long however small the network is."""
    for part in sketch.parts:
        kind = KINDS[part.kind]
        texts = [(part.value, kind.quantity)] + [
            (getattr(part, place), kind.optional[place]) for place in kind.optional
        ]
        if any(text and quantity and _is_symbol(text, quantity) for text, quantity in texts):
            return True
    return False


def _is_symbol(text: str, quantity: Quantity) -> bool:
    try:
        return read_value(text, quantity).symbol is not None
    except ValueFault:
        return False


def _typed_value(document: Any) -> dict[str, Any]:
    """The answer of POST /api/values, as ReadValue in shared/openapi.json has it."""
    require(TYPED_VALUE, document)
    try:
        if "kind" in document:
            return document_of_value(document["text"], document["kind"], document.get("place", "value"))
        return document_of_text(document["text"])
    except NoSuchPlace as refusal:
        raise Refused([fault_of("request-not-understood", web_sentence(str(refusal)))]) from None
    except TextRefused as refusal:
        raise Refused([fault_of(refusal.code, str(refusal))]) from None

"""Works a solved network out in steps, as on a board: which ways there are, and the steps of one of them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import partial
from typing import Final

from solver import step_equations
from solver.network import Network
from solver.reduction import Reduction, reduced, reduced_with_stars
from solver.solution import Solution
from solver.solving import SolvedNetwork, solution_of
from solver.step_between import framed, with_test_battery
from solver.step_changes import Law, Link, Series, Star
from solver.step_names import Names, taken_names
from solver.step_partial import Partial
from solver.step_plan import Obstacle, Plan, plan_of
from solver.step_rules import Rules
from solver.worked import Offer, Step, Way, WorkedSolution

RULES: Final = Way("rules", "Series and parallel")
STAR: Final = Way("star", "Delta and star")
MOST_PARTS: Final = 120
"""Parts beyond which nobody works a network out on a board."""

_RULES_OPENING: Final = (
    "Parts in series or in parallel are replaced by one part that does the same, group after group, the innermost "
    "first, until one is left. From what is known of that one the way leads back to each part."
)
_WHY: Final = {
    Obstacle.NOT_SERIES_PARALLEL: "Series and parallel alone do not reduce this network.",
    Obstacle.SEVERAL_BATTERIES: (
        "Several batteries act on the same parts, so series and parallel alone do not reduce this network."
    ),
    Obstacle.CHARGED_BEFORE: (
        "There was charge on plates before anything was connected, so capacitors in series need not carry the same "
        "charge."
    ),
}


def steps_of(
    solved: SolvedNetwork,
    solution: Solution,
    way: str | None = None,
    *,
    before: Sequence[Offer] = (),
    after: Sequence[Offer] = (),
) -> WorkedSolution:
    """The worked solution of a network by one of its ways; by the first where `way` is none of them.

    `before` and `after` are further ways, offered before and after those of the network as it settles.

    Every value in it is exact (or a float where the solution is), and comes from the steps themselves, not from the
    solution: that the two agree is a check on both.
    """
    solved = solved.at_rest
    offered = [*before, *_offered(solved, solution), *after]
    closing = _closing(solved)
    if not offered:
        return WorkedSolution("", (), _nothing(solved), closing, ())
    taken = next((offer for offer in offered if offer.way.way == way), offered[0])
    return WorkedSolution(
        taken.way.way, tuple(offer.way for offer in offered), taken.opening(), closing, tuple(taken.steps())
    )


def _offered(solved: SolvedNetwork, solution: Solution) -> list[Offer]:
    network = solved.outcome.network
    if len(network.branches) > MOST_PARTS:
        return []
    between = _asked(solved)
    plan = plan_of(network, between, _Reduce(solved, with_stars=False))
    if between is None and not network.batteries and not any(part.initial for part in network.capacitors):
        return []
    offers = []
    if plan.obstacle is None:
        if _has_something(plan):
            offers.append(Offer(RULES, partial(_rules_opening, plan), partial(_by_rules, solved, solution, plan)))
    elif plan.obstacle is Obstacle.NOT_SERIES_PARALLEL:
        starred = plan_of(network, between, _Reduce(solved, with_stars=True))
        if starred.obstacle is None:
            offers.append(Offer(STAR, partial(_star_opening, starred), partial(_by_rules, solved, solution, starred)))
    if between is None:
        equations = [_equations(solved, solution, plan, own) for own in step_equations.ways_of(solved)]
        return [*offers, *equations] if plan.obstacle is None else [*equations, *offers]
    if plan.obstacle is not None:
        offers.extend(_tested(solved, between))
    return offers


def _by_rules(solved: SolvedNetwork, solution: Solution, plan: Plan) -> tuple[Step, ...]:
    return tuple(Rules(solved, solution, plan).steps())


def _tested(solved: SolvedNetwork, between: tuple[int, int]) -> list[Offer]:
    """What lies between two joints by the equations for a battery put there in thought."""
    driven = with_test_battery(solved, between)
    solution = solution_of(driven)
    plan = plan_of(driven.outcome.network, None, _Reduce(driven, with_stars=False))
    inner = [_equations(driven, solution, plan, own) for own in step_equations.ways_of(driven)]
    return [Offer(offer.way, offer.opening, partial(_framed, driven, solution, offer)) for offer in inner]


def _framed(driven: SolvedNetwork, solution: Solution, offer: Offer) -> tuple[Step, ...]:
    return framed(driven, solution, offer.steps())


def _equations(solved: SolvedNetwork, solution: Solution, plan: Plan, way: Way) -> Offer:
    def opening() -> str:
        why = "" if plan.obstacle is None else f"{_WHY[plan.obstacle]} "
        return why + step_equations.opening_of(solved, way.way)

    def steps() -> tuple[Step, ...]:
        if not _reduces_first(solved, plan, way):
            return step_equations.equation_steps(solved, solution, way.way)
        rest = Partial(solved, plan, _Reduce(solved, with_stars=False))
        return tuple(
            rest.steps(lambda left, told, symbols: step_equations.equation_steps(left, told, way.way, symbols))
        )

    return Offer(way, opening, steps)


def _reduces_first(solved: SolvedNetwork, plan: Plan, way: Way) -> bool:
    """Whether groups are put together before equations are written."""
    network = solved.outcome.network
    if way == step_equations.SUPERPOSITION or any(part.initial for part in network.capacitors):
        # With one battery at a time each network is reduced by itself; charge from before would get lost in a group.
        return False
    if plan.obstacle is Obstacle.SEVERAL_BATTERIES:
        return not solved.outcome.ideal.in_loop and all(battery.a != battery.b for battery in network.batteries)
    return plan.obstacle is Obstacle.NOT_SERIES_PARALLEL


class _Reduce:
    """Reduces links, with names that the sheet does not use."""

    def __init__(self, solved: SolvedNetwork, *, with_stars: bool) -> None:
        network = solved.outcome.network
        taken = taken_names(network, solved.writing.symbols, (part.name for part in solved.sketch.parts))
        self._names: Final = {"R": Names("R", "resistor", taken), "C": Names("C", "capacitor", taken)}
        self._with_stars: Final = with_stars
        self._centre = len(network.conductors)

    def __call__(self, links: Sequence[Link], ends: Collection[int], law: Law) -> Reduction:
        names = self._names["R" if law.adds is Series else "C"]
        if not self._with_stars:
            return reduced(links, ends, law, names)
        reduction = reduced_with_stars(links, ends, law, names, self._centre)
        self._centre += sum(isinstance(change, Star) for change in reduction.changes)
        return reduction


def _asked(solved: SolvedNetwork) -> tuple[int, int] | None:
    """The conductors of the first probe, where nothing but what lies between them can be asked."""
    network: Network = solved.outcome.network
    if network.batteries or any(part.initial for part in network.capacitors):
        return None
    for a, b in solved.sketch.probes:
        pair = network.conductor_of[a], network.conductor_of[b]
        if pair[0] != pair[1] and network.piece_at[pair[0]] == network.piece_at[pair[1]]:
            return pair
    return None


def _has_something(plan: Plan) -> bool:
    """Whether anything carries a charge or a current."""
    return bool(plan.flows or plan.capacitors.left or plan.resistors)


def _rules_opening(plan: Plan) -> str:
    reductions = [*(flow.reduction for flow in plan.flows), plan.capacitors]
    if plan.resistors is not None:
        reductions.append(plan.resistors)
    if plan.between is not None:
        if any(reduction.changes for reduction in reductions):
            return (
                "Parts in series or in parallel are replaced by one part that does the same, group after group, the "
                "innermost first, until one is left between the two joints."
            )
        return "Between the two joints nothing has to be put together."
    first = ""
    if plan.flows and plan.capacitors.left:
        first = (
            "First the steady currents, which flow through the resistors alone; then the capacitors, "
            "at the voltages that the currents leave. "
        )
    if any(reduction.changes for reduction in reductions):
        return first + _RULES_OPENING
    return first + "Nothing has to be put together here: the voltage across each part is known at once."


def _star_opening(plan: Plan) -> str:
    changes = [change for flow in plan.flows for change in flow.reduction.changes]
    changes += [*plan.capacitors.changes, *(plan.resistors.changes if plan.resistors else ())]
    if any(isinstance(change, Star) for change in changes):
        change = "a triangle of three parts is changed into a star that does the same"
    else:
        change = "a star of three parts is changed into a triangle that does the same"
    return (
        f"Series and parallel alone do not reduce this network. So {change}, and then the rules lead on; "
        "from the one part that is left the way leads back to each."
    )


def _closing(solved: SolvedNetwork) -> str:
    figures = solved.writing.figures
    shown = f"{figures} significant figure{'' if figures == 1 else 's'}"
    if not solved.outcome.network.arithmetic.exact:
        return f"The values are carried to about 15 figures from step to step and rounded to {shown} where shown."
    return f"The values are carried exactly from step to step and rounded to {shown} only where they are shown."


def _nothing(solved: SolvedNetwork) -> str:
    network = solved.outcome.network
    if len(network.branches) > MOST_PARTS:
        return f"With more than {MOST_PARTS} parts this network is too large to be worked out step by step."
    if not network.branches:
        return "There is nothing to work out yet: draw a battery and parts that it acts on."
    if not network.batteries:
        return (
            "Nothing drives a charge or a current here. With a battery the steps lead to each part; with two joints "
            "picked to read between, to the equivalent of what lies there."
        )
    return "No closed way leads through a battery here, so nothing carries a charge or a current."

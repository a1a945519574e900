"""What passed on the way: the charge that each battery and resistor let through while the network settled.

Let Φ be the time integral of a potential less its final value. Integrating the junction rule over time gives, at every
conductor, ∑ ΔΦ/R + charge through the batteries + change of charge on the plates = 0, and ΔΦ across an ideal battery
is zero: the same equations as for steady currents, with the change of the plates in place of the emfs.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.arithmetic import Scalar
from solver.body import supplied_by_ideal
from solver.ideal import IdealGroups
from solver.network import Network
from solver.settled import Settled
from solver.steady import Steady


@dataclass(frozen=True)
class Passed:
    """Charges in coulombs: through each resistor from its from end to its to end, out of each battery's + terminal.

    Where a steady current remains in the part the charge is without end, and the entry is the part of it that is over
    and above the steady current. For a battery in a loop of ideal ones it is only one of many possible splits.
    """

    resistor: list[Scalar]
    battery: list[Scalar]
    residuals: list[float]


def passed(network: Network, ideal: IdealGroups, state: Steady, settled: Settled) -> Passed:
    """The charges that passed from the moment everything was connected until all was steady."""
    sums = network.arithmetic
    arrived = arrivals(network, settled)
    resistor = [sums.zero] * len(network.resistors)
    battery = [sums.zero] * len(network.batteries)
    residuals = []
    outflow = list(arrived)
    for body in state.bodies.values():
        column = body.column()
        for conductor in body.conductors:
            column[body.node[conductor]] -= arrived[conductor]
        if not any(column):
            continue
        solved = body.solve([column])
        residuals.append(solved.residual)
        phi = solved.columns[0]
        largest = sums.largest(arrived[conductor] for conductor in body.conductors)
        for link in body.links:
            drop = phi[body.node[link.a]] - phi[body.node[link.b]]
            charge = sums.denoised(sums.ratio(link.conductance * drop, solved.denominator), largest)
            outflow[link.a] += charge
            outflow[link.b] -= charge
            if link.is_battery:
                battery[link.index] = -charge
            else:
                resistor[link.index] = charge
    for index, charge in enumerate(supplied_by_ideal(network, ideal, outflow)):
        if network.batteries[index].internal is None:
            largest = sums.largest(arrived[c] for c in network.bodies[network.body_of[network.batteries[index].a]])
            battery[index] = sums.denoised(charge, largest)
    return Passed(resistor, battery, residuals)


def arrivals(network: Network, settled: Settled) -> list[Scalar]:
    """The charge that arrived on the plates at each conductor (coulombs)."""
    sums = network.arithmetic
    arrived = [sums.zero] * len(network.conductors)
    for conductor, charge in settled.charges.items():
        if charge.held or charge.began:
            arrived[conductor] = sums.denoised(charge.held - charge.began, sums.largest((charge.held, charge.began)))
    return arrived

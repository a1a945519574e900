"""Plans a bank: which parts at hand, in which strings, hold a voltage and store what is asked, with their resistors.

A bank is strings in parallel, a string is parts in series. How the modules lean on one another:

    faults, amounts    what can be wrong, and numbers beside those of a sketch: percent, seconds, counts
    wish               what is asked, read and judged: every fault of a form together
    strings            parts in series: capacitance, and the exact worst voltage on each over all tolerances
    resistors          balancing and bleed resistors, and the time they take
    arrangement        a bank with its figures, as a document
    equal, search      banks of equal strings; an exact search for banks of mixed parts, in slices
    drawing            a bank as a sketch
    formulas, words    what is said of a bank, and where its figures come from
    paper              a bank on one page, with its parts list
    plan               the answer to a wish

For teaching and first estimates: real parts age, warm up and fail in ways that are not reckoned here.
"""

from solver.bank.faults import BankFault, BankFaults
from solver.bank.paper import paper
from solver.bank.plan import drawn, plan, search_on
from solver.bank.search import Place
from solver.bank.wish import Wish

__all__ = ["BankFault", "BankFaults", "Place", "Wish", "drawn", "paper", "plan", "search_on"]

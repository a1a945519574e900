"""How much one request may ask for. The limits on a sketch itself stand in shared/sketch.schema.json."""

BODY_BYTES = 8_000_000
"""20,000 parts with long names and values come to about 4 MB."""

BODY_DEPTH = 32
"""A sketch nests 4 deep; a reader that goes down without end runs out of stack."""

SOLVE_SECONDS = 5.0
"""What one network may take of a processor before its process is stopped."""

PATIENCE = 4
"""How many times SOLVE_SECONDS may pass by the clock, on a machine that is busy with other things."""

PAPER_SECONDS = 30.0
"""What one PDF may take of a processor; that of a network of thirty parts, with sixty steps on 18 pages, takes ten."""

START_SECONDS = 60.0
"""What a solver process may take to get ready."""

QUICK_PARTS = 300
"""Networks of numbers up to this many parts take tens of milliseconds; larger ones queue in a lane of their own."""

QUICK_TO_LAY_OUT = 60
"""The same for sketches that are laid out anew, without two-way switches: lines to these have to be looked for."""

WAITING_LONG = 3
"""Networks that may wait for the lane of long work before the next one is told to try again later."""

WAITING_QUICK = 64
"""The same for the lane of quick work: more than the server has threads, so in effect all of them."""

SOLVER_MEMORY_BYTES = 4 << 30
"""Address space of a solver process, where the system can enforce it."""

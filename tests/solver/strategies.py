"""Random networks to hold the solver against: any topology, several batteries, loose ends and separate pieces."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, resistor, switch, wire

JOINTS = [f"j{number}" for number in range(7)]
joint_pairs = st.tuples(st.sampled_from(JOINTS), st.sampled_from(JOINTS)).filter(lambda pair: pair[0] != pair[1])
values = st.fractions(Fraction(1, 20), 50, max_denominator=20).map(lambda f: Fraction(round(f * 20), 20) or Fraction(1))
voltages = st.integers(-12, 12)


def written(number: Fraction | int, unit: str) -> str:
    """The number as a person types it; only twentieths and whole numbers occur, so it ends."""
    return f"{float(number):g} {unit}"


@st.composite
def capacitors(draw, count, *, charged=False):
    """Capacitors between any joints, some of them charged before."""
    parts = []
    for number in range(draw(count)):
        a, b = draw(joint_pairs)
        initial = written(draw(voltages), "V") if charged and draw(st.booleans()) else None
        parts.append(capacitor(f"C{number}", written(draw(values), "µF"), a, b, initial=initial))
    return parts


@st.composite
def resistors(draw, count):
    """Resistors between any joints."""
    return [resistor(f"R{number}", written(draw(values), "Ω"), *draw(joint_pairs)) for number in range(draw(count))]


@st.composite
def batteries(draw, count, joined=()):
    """Batteries between any joints; one that would close a loop of ideal ones or of wire gets an internal resistance.

    `joined` are wires and closed switches that are there already.
    """
    group = {joint: joint for joint in JOINTS}

    def find(joint):
        while group[joint] != joint:
            joint = group[joint]
        return joint

    for part in joined:
        group[find(part.start)] = find(part.end)
    parts = []
    for number in range(draw(count)):
        a, b = draw(joint_pairs)
        emf = written(draw(voltages), "V")
        if find(a) == find(b) or draw(st.booleans()):
            parts.append(battery(f"E{number}", emf, a, b, internal=written(draw(values), "Ω")))
        else:
            group[find(a)] = find(b)
            parts.append(battery(f"E{number}", emf, a, b))
    return parts


@st.composite
def joiners(draw):
    """Some wires and switches."""
    parts = [wire(f"W{number}", *draw(joint_pairs)) for number in range(draw(st.integers(0, 2)))]
    parts += [
        switch(f"S{number}", *draw(joint_pairs), closed=draw(st.booleans()))
        for number in range(draw(st.integers(0, 2)))
    ]
    return parts


def joins(part):
    """Whether a part makes its two ends one conductor."""
    return part.kind == "wire" or bool(part.closed)


@st.composite
def networks(draw, *, most=6):
    """A sketch with parts of every kind, in any order."""
    joining = draw(joiners())
    parts = [
        *joining,
        *draw(capacitors(st.integers(0, most), charged=True)),
        *draw(resistors(st.integers(0, most))),
        *draw(batteries(st.integers(0, 3), [part for part in joining if joins(part)])),
    ]
    return Sketch.of(*draw(st.permutations(parts)))


@st.composite
def quiet_networks(draw):
    """Charged capacitors, resistors and batteries that no other conducting path bypasses: no current remains."""
    group = {joint: joint for joint in JOINTS}

    def find(joint):
        while group[joint] != joint:
            joint = group[joint]
        return joint

    through = draw(resistors(st.integers(1, 5)))
    for part in through:
        group[find(part.start)] = find(part.end)
    parts = []
    for number in range(draw(st.integers(1, 3))):
        a, b = draw(joint_pairs)
        if find(a) != find(b):
            group[find(a)] = find(b)
            internal = draw(st.none() | values.map(lambda value: written(value, "Ω")))
            parts.append(battery(f"E{number}", written(draw(voltages), "V"), a, b, internal=internal))
    charged = draw(capacitors(st.integers(1, 6), charged=True))
    return Sketch.of(*parts, *charged, *through)


@st.composite
def connected(draw, kind, unit, *, most=10):
    """A connected network of one kind of part, as edges (joint, joint, value) and a pair of its joints."""
    size = draw(st.integers(2, 7))
    edges = [(draw(st.integers(0, node - 1)), node, draw(values)) for node in range(1, size)]
    for _ in range(draw(st.integers(0, most))):
        a, b = draw(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)))
        if a != b:
            edges.append((a, b, draw(values)))
    parts = [kind(f"P{k}", written(value, unit), f"n{a}", f"n{b}") for k, (a, b, value) in enumerate(edges)]
    a, b = draw(st.permutations(range(size)).map(lambda order: order[:2]))
    return size, edges, parts, (a, b)

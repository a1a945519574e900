"""Random networks of series and parallel: as descriptions, and as sheets with parts in any order, lying either way."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from solver import Sketch, battery, capacitor, wire
from solver.say_it import Description, Item, Parallel, Series

FARADS = ("30 µF", "10 µF", "4.7 µF", "0.5 µF", "100 µF")
VALUES = {
    "capacitor": FARADS,
    "resistor": ("1 kΩ", "4.7 kΩ", "0.5 Ω", "R", "3R/2"),
    "battery": ("9 V", "1.5 V", "V_0"),
}


@st.composite
def parts_described(draw, kind):
    if kind == "switch":
        return Item("switch", closed=draw(st.booleans()))
    turned = draw(st.booleans())
    if kind == "capacitor":
        initial, rated = draw(st.sampled_from([None, "3 V"])), draw(st.sampled_from([None, "16 V", "2.5 V"]))
        return Item(kind, draw(st.sampled_from((*FARADS, "C", "2C"))), initial=initial, rated=rated, turned=turned)
    internal = draw(st.sampled_from([None, "0.5 Ω"])) if kind == "battery" else None
    return Item(kind, draw(st.sampled_from(VALUES[kind])), internal=internal, turned=turned)


def trees(leaves):
    """Branches of these leaves, series and parallel within one another."""

    def joined(inner):
        members = st.lists(inner, min_size=2, max_size=4)
        series = members.map(lambda each: Series(flat(each, Series)))
        return series | members.map(lambda each: Parallel(flat(each, Parallel)))

    return st.recursive(leaves, joined, max_leaves=10)


def flat(members, kind):
    return tuple(inner for each in members for inner in (each.members if isinstance(each, kind) else (each,)))


networks_described = trees(st.sampled_from(["capacitor", "resistor", "switch"]).flatmap(parts_described))
descriptions = st.builds(
    Description,
    st.lists(parts_described("battery"), max_size=3).map(tuple),
    networks_described,
)


def capacitance(branch) -> Fraction:
    """In microfarads, by the two rules of every textbook."""
    if isinstance(branch, Item):
        return Fraction(branch.value.removesuffix(" µF"))
    inner = [capacitance(member) for member in branch.members]
    return sum(inner, Fraction(0)) if isinstance(branch, Parallel) else 1 / sum(1 / each for each in inner)


@st.composite
def sheets(draw):
    """A battery across a network of capacitors, drawn in any order, with wires in between, and its capacitance."""
    tree = draw(trees(st.sampled_from(FARADS).map(lambda value: Item("capacitor", value))))
    parts = [battery("E1", "9 V", "top", "low")]
    count = iter(range(1000))

    def led(joint):
        """A joint that a wire joins to this one, or this one."""
        if not draw(st.booleans()):
            return joint
        number = next(count)
        parts.append(wire(f"W{number}", joint, f"w{number}"))
        return f"w{number}"

    def lay(branch, start, end):
        if isinstance(branch, Item):
            ends = (led(start), led(end))
            parts.append(capacitor(f"C{next(count)}", branch.value, *(ends if draw(st.booleans()) else ends[::-1])))
        elif isinstance(branch, Parallel):
            for member in branch.members:
                lay(member, start, end)
        else:
            joints = [start, *(f"j{next(count)}" for _ in branch.members[1:]), end]
            for member, here, there in zip(branch.members, joints, joints[1:], strict=False):
                lay(member, here, there)

    lay(tree, "top", "low")
    return Sketch.of(*draw(st.permutations(parts))), capacitance(tree)

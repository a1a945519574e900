"""From an edited line to the sheet: what stayed in the line stays on the sheet, as far as its place goes too."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any, Final

from solver.network import groups
from solver.say_it.bare import bare, without
from solver.say_it.describing import describe
from solver.say_it.description import Description, Item, all_items, named, with_items
from solver.say_it.line import known_parts
from solver.say_it.matching import Pair, most_stay, pairs, shape
from solver.say_it.mentions import follow
from solver.say_it.misfits import Misfit
from solver.say_it.parsing import parse
from solver.say_it.plainness import stays_plain
from solver.say_it.putting_in import put_in
from solver.say_it.taking_away import take_away
from solver.sketch import Part, Sketch
from solver.tidy import draw

_NEW: Final = "new "
_TEXTS: Final = ("value", "initial", "rated", "reverse", "internal", "tolerance", "closed")


def change(line: str, sketch: Sketch) -> Sketch:
    """The sheet as the line describes it. Raises LineFaults.

    Where the line differs from the sheet in values, kinds and names only, nothing moves. Nor does it where parts are
    taken away, or come into a chain that has a wire for them, as long as the drawing stays plain; else the network is
    laid out anew. Title and figures stay; the joint at zero, readings kept and covers stay with the parts that stayed.
    What the line arranges otherwise, or hardly has in common with the sheet, is another network.
    """
    wanted = parse(line, known_parts(sketch))
    here = _description(sketch)
    if here is None:
        return _another(named(wanted), sketch)
    matched = pairs(wanted, here)
    if shape(wanted) == shape(here):
        return _in_place(matched, sketch, sketch)
    edit = _Edit(here, wanted, matched)
    if not edit.is_one_thing or not most_stay(matched, here):
        return _another(named(wanted), sketch)
    full = with_items(wanted, iter([pair.wanted for pair in matched]))
    anew = _anew(full, matched, sketch)
    edited = edit.drawn(sketch)
    is_better = edited and _moves_others(sketch, anew, matched) and stays_plain(sketch, draw(here), edited, anew)
    changed = _in_place(matched, sketch, edited) if edited and is_better else anew
    return changed if len(wanted.source) == len(here.source) else _with_zero(full, changed)


class _Edit:
    """What is to be taken away and put in, so that the parts that stay are where they are, and as they are."""

    def __init__(self, here: Description, wanted: Description, matched: Sequence[Pair]) -> None:
        self.old = tuple(all_items(here))
        self.stays = {pair.here.name for pair in matched if pair.here and pair.here.name}
        # No part on the sheet has a name of the kind that the new ones have for the time being.
        names = [
            pair.here.name if pair.here else None if pair.wanted.kind == "wire" else f"{_NEW}{place}"
            for place, pair in enumerate(matched)
        ]
        self.new = {str(name): pair.wanted for name, pair in zip(names, matched, strict=True) if name and not pair.here}
        self.there = bare(here, [item.name for item in self.old])
        self.asked = bare(wanted, names)
        self.turned = {str(item.name): item.turned for item in self.old if item.name in self.stays}

    @property
    def is_one_thing(self) -> bool:
        """Whether parts are only taken away or only put in, those that stay being joined to one another as they were.

        Who does both, or joins what is there otherwise, has typed another network.
        """
        goes = {str(item.name) for item in self.old if item.name and item.kind != "battery"} - self.stays
        if goes and any(item.kind != "battery" for item in self.new.values()):
            return False
        trees = zip(self.there, self.asked, strict=True)
        return all(without(tree, self.stays) == without(other, self.stays) for tree, other in trees)

    def drawn(self, sketch: Sketch) -> Sketch | None:
        """The sheet with the parts of the edited line; None where not all of them find a place.

        The parts that stay are as they were, and under their old names.
        """
        if None in self.asked:
            return None
        edited = put_in(take_away(sketch, self.there, self.stays), self.asked, self.new, self.turned)
        if edited is None:
            return None
        new = self.new
        parts = (part._replace(name=str(new[part.name].name)) if part.name in new else part for part in edited.parts)
        return replace(edited, parts=tuple(parts))


def _description(sketch: Sketch) -> Description | None:
    try:
        return describe(sketch)
    except Misfit:
        return None


def _in_place(matched: Sequence[Pair], before: Sketch, after: Sketch) -> Sketch:
    """The sheet `after`, its parts as the line has them, and what `before` says of joints and parts following them."""
    pair_of = {pair.here.name: pair for pair in matched if pair.here}
    parts = (_renewed(part, pair_of[part.name]) if part.name in pair_of else part for part in after.parts)
    conductor = _conductors(before)
    stays: dict[int, str] = {}
    for joint in after.joints:
        stays.setdefault(conductor[joint], joint)
    return follow(
        replace(after, parts=_distinct(parts)),
        lambda joint: joint if joint in after.joints else stays.get(conductor[joint]),
        _names(matched),
    )


def _anew(description: Description, matched: Sequence[Pair], sketch: Sketch) -> Sketch:
    """The network laid out anew, every part of the description named."""
    pair_of = {pair.wanted.name: pair for pair in matched if pair.here}
    old_parts = {part.name: part for part in sketch.parts}
    order = {str(item.name): place for place, item in enumerate(_turned(description, pair_of))}
    drawn = draw(with_items(description, iter(_turned(description, pair_of))))
    conductor = _conductors(sketch)
    moved: dict[int, str] = {}
    parts = []
    for part in sorted(drawn.parts, key=lambda each: order.get(each.name, len(order))):
        pair = pair_of.get(part.name)
        if pair is None or pair.here is None:
            parts.append(part)
            continue
        old = old_parts[str(pair.here.name)]
        item = _lying(pair)
        for joint, now in zip(_ends(old, turned=pair.here.turned), _ends(part, turned=item.turned), strict=True):
            moved.setdefault(conductor[joint], now)
        if pair.same_kind:
            part = _renewed(old, pair)._replace(start=part.start, end=part.end, bend=part.bend)
        parts.append(part)
    whole = replace(sketch, joints=_placed(drawn, sketch), parts=_distinct(parts))
    return follow(whole, lambda joint: moved.get(conductor[joint]), _names(matched))


def _another(description: Description, sketch: Sketch) -> Sketch:
    """A network in the place of that on the sheet, every part named. What is said of a part goes on with its name."""
    drawn = draw(description)
    old_parts = {(part.kind, part.name): part for part in sketch.parts if part.kind != "wire"}
    conductor = _conductors(sketch)
    moved: dict[int, str] = {}
    names: dict[str, str] = {}
    for part in drawn.parts:
        if old := old_parts.get((part.kind, part.name)):
            names[part.name] = part.name
            for joint, now in zip(old.ends, part.ends, strict=True):
                moved.setdefault(conductor[joint], now)
    whole = replace(sketch, joints=_placed(drawn, sketch), parts=_distinct(drawn.parts))
    followed = follow(whole, lambda joint: moved.get(conductor[joint]), names.get)
    # Zero is a choice for one network; in another it is where it is when nothing is said.
    return _with_zero(description, replace(followed, zero=None))


def _with_zero(description: Description, sketch: Sketch) -> Sketch:
    """The sketch with the lower end of a chain of batteries at zero, where nothing else is said to be.

    Left out, it would be the − terminal of the first battery, in the middle of the chain.
    """
    if sketch.zero is not None or len(description.source) < 2:
        return sketch
    last = description.source[-1]
    part = next(part for part in sketch.parts if part.name == last.name)
    return replace(sketch, zero=_ends(part, turned=last.turned)[1])


def _moves_others(before: Sketch, after: Sketch, matched: Sequence[Pair]) -> bool:
    """Whether parts that stay come to lie elsewhere; batteries, which reach from top to bottom, do not count."""

    def spots(sketch: Sketch) -> dict[str, frozenset[tuple[int, int]]]:
        return {part.name: frozenset(sketch.joints[joint] for joint in part.ends) for part in sketch.parts}

    here, there = spots(before), spots(after)
    return any(
        here[str(pair.here.name)] != there[str(pair.wanted.name)]
        for pair in matched
        if pair.here and pair.here.kind != "battery"
    )


def _turned(description: Description, pair_of: dict[str | None, Pair]) -> list[Item]:
    """The parts of a description in order, those that stayed lying as they did."""
    return [_lying(pair_of[item.name]) if item.name in pair_of else item for item in all_items(description)]


def _lying(pair: Pair) -> Item:
    """The part as it will lie: as the line says where that matters, else as it lay."""
    item, old = pair.wanted, pair.here
    matters = item.turned or item.kind == "battery" or item.initial is not None or item.reverse is not None
    return item if matters or old is None or not pair.same_kind else replace(item, turned=old.turned)


def _renewed(part: Part, pair: Pair) -> Part:
    """A part of the sheet with the name and the texts that the line has; texts that say the same stay as typed."""
    item, old = _lying(pair), pair.here
    assert old is not None
    start, end = _ends(part, turned=old.turned)
    fresh = item.part(start, end)
    if not pair.same_kind:
        return fresh._replace(bend=part.bend)
    changed: dict[str, Any] = {
        text: getattr(item, text) for text in _TEXTS if getattr(item, text) != getattr(old, text)
    }
    return part._replace(name=fresh.name, start=fresh.start, end=fresh.end, **changed)


def _ends(part: Part, *, turned: bool) -> tuple[str, str]:
    """The part's ends in the order of the line."""
    return (part.end, part.start) if turned else (part.start, part.end)


def _distinct(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The parts, wires giving way where a part has taken the name of one."""
    listed = list(parts)
    taken = {part.name for part in listed if part.kind != "wire"}
    number = 0
    for place, part in enumerate(listed):
        if part.kind != "wire":
            continue
        name = part.name
        while name in taken:
            number += 1
            name = f"W{number}"
        taken.add(name)
        listed[place] = part._replace(name=name)
    return tuple(listed)


def _conductors(sketch: Sketch) -> dict[str, int]:
    """The conductor of each joint, a closed switch joining none."""
    place = {joint: index for index, joint in enumerate(sketch.joints)}
    wires = ((place[part.start], place[part.end]) for part in sketch.parts if part.kind == "wire")
    number, _ = groups(len(place), wires)
    return {joint: number[index] for joint, index in place.items()}


def _names(matched: Sequence[Pair]) -> Any:
    names = {pair.here.name: pair.wanted.name for pair in matched if pair.here and pair.same_kind}
    return names.get


def _placed(drawn: Sketch, sketch: Sketch) -> MappingProxyType[str, tuple[int, int]]:
    """The joints of a new drawing, its upper left corner where that of the old one was."""
    if not sketch.joints or not drawn.joints:
        return MappingProxyType(dict(drawn.joints))
    across, down = (
        min(spot[axis] for spot in sketch.joints.values()) - min(spot[axis] for spot in drawn.joints.values())
        for axis in (0, 1)
    )
    return MappingProxyType({joint: (x + across, y + down) for joint, (x, y) in drawn.joints.items()})

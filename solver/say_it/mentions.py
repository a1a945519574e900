"""What a sketch says of its joints and parts beside drawing them: zero, readings kept or asked for, covers, stages.

When the drawing changes, these follow the parts and conductors they speak of, and go where those are gone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from solver.sketch import Sketch

Follow = Callable[[str], str | None]
"""From the name of a joint or part before a change to its name after it; None where it is gone."""


def follow(sketch: Sketch, joint: Follow, part: Follow) -> Sketch:
    """The sketch, its joints and parts being those after a change, with what it says of joints and parts following."""
    zero = joint(sketch.zero) if sketch.zero is not None else None
    probes = ((joint(a), joint(b)) for a, b in sketch.probes)
    covered = (_cover(key, joint, part) for key in sketch.covered)
    stages = (
        replace(
            stage,
            closed=tuple(name for each in stage.closed if (name := part(each))),
            settings=tuple((name, value) for each, value in stage.settings if (name := part(each))),
        )
        for stage in sketch.stages
    )
    return replace(
        sketch,
        stages=tuple(stages),
        required=tuple(
            replace(each, reading=key) for each in sketch.required if (key := _cover(each.reading, joint, part))
        ),
        questions=tuple(
            replace(each, reading=key) for each in sketch.questions if (key := _cover(each.reading, joint, part))
        ),
        zero=zero,
        probes=tuple(dict.fromkeys((a, b) for a, b in probes if a is not None and b is not None and a != b)),
        covered=tuple(dict.fromkeys(key for key in covered if key is not None)),
    )


def _cover(key: str, joint: Follow, part: Follow) -> str | None:
    """An entry of `covered`: "*", "total.energy", "C1.voltage", "joint a.potential", any of them after "but "."""
    if key.startswith("but "):
        inner = _cover(key.removeprefix("but "), joint, part)
        return inner and f"but {inner}"
    owner, dot, reading = key.rpartition(".")
    if not dot or owner == "total":
        return key
    what, *joints = owner.split(" ")
    if not joints:
        name = part(what)
        return name and f"{name}.{reading}"
    followed = [joint(each) for each in joints]
    if any(each is None for each in followed):
        return None
    return f"{' '.join([what, *map(str, followed)])}.{reading}"

"""Which values of a sketch are asked for with “?”, whole or as one size of a build, and others in their place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from solver.faults import SketchFaults, UnknownsDiffer
from solver.geometry import asks_size
from solver.open_build import OpenBuild, open_build
from solver.sketch import Part, Sketch
from solver.values import UNKNOWN


def unknown_names(sketch: Sketch) -> list[str]:
    """The parts whose value, or of whose build a size, is to be found, on the sheet or in a stage."""
    return [part.name for part in sketch.parts if asked_texts(sketch, part)]


def asked_texts(sketch: Sketch, part: Part) -> list[str]:
    """What is typed with a “?” as a part's value, on the sheet and in the stages, each text once."""
    typed = [part.value, *(value for stage in sketch.stages for name, value in stage.settings if name == part.name)]
    return list(dict.fromkeys(text for text in typed if text is not None and is_unknown(text)))


def asked_words(sketch: Sketch, name: str) -> str:
    """What is asked for of a part: "C1", "the gap of C1", "the thickness of the mica in C1"."""
    part = next(part for part in sketch.parts if part.name == name)
    sizes = [open_build(text).word for text in asked_texts(sketch, part) if asks_size(text)]
    if not sizes:
        return name
    return f"the {sizes[0]} {'in' if ' of ' in sizes[0] else 'of'} {name}"


def is_unknown(value: str) -> bool:
    """Whether a value is “?”, or a build with a “?” in it."""
    return value.strip() == UNKNOWN or asks_size(value)


def with_values(sketch: Sketch, filled: Callable[[str, str], str]) -> Sketch:
    """The sketch with values in place of each “?”, on the parts and in the stages: `filled` has the text for a part's
    name and what is typed there."""

    def put(name: str, value: str) -> str:
        return filled(name, value) if is_unknown(value) else value

    parts = tuple(
        part if part.value is None else part._replace(value=put(part.name, part.value)) for part in sketch.parts
    )
    stages = tuple(
        replace(stage, settings=tuple((name, put(name, value)) for name, value in stage.settings))
        for stage in sketch.stages
    )
    return replace(sketch, parts=parts, stages=stages, required=())


def openings(sketch: Sketch) -> dict[str, OpenBuild]:
    """The builds of which a size is asked for, by their parts: the first of those that stages make one after the other.

    All have to be asked for the same size. Raises SketchFaults.
    """
    found = {}
    for part in sketch.parts:
        texts = asked_texts(sketch, part)
        builds = [open_build(text) for text in texts if asks_size(text)]
        if not builds:
            continue
        first, *others = builds
        if len(builds) < len(texts) or not all(first.goes_with(other) for other in others):
            raise SketchFaults([UnknownsDiffer(parts=[part.name])])
        found[part.name] = first
    return found

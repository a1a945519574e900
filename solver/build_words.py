"""A build in the words that a value is typed in."""

from __future__ import annotations

from solver.geometry import Build, Layer, Shape


def build_words(build: Build) -> str:
    """The build as a value; reading it gives an equal build.

    >>> from solver.geometry import read_build
    >>> build_words(read_build("Plates 20 cm2 mica 0,2 mm + κ=2.50 at 12 MV/m 1e-4 m"))
    'plates 20 cm² mica 0.2 mm + κ 2.50 at 12 MV/m 1e-4 m'
    """
    sizes = " ".join((build.shape.value, *build.written))
    first = build.layers[0]
    if build.shape is not Shape.PLATES:
        return f"{sizes} {first.dielectric.words}"
    if not build.stacked:
        return ", ".join((f"{sizes} {first.written}", *map(_strip, build.layers)))
    if len(build.layers) == 1:
        return f"{sizes} {first.written} {first.dielectric.words}"
    return f"{sizes} {' + '.join(f'{layer.dielectric.words} {layer.written}' for layer in build.layers)}"


def _strip(layer: Layer) -> str:
    return f"{layer.dielectric.words} {layer.share}"

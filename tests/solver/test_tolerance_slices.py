"""The work on the spreads in slices: however short they are, together they are what is found at once."""

from __future__ import annotations

import pytest

from solver.tolerance import Slice, spread_on, spreads_of
from solver.tolerance_place import Place
from tests.solver.test_tolerance import mesh


@pytest.mark.parametrize(("count", "joints", "proved"), [(6, 4, True), (24, 12, False)])
def test_the_shortest_slices_go_on_from_one_another_to_the_same_end(count: int, joints: int, proved: bool):
    sketch = mesh(count, joints, seed=1)
    slices: list[Slice] = []
    place: Place | None = Place()
    while place is not None:
        slices.append(spread_on(sketch, place, seconds=0))
        # Between two slices a place is a document, sent to the page and back.
        place = slices[-1].place and Place.read(slices[-1].place.document())
    whole = spreads_of(sketch)
    told = [(key, spread) for piece in slices for key, spread in piece.spreads.spreads.items()]
    assert told == list(whole.spreads.items())
    assert tuple(key for piece in slices for key in piece.spreads.left_out) == whole.left_out
    assert {piece.spreads.proved for piece in slices} == {whole.proved} == {proved}
    # Every reading is told in a slice of its own, for no slice has time for two.
    assert len(slices) > len(whole.spreads)


def test_the_share_that_is_behind_only_grows_until_it_is_all():
    sketch = mesh(24, 12, seed=1)
    shares, place = [0.0], Place()
    while place is not None:
        piece = spread_on(sketch, place, seconds=0)
        shares.append(piece.share)
        place = piece.place
    assert shares == sorted(shares)
    assert shares[-2] < shares[-1] == 1

"""The search for banks of mixed parts: what it finds is exactly what looking at every bank finds, in any slices."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.bank import BankFaults, Place, Wish, plan, search_on
from solver.bank.arrangement import Arrangement
from solver.bank.box import bounds
from solver.bank.equal import equal_banks
from solver.bank.search import look, start
from tests.solver.banks import Plainly, boxes, row, wish


def searched(asked: Wish, steps: int) -> tuple[list[Arrangement], int]:
    """All banks of mixed parts that a search finds in slices of so many steps, and how many slices it took."""
    banks, _ = equal_banks(asked)
    equal = banks[0].parts if banks else None
    place, found, slices, shares = start(asked, equal), [], 0, [0.0]
    while place is not None:
        piece = look(asked, place, equal, steps)
        found += piece.banks
        assert piece.count == len(piece.banks)
        shares.append(piece.share)
        place, slices = piece.place and Place.read(piece.place.document()), slices + 1
    assert shares == sorted(shares)
    assert shares[-1] <= 1
    return found, slices


def strings(bank: Arrangement) -> tuple[tuple[int, ...], ...]:
    return tuple(sorted(string.places for string, times in bank.strings for _ in range(times)))


@given(boxes(), st.sampled_from([40, 10_000]))
def test_a_search_finds_every_mixed_bank_of_the_fewest_parts(document: dict, steps: int):
    asked = Wish.read(document)
    found, _ = searched(asked, steps)
    banks, _ = equal_banks(asked)
    fewest, every = Plainly(document).fewest()
    mixed = {bank for bank in every if len({kind for string in bank for kind in string}) > 1}
    assert len(found) == len({strings(bank) for bank in found})
    if banks and banks[0].parts == fewest and not mixed:
        assert found == []
    else:
        assert {strings(bank) for bank in found} == mixed
    assert all(bank.suffices for bank in found)


@given(boxes())
def test_equal_strings_are_found_whenever_there_are_any(document: dict):
    plainly = Plainly(document)
    total = sum(kind[4] for kind in plainly.kinds)
    alike = {
        bank
        for parts in range(1, total + 1)
        for bank in plainly.banks(parts)
        if len({kind for string in bank for kind in string}) == 1 and len(set(bank)) == 1
    }
    banks, count = equal_banks(Wish.read(document))
    found = {strings(bank) for bank in banks}
    assert found <= alike
    assert len(found) == count
    # What is not listed has more strings than needed.
    assert {(bank[0]) for bank in alike} == {(bank[0]) for bank in found}


@given(boxes())
def test_no_bank_counts_for_more_than_its_bound(document: dict):
    asked = Wish.read(document)
    plainly = Plainly({**document, "capacitance": "0 µF"})
    for parts in range(1, 4):
        most = max((sum(plainly.capacitance(string) for string in bank) for bank in plainly.banks(parts)), default=0)
        limit = bounds(asked)[min(parts, len(bounds(asked)) - 1)] * 10**6
        assert most * int(limit.q) <= int(limit.p)


def lantern() -> Wish:
    rows = row("1000 µF", "35 V", 6, tolerance="20 %"), row("220 µF", "63 V", 10, tolerance="20 %")
    others = {"voltage": "45 V", "derating": "80 %", "goal": "energy", "energy": "1 J", "lowest": "15 V"}
    return Wish.read(wish(*rows, **others))


def test_mixed_parts_can_do_with_fewer_than_equal_strings():
    told = plan(lantern())
    assert told["banks"][0]["parts"] == 6
    piece = search_on(lantern(), Place.read(told["search"]["from"]))
    # 1.11 mF: 500 µF from two in series, and three of 220 µF, or twice 500 µF and one.
    assert [bank["words"] for bank in piece["banks"]] == [
        "a string of 2 × 1000 µF 35 V in parallel with 3 × 220 µF 63 V",
        "2 strings of 2 × 1000 µF 35 V in parallel with 220 µF 63 V",
    ]
    assert piece["from"] is None


def test_what_no_bank_can_do_is_told_with_the_most_that_there_is():
    asked = Wish.read(wish(row("100 µF", "20 V", 4), row("100 µF", "10 V", 4), capacitance="1 mF"))
    told = plan(asked)
    assert told["banks"] == []
    assert told["search"] is None
    # Four at half the voltage count for a quarter each, four at a quarter for a sixteenth: 125 µF.
    assert told["note"] == (
        "No bank of these parts does this: even all 8 of them together, each at its limit, count for 125 µF at 40 V, "
        "and 1.00 mF is asked."
    )


def test_a_search_in_vain_says_so_when_every_choice_was_looked_at():
    asked = Wish.read(wish(row("100 µF", "25 V", 1), row("10 µF", "25 V", 1), capacitance="9 µF"))
    told = plan(asked)
    assert told["note"] == "No bank of equal strings does this with the parts at hand."
    piece = search_on(asked, Place.read(told["search"]["from"]))
    # In series the 10 µF would have 40·100/110 = 36 V.
    assert (piece["banks"], piece["from"]) == ([], None)
    assert piece["end"] == "No bank of strings made of these parts does this: every choice was looked at."


def test_a_box_with_too_many_strings_is_told_so():
    rows = [row(f"{10 + n} µF", "10 V", 10) for n in range(20)]
    asked = Wish.read(wish(*rows, voltage="75 V", capacitance="20 µF"))
    told = plan(asked)
    piece = search_on(asked, Place.read(told["search"]["from"]))
    while piece["from"]:
        piece = search_on(asked, Place.read(piece["from"]))
    assert piece["end"].startswith("There are too many different strings in this box")


@pytest.mark.parametrize(
    "place", [Place(0), Place(99), Place(3, ()), Place(4, (5, 1)), Place(4, (10**6,)), Place(3, (0, 0, 0, 0, 0))]
)
def test_a_place_where_no_search_can_be_is_refused(place: Place):
    with pytest.raises(BankFaults) as refusal:
        look(lantern(), place, 6)
    assert [fault.code for fault in refusal.value.faults] == ["bank-search-lost"]


def test_a_bank_in_words_counts_what_it_is_made_of():
    banks, _ = equal_banks(lantern())
    assert Counter(bank.words for bank in banks)["3 strings of 2 × 1000 µF 35 V"] == 1


def test_a_slice_ends_also_where_the_strings_alone_take_all_its_looks():
    """With strings of hundreds of parts the banks of one number of parts take all of a slice, or nearly."""
    parts = row("1 F", "25 V", 999, tolerance="10 %"), row("4.7 mF", "450 V", 1, tolerance="10 %")
    asked = Wish.read(wish(*parts, voltage="2476 V", capacitance="10 mF", derating="50 %", counted="least"))
    begin = start(asked, 726)
    found = look(asked, begin, 726)
    assert found.place is not None
    assert found.looking_at < begin.parts + 20 < 726

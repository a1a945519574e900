"""Wishes for banks to hold the planner against, and a search through every bank there can be, by other means."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations_with_replacement, product
from typing import Any

from hypothesis import strategies as st

EMPTY = {"value": "", "rated": "", "tolerance": "", "leakage": "", "count": "", "price": ""}


def row(value: str, rated: str, count: int | str, **others: str) -> dict[str, str]:
    """A row of the form."""
    return {**EMPTY, "value": value, "rated": rated, "count": str(count), **others}


def wish(*rows: dict[str, str], **others: str) -> dict[str, Any]:
    """A wish for a capacitance, with all of the rated voltage to be used, where nothing else is said."""
    plain = {"voltage": "40 V", "goal": "capacitance", "capacitance": "100 µF", "energy": "", "lowest": ""}
    rest = {"counted": "marked", "derating": "100 %", "resistors": "0", "downTo": "", "within": ""}
    return {**plain, **rest, **others, "kinds": list(rows)}


@st.composite
def boxes(draw: st.DrawFn) -> dict[str, Any]:
    """A wish for which every bank can be looked at: up to three kinds, six parts."""
    rows = []
    left = 6
    for _ in range(draw(st.integers(2, 3))):
        count = draw(st.integers(1, max(1, min(3, left))))
        left -= count
        rows.append(
            row(
                f"{draw(st.sampled_from([20, 30, 60, 100]))} µF",
                f"{draw(st.sampled_from([16, 25, 40]))} V",
                count,
                tolerance=draw(st.sampled_from(["", "10 %", "-10 +30 %"])),
            )
        )
    wanted = draw(st.sampled_from([15, 25, 40, 70, 110, 160]))
    return wish(*rows, capacitance=f"{wanted} µF", counted=draw(st.sampled_from(["marked", "least"])))


class Plainly:
    """A wish worked out by looking at everything: every split of every choice of parts, every corner of tolerances."""

    def __init__(self, document: dict[str, Any]) -> None:
        self.voltage = Fraction(document["voltage"].split()[0])
        self.wanted = Fraction(document["capacitance"].split()[0])
        self.least = document["counted"] == "least"
        self.kinds = [self._kind(entry) for entry in document["kinds"]]

    @staticmethod
    def _kind(entry: dict[str, str]) -> tuple[Fraction, Fraction, Fraction, Fraction, int]:
        down, up = {"": (0, 0), "10 %": (10, 10), "-10 +30 %": (10, 30)}[entry["tolerance"]]
        value = Fraction(entry["value"].split()[0])
        ends = value * (1 - Fraction(down, 100)), value * (1 + Fraction(up, 100))
        return value, *ends, Fraction(entry["rated"].split()[0]), int(entry["count"])

    def worst(self, string: tuple[int, ...]) -> list[Fraction]:
        """The highest voltage on each part, over every corner of the tolerances."""
        highest = [Fraction(0)] * len(string)
        for corner in product(*((self.kinds[kind][1], self.kinds[kind][2]) for kind in string)):
            total = sum(1 / value for value in corner)
            highest = [max(old, self.voltage / value / total) for old, value in zip(highest, corner, strict=True)]
        return highest

    def holds(self, string: tuple[int, ...]) -> bool:
        return all(volts <= self.kinds[kind][3] for volts, kind in zip(self.worst(string), string, strict=True))

    def capacitance(self, string: tuple[int, ...]) -> Fraction:
        return 1 / sum(1 / self.kinds[kind][1 if self.least else 0] for kind in string)

    def banks(self, parts: int) -> Iterator[tuple[tuple[int, ...], ...]]:
        """Every bank of so many parts that does it, its strings in order."""
        for chosen in combinations_with_replacement(range(len(self.kinds)), parts):
            if any(chosen.count(kind) > self.kinds[kind][4] for kind in set(chosen)):
                continue
            for bank in {tuple(sorted(bank)) for bank in _splits(list(chosen))}:
                enough = sum(self.capacitance(string) for string in bank) >= self.wanted
                if enough and all(self.holds(string) for string in bank):
                    yield bank

    def fewest(self) -> tuple[int, set[tuple[tuple[int, ...], ...]]]:
        """The fewest parts, and every bank of so many; zero and none where no bank does it."""
        for parts in range(1, sum(kind[4] for kind in self.kinds) + 1):
            if found := set(self.banks(parts)):
                return parts, found
        return 0, set()


def _splits(parts: list[int]) -> Iterator[list[tuple[int, ...]]]:
    if not parts:
        yield []
        return
    first, rest = parts[0], parts[1:]
    for split in _splits(rest):
        yield [(first,), *split]
        for index, string in enumerate(split):
            yield [*split[:index], tuple(sorted((first, *string))), *split[index + 1 :]]

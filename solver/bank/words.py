"""What is said of a bank in sentences, on its card and on paper: capacitance, voltages, resistors, the caution."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import flint

from solver.bank.amounts import percent, seconds_text
from solver.bank.arrangement import Arrangement
from solver.bank.resistors import Balancing, logarithm_of, slowest
from solver.bank.strings import String
from solver.bank.wish import Wish
from solver.cautions import Caution, for_figures
from solver.quantities import Quantity
from solver.readings import Reading

_PRACTICE = (
    "Common practice: a resistor across each part rather than one for all, so that no part stays charged when another "
    "breaks; each rated for twice its heat; and checked with a meter, never trusted alone."
)


def told(bank: Arrangement) -> dict[str, Any]:
    """The sentences as the web interface sends them: BankWords in shared/openapi.json."""
    resistors = [*balancing_sentences(bank), *bleed_sentences(bank)]
    return {
        "capacitance": capacitance_words(bank),
        "voltages": voltage_sentences(bank),
        "resistors": [*resistors, *practice(resistors)],
    }


def begun(words: str) -> str:
    """A sentence or heading begins with a capital.

    >>> begun("a string of 2 × 1000 µF 35 V")
    'A string of 2 × 1000 µF 35 V'
    """
    return words[:1].upper() + words[1:]


def capacitance_words(bank: Arrangement) -> str:
    """The capacitance as marked, and between what it can lie."""
    marked, least, most = (_farads(each) for each in (bank.capacitance, bank.least, bank.most))
    return marked if least == most else f"{marked} ({least} to {most} by tolerance)"


def voltage_sentences(bank: Arrangement) -> list[str]:
    """For each kind of part in each string: what it can come to, of its rating and of what derating leaves of that."""
    lines = [line for string, _ in bank.strings for line in _voltages(string)]
    return list(dict.fromkeys(lines))


def _voltages(string: String) -> list[str]:
    bare = [kind.label for _, kind, _ in string.sorts if kind.tolerance is None]
    start, end = "At worst ", ""
    if bare and len(string.places) > 1:
        of = "" if len(bare) == len(string.sorts) else f" for {' and '.join(bare)}"
        start = f"With no tolerance given{of}: "
        end = " if all are exactly alike" if len(string.sorts) == 1 else " if all are exactly as marked"
    lines = []
    for index, kind, _ in string.sorts:
        worst = string.worst[index]
        of_rating, of_limit = percent(worst / kind.rated)["text"], percent(worst / kind.limit)["text"]
        limit = f" ({of_limit} of the {_volts(kind.limit)} that derating allows)" if kind.limit != kind.rated else ""
        lines.append(f"{start}{_volts(worst)} on each {kind.label}{end}, {of_rating} of its rating{limit}")
    return lines


def balancing_sentences(bank: Arrangement) -> list[str]:
    """On the resistors across each part; none where there are none."""
    strings = zip(bank.strings, bank.balanced, strict=True)
    return [
        line
        for number, ((string, _), found) in enumerate(strings, 1)
        if found is not None
        for line in _balanced(string, found, f" in string {number}" if len(bank.strings) > 1 else "")
    ]


def _balanced(string: String, found: Balancing, where: str) -> list[str]:
    bound = "" if found.bound is None else f" (at most {_ohms(found.bound)})"
    lines = [
        f"Balancing: {_ohms(found.resistances[index])}{bound} across each {kind.label}{where}. With leakage at its "
        f"worst the part has up to {_volts(found.worst[index])}, and the resistor turns up to "
        f"{_watts(found.powers[index])} into heat."
        for index, kind, _ in string.sorts
    ]
    wish = string.wish
    if wish.down_to is not None:
        time = float(slowest(string, found.resistances) * logarithm_of(wish.voltage / wish.down_to))
        lines.append(f"They alone bleed the bank down to {_volts(wish.down_to)} within {seconds_text(time)}.")
    return lines


def bleed_sentences(bank: Arrangement) -> list[str]:
    """On the resistor across the bank; none where no bleeding is asked for."""
    found, wish = bank.bled, bank.wish
    if found is None or wish.down_to is None:
        return []
    return [
        f"Bleeding: {_ohms(found.resistance)} (at most {_ohms(float(found.bound))}) across the bank takes it down to "
        f"{_volts(wish.down_to)} within {seconds_text(float(found.seconds))}, which is "
        f"{seconds_text(float(found.constant))} × ln({wish.voltage / wish.down_to}), and turns {_watts(found.power)} "
        "into heat while the bank works."
    ]


def practice(resistors: Sequence[str]) -> list[str]:
    """What is usual with such resistors; nothing where there are none."""
    return [_PRACTICE] if resistors else []


def caution_for(wish: Wish, banks: Sequence[Arrangement]) -> Caution | None:
    """The caution for the most that any of these banks stores; None below every threshold."""
    if not banks:
        return None
    energy = max(bank.most for bank in banks) * wish.voltage**2 / 2
    return for_figures(Reading(wish.voltage, Quantity.VOLTAGE), Reading(energy, Quantity.ENERGY))


def _farads(value: flint.fmpq) -> str:
    return Reading(value, Quantity.CAPACITANCE).text


def _volts(value: flint.fmpq) -> str:
    return Reading(value, Quantity.VOLTAGE).text


def _ohms(value: flint.fmpq | float) -> str:
    return Reading(value, Quantity.RESISTANCE).text


def _watts(value: flint.fmpq) -> str:
    return Reading(value, Quantity.POWER).text

"""The number at the head of a value: cleans the text of the ways people type it, and reads "1 000,5", "2/3", "4×10⁻⁶".

A numeral keeps the digits as typed, so that the value can be written back with them, and is an exact rational.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Final

import flint

_SIGNS: Final = {
    "μ": "µ",  # Greek mu → micro sign
    "\u2126": "Ω",  # ohm sign → capital omega
    "ϵ": "ε",
    "ℰ": "E",
    "\u066b": ".",
    **dict.fromkeys("−‐‑‒–﹣", "-"),
    **dict.fromkeys("∕⁄÷", "/"),
    **dict.fromkeys("⋅∙•∗", "·"),
    **dict.fromkeys("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff", ""),
}
_SUBSCRIPTS: Final = dict(zip("₀₁₂₃₄₅₆₇₈₉ₐₑₒₓₕₖₗₘₙₚₛₜᵢⱼᵣᵤᵥ", "0123456789aeoxhklmnpstijruv", strict=True))
_SUBSCRIPT_RUN: Final = re.compile(f"_?([{''.join(_SUBSCRIPTS)}]+)")
_SUPERSCRIPTS: Final = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+", strict=True))
TO_SUPERSCRIPT: Final = str.maketrans({plain: raised for raised, plain in _SUPERSCRIPTS.items()})
_VULGAR: Final = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅙": "1/6", "⅛": "1/8"}

# Groups of three digits with spaces between, as the SI Brochure (5.4.4) writes long numbers, or digits in one run.
_WHOLE = r"[0-9]{1,3}(?:\ [0-9]{3})+(?![0-9])|[0-9]+"
_NUMERAL: Final = re.compile(
    rf"""
    (?P<sign>[-+]\ ?)?
    (?:
      (?: (?P<bracket>\()?
          (?: (?P<whole>{_WHOLE}) (?: (?P<mark>[.,]) (?P<part>[0-9]*) )? | (?P<lead>[.,]) (?P<only>[0-9]+) )
          (?: \ ?/\ ? (?P<denominator>[0-9]+) )?
          (?(bracket)\))
          (?: [eE] (?P<short>[-+]?[0-9]+)
            | \ ?[×x*·]\ ?10 (?: \ ?(?:\^|\*\*)\ ?\(? (?P<long>[-+]?[0-9]+) \)? | (?P<raised>[⁺⁻]?[⁰¹²³⁴-⁹]+) ) )?
      )
    )
    """,
    re.VERBOSE,
)
_TEN: Final = re.compile(
    r"(?P<sign>[-+] ?)?10(?: ?(?:\^|\*\*) ?\(?(?P<long>[-+]?[0-9]+)\)?|(?P<raised>[⁺⁻]?[⁰¹²³⁴-⁹]+))"
)


_MINUS: Final = re.compile(r"^-|(?<=\s)-(?=[\d.,])")
"""A hyphen that stands for a minus: before all of a value, or before a number in it."""


def quoted(typed: str) -> str:
    """What was typed as a sentence quotes it: as it is, save that minus is −, as it is in readings.

    >>> quoted("-2 µF"), quoted("1e-6 F")
    ('−2 µF', '1e-6 F')
    """
    return _MINUS.sub("−", typed)


class AbsurdExponent(Exception):
    """A power of ten of more than three figures: it is not computed."""


@dataclass(frozen=True)
class Numeral:
    """A number as typed: ± `digits` × 10^`power` / `denominator` × 10^`ten`, `ten` being None where none was typed.

    `comma` says that a decimal comma was followed by three digits, which some readers take for a thousand;
    `implied` that no digit was typed, so that it is 1, or −1 after a sign.
    """

    negative: bool
    digits: str
    power: int
    denominator: int = 1
    ten: int | None = None
    comma: bool = False
    implied: bool = False

    @property
    def exact(self) -> flint.fmpq:
        """The number, exactly. Raises ZeroDivisionError where it was divided by zero."""
        top, bottom = int(self.digits), self.denominator
        power = self.power + (self.ten or 0)
        top, bottom = (top * 10**power, bottom) if power >= 0 else (top, bottom * 10**-power)
        return flint.fmpq(-top if self.negative else top, bottom)

    def text(self) -> str:
        """The number in one way of writing it: decimal point, no spaces between digits, minus as −.

        >>> Numeral(True, "470", -2).text(), Numeral(False, "1", 0, 3, -6).text()
        ('−4.70', '1/3 × 10⁻⁶')
        """
        ratio = f"/{self.denominator}" if self.denominator != 1 else ""
        ten = f" × 10{str(self.ten).translate(TO_SUPERSCRIPT)}" if self.ten else ""
        return f"{'−' if self.negative else ''}{decimal_text(self.digits, self.power)}{ratio}{ten}"


def decimal_text(digits: str, power: int) -> str:
    """The whole number `digits` × 10^`power` without any power of ten, every digit kept.

    >>> decimal_text("470", -2), decimal_text("5", 1), decimal_text("5", -3)
    ('4.70', '50', '0.005')
    """
    if power >= 0:
        return (digits + "0" * power).lstrip("0") or "0"
    padded = digits.zfill(1 - power)
    return f"{padded[:power].lstrip('0') or '0'}.{padded[power:]}"


class _PlainSigns(dict[int, str]):
    """Code point → the sign's one spelling, worked out when first met."""

    def __missing__(self, code: int) -> str:
        self[code] = plain = _plain_sign(chr(code))
        return plain


_PLAIN_SIGNS: Final = _PlainSigns()


def clean(text: str) -> str:
    """The text with each sign in one spelling: plain digits, one kind of space, minus as -, micro as µ, ohm as Ω,
    and subscripts as `_0`.

    >>> clean("−4,7\u202f\u03bcF"), clean("V₀")
    ('-4,7 µF', 'V_0')
    """
    if not text.isascii():
        text = text.translate(_PLAIN_SIGNS)
        text = _SUBSCRIPT_RUN.sub(lambda run: "_" + "".join(_SUBSCRIPTS[sign] for sign in run[1]), text)
    return " ".join(text.split())


def _plain_sign(sign: str) -> str:
    if sign in _SIGNS:
        return _SIGNS[sign]
    if sign in _SUPERSCRIPTS or sign in _SUBSCRIPTS:
        return sign
    if (digit := unicodedata.decimal(sign, None)) is not None:
        return str(digit)
    # Full-width letters, letters as formulas set them and squared units (㎌) are the plain ones in another shape.
    if "\uff01" <= sign <= "\uff5e" or "\u3380" <= sign <= "\u33df" or "\U0001d400" <= sign <= "\U0001d7ff":
        return "".join(_SIGNS.get(plain, plain) for plain in unicodedata.normalize("NFKC", sign))
    return sign


def take_numeral(cleaned: str) -> tuple[Numeral, str]:
    """Splits the number off the head of a cleaned text: the number and what follows it. Raises AbsurdExponent."""
    first = cleaned.lstrip("-+ ")[:1]
    if first in _VULGAR:
        cleaned = cleaned.replace(first, _VULGAR[first], 1)
    match = _TEN.match(cleaned) or _NUMERAL.match(cleaned)
    if not match:
        sign = cleaned[:1] if cleaned[:1] in ("-", "+") else ""
        return Numeral(sign == "-", "1", 0, implied=True), cleaned[len(sign) :].lstrip()
    found = match.groupdict()
    negative = (found["sign"] or "").startswith("-")
    exponent = found.get("short") or found["long"] or found["raised"]
    ten = _exponent(exponent) if exponent else None
    rest = cleaned[match.end() :].lstrip()
    if match.re is _TEN:
        return Numeral(negative, "1", 0, ten=ten), rest
    whole = (found["whole"] or "").replace(" ", "")
    part = found["part"] or found["only"] or ""
    numeral = Numeral(
        negative=negative,
        digits=(whole + part).lstrip("0") or "0",
        power=-len(part),
        denominator=int(found["denominator"] or 1),
        ten=ten,
        comma=found["mark"] == "," and len(part) == 3 and 1 <= len(whole.lstrip("0")) <= 3,
    )
    return numeral, rest


def _exponent(text: str) -> int:
    plain = "".join(_SUPERSCRIPTS.get(sign, sign) for sign in text)
    if len(plain.lstrip("+-0")) > 3:
        raise AbsurdExponent(plain)
    return int(plain)

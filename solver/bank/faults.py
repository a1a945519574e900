"""What can be wrong with what is asked of a bank: each fault with its code, the fields concerned and one sentence.

The sentences stand in shared/messages.json under "bank".
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from solver.numerals import quoted

_SENTENCES: Final[dict[str, str]] = json.loads(
    (Path(__file__).resolve().parents[2] / "shared" / "messages.json").read_text("utf-8")
)["bank"]


def sentence(code: str, **words: object) -> str:
    """The sentence of a code with its words filled in."""
    if isinstance(typed := words.get("text"), str):
        words = {**words, "text": quoted(typed)}
    return _SENTENCES[code].format(**words)


@dataclass(frozen=True)
class BankFault:
    """One thing wrong: `fields` are those of the wish that it concerns, such as "voltage" or "kinds.2.tolerance"."""

    code: str
    fields: tuple[str, ...]
    text: str

    def document(self) -> dict[str, Any]:
        """The fault as the web interface sends it, its fields in the place of parts."""
        return {"code": self.code, "parts": list(self.fields), "joints": [], "text": self.text}


class BankFaults(Exception):
    """Why there is no answer: all that is wrong, in `faults`."""

    def __init__(self, faults: Iterable[BankFault]) -> None:
        self.faults = tuple(faults)
        super().__init__(" ".join(fault.text for fault in self.faults))


def fault(code: str, *fields: str, **words: object) -> BankFault:
    """A fault with its sentence."""
    return BankFault(code, fields, sentence(code, **words))

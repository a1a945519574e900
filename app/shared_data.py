"""Reads the data in shared/, which both sides use and which is written once."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

CHECKOUT = Path(__file__).resolve().parent.parent
SHARED = CHECKOUT / "shared"


@cache
def shared_data(name: str) -> Any:
    """The content of shared/NAME.json, read once; whoever changes it makes a copy first."""
    return json.loads((SHARED / f"{name}.json").read_text(encoding="utf-8"))

"""The ready sketches, and where their parts lie on the sheet."""

from __future__ import annotations

import base64
import json
import zlib
from typing import Any

from tests.browser.module_page import shared
from tests.browser.sheet_page import Spot

SAMPLES: list[dict[str, Any]] = shared("samples")["samples"]
# Those that open as they are in the end, and not at a moment on the way there.
SETTLED = [sample for sample in SAMPLES if "moment" not in sample["sketch"]]
TITLES: list[str] = [sample["title"] for sample in SAMPLES]


def ready(title: str) -> dict[str, Any]:
    """The ready sketch that the dialog offers under this title."""
    return next(sample["sketch"] for sample in SAMPLES if sample["title"] == title)


def middle(sketch: dict[str, Any], part: str) -> Spot:
    """Where the symbol of a straight part is drawn: half way between its joints."""
    found = next(each for each in sketch["parts"] if each["name"] == part)
    (ax, ay), (bx, by) = (sketch["joints"][found[end]] for end in ("from", "to"))
    return (ax + bx) / 2, (ay + by) / 2


def link_to(sketch: dict[str, Any]) -> str:
    """The address that carries a sketch whole: JSON, zlib, base64url, made here without the page's own code."""
    packed = base64.urlsafe_b64encode(zlib.compress(json.dumps(sketch).encode())).decode()
    return f"/p#{packed.rstrip('=')}"

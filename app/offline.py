"""One HTML file with a sheet and all its answers, which works from a memory stick: scripts and style stand in it."""

from __future__ import annotations

import base64
import hashlib
from functools import lru_cache
from typing import Any, Final

from flask import render_template
from markupsafe import Markup

from app.bundle import bundle
from app.shared_data import shared_data
from app.static_files import STATIC, static_mark

ENTRY: Final = "offline/main.js"
STYLES: Final = ("style.css", "panel.css", "tiles.css", "solution.css", "offline.css")


def offline_page(sketch: Any, solution: Any, ways: Any, *, zigzag: bool) -> str:
    """The file's text. `solution` has the views tiles, steps and handout; `ways` every way of the worked solution."""
    script, styles = _parts(static_mark())
    return render_template(
        "offline.html",
        title=sketch.get("title") or "Network",
        policy=_policy(script, styles),
        styles=[Markup(style) for style in styles],
        script=Markup(script),
        matter={
            "sketch": sketch,
            "solution": solution,
            "ways": ways,
            "kinds": shared_data("kinds"),
            "zigzag": zigzag,
        },
    )


@lru_cache(maxsize=1)
def _parts(mark: str) -> tuple[str, tuple[str, ...]]:
    """The script, and the style sheets. Made anew when a file in static/ has changed, which `mark` tells."""
    return bundle(ENTRY, STATIC), tuple((STATIC / name).read_text("utf-8") for name in STYLES)


def _policy(script: str, styles: tuple[str, ...]) -> str:
    """What the file may do: run this script, wear these styles, and ask nobody for anything."""
    of_styles = " ".join(_hash(style) for style in styles)
    return (
        f"default-src 'none'; script-src {_hash(script)}; style-src {of_styles}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"

"""The files in static/, under an address that changes whenever one of them does, so that a browser may keep them.

The scripts import one another by relative addresses, so that the mark stands in the path and not after a `?`.
"""

from __future__ import annotations

import hashlib
import mimetypes
from pathlib import Path
from typing import Any

from flask import Flask, Response, send_from_directory

from app.shared_data import CHECKOUT

STATIC = CHECKOUT / "static"
KEPT = "public, max-age=31536000, immutable"


def static_mark(folder: Path = STATIC) -> str:
    """Changes when a file is added, removed or written to. Reads no file, so that every page can ask."""
    facts = []
    for path in sorted(folder.rglob("*")):
        state = path.stat()
        facts.append(f"{path.relative_to(folder)} {state.st_size} {state.st_mtime_ns}")
    return hashlib.sha256("\n".join(facts).encode()).hexdigest()[:12]


def serve_static_files(app: Flask) -> None:
    """`url_for("static", filename="sheet.js")` works as in any Flask application."""

    # Windows keeps its own list of types, in which a script can be plain text, which no browser would run.
    mimetypes.add_type("text/javascript", ".js")

    @app.url_defaults
    def add_mark(endpoint: str, values: dict[str, Any]) -> None:
        if endpoint == "static":
            values.setdefault("mark", static_mark())

    @app.get("/static/<mark>/<path:filename>", endpoint="static")
    def static(mark: str, filename: str) -> Response:
        response = send_from_directory(STATIC, filename)
        # Under a mark that has passed, the file of today is served, but not to be kept.
        response.headers["Cache-Control"] = KEPT if mark == static_mark() else "no-cache"
        return response

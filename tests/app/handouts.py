"""Requests for a handout as the page sends them, with drawings small enough to be written by hand."""

from __future__ import annotations

import io
from typing import Any

from pypdf import PdfReader

from tests.app.calls import LANTERN

SVG = "http://www.w3.org/2000/svg"


def drawing(content: str = '<path d="M0 0H90" stroke="#000" fill="none"/>', words: str = "") -> str:
    """A drawing 100 by 40 units large."""
    text = f'<text x="4" y="30" font-family="DejaVu Sans" font-size="13" fill="#000">{words}</text>' if words else ""
    size = 'viewBox="0 0 100 40" width="60mm" height="24mm" role="img" aria-label="Drawing"'
    return f'<svg xmlns="{SVG}" {size}>{content}{text}</svg>'


def request_for(sketch: dict[str, Any] = LANTERN, **options: Any) -> dict[str, Any]:
    """The body of POST /api/handout.pdf: both sheets on A4, unless told otherwise."""
    usual = {
        "title": "Storm lantern",
        "task": "Find the voltage across C1.",
        "paper": "a4",
        "question": True,
        "key": True,
        "room": "lines",
        "tiles": True,
        "steps": True,
        "lines": 8,
        "ownPage": False,
        "way": "",
    }
    drawings = {
        "question": drawing(words="asked"),
        "key": drawing(words="answered"),
        "tiles": [drawing(words="tiled")],
        "steps": [drawing(words="reduced")],
    }
    return {"sketch": sketch, "drawings": drawings, "options": usual | options}


def texts(pdf: bytes) -> list[str]:
    """The words on each page, with single spaces between them."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def sizes(pdf: bytes) -> set[tuple[int, int]]:
    """The sizes of the pages in whole millimetres."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    return {
        (round(float(page.mediabox.width) / 72 * 25.4), round(float(page.mediabox.height) / 72 * 25.4))
        for page in pages
    }

"""Handouts as PDF: HTML from templates/paper.html or bank_paper.html, set by WeasyPrint, which gets nothing to fetch.

Runs in a process of its own (see app.solver_worker): setting takes a second or so, and needs native libraries (Pango)
that a machine may lack.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable
from typing import Any, Final, NoReturn

import jinja2
from markupsafe import Markup, escape

from app.drawings import clean_drawing
from app.formulas import drawn_formula
from app.shared_data import CHECKOUT

PAPERS: Final = ("a4", "letter")
_TIGHTNESS: Final = ("", "tight", "tightest")
"""Classes of bank_paper.css, until one page holds all of a bank."""
_ROOM_ALONE: Final = 660
_ROOM_BESIDE: Final = 420
"""CSS pixels for a formula: alone, and beside the drawing of the reduced network."""
_WIDEST_BESIDE: Final = 62.0
"""Millimetres of a drawing that stands beside formulas; a wider one has a row of its own."""
_WIDTH: Final = re.compile(r'<svg\b[^>]*? width="(\d+(?:\.\d+)?)mm"')
_CAPTIONS: Final = {
    "capacitor": "Tiles: charge across, voltage up. Half of each area is the energy.",
    "resistor": "Tiles: current across, voltage up. Each area is the power.",
}
_OF_UNIT: Final = re.compile(r"(?<=\d) (?=(?:[fpnµmkMG]?[FΩVCJAW]|s|min|h)\b|%)")
_SYMBOLS: Final = re.compile(r"\b[^\W\d_](?:_[^\W_]+|\d+)\b")
"""Symbols as formulas have them in plain text: C23, I_E1, V_k2."""
_INDEX: Final = re.compile(r"_(\d+)")
_WORD_INDEX: Final = re.compile(r"_([a-z]+)")
_TO_SUBSCRIPT: Final = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_NAME: Final = re.compile(r"([^\d_]+)_?(.*)")


class NoTypesetting(Exception):
    """WeasyPrint, or a native library that it needs, is not there; the message says which."""


def weasyprint() -> Any:
    """The library, loaded when first needed. Raises NoTypesetting."""
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    logging.getLogger("fontTools").setLevel(logging.ERROR)
    try:
        import weasyprint
    except (ImportError, OSError) as missing:
        raise NoTypesetting(str(missing)) from None
    return weasyprint


def handout_pdf(
    solution: dict[str, Any], sketch: dict[str, Any], drawings: dict[str, Any], options: dict[str, Any]
) -> bytes:
    """The PDF. `solution` has the views handout, tiles and steps; `drawings` are SVG texts, read with suspicion.

    Raises NoTypesetting, and DrawingRefused.
    """
    return _written(_set(paper_html(solution, sketch, drawings, options)))


def bank_handout_pdf(page: dict[str, Any], drawing: str) -> bytes:
    """The PDF of a bank: `page` is what stands on it (BankPaper in shared/openapi.json), `drawing` an SVG text, read
    with suspicion. Raises NoTypesetting, and DrawingRefused."""
    style, environment = _style("a4", "bank_paper.css"), _environment()
    environment.filters |= {"indices": _indices, "unbroken": _unbroken}
    template, cleaned = environment.get_template("bank_paper.html"), _drawing(drawing)
    for tightness in _TIGHTNESS:
        made = _set(template.render(page=page, drawing=cleaned, style=style, tightness=tightness))
        if len(made.pages) == 1:
            break
    return _written(made)


def _set(html: str) -> Any:
    return weasyprint().HTML(string=html, url_fetcher=_refuse_to_fetch).render(pdf_tags=True)


def _written(made: Any) -> bytes:
    file: bytes = made.write_pdf(pdf_tags=True)
    return file


def paper_html(
    solution: dict[str, Any], sketch: dict[str, Any], drawings: dict[str, Any], options: dict[str, Any]
) -> str:
    """The page that is set: everything in it, its style included."""
    names = _Names(sketch, solution["steps"]["steps"])
    environment = _environment()
    environment.filters |= {"part_name": part_name, "named": names.named}
    return environment.get_template("paper.html").render(
        style=_style(options["paper"] if options["paper"] in PAPERS else PAPERS[0]),
        handout=solution["handout"],
        tiles=_tiles(solution["tiles"], drawings["tiles"]) if options["tiles"] else [],
        tile_notes=solution["tiles"]["notes"] if options["tiles"] else [],
        worked=_worked(solution["steps"], drawings["steps"]) if options["steps"] else None,
        question=_drawing(drawings["question"]) if options["question"] else None,
        key=_drawing(drawings["key"]) if options["key"] else None,
        title=options["title"] or "Network",
        task=[line for line in options["task"].splitlines() if line.strip()],
        room=options["room"],
        own_page=options["ownPage"],
        lines=options["lines"],
    )


def _environment() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(CHECKOUT / "templates"), autoescape=True, undefined=jinja2.StrictUndefined
    )


def _style(paper: str, *more: str) -> Markup:
    names = ("paper.css", f"paper_{paper}.css", *more)
    return Markup("\n".join((CHECKOUT / "static" / name).read_text("utf-8") for name in names))


def _refuse_to_fetch(url: str, *_: object, **__: object) -> NoReturn:
    raise ValueError(f"nothing is fetched for a handout, and not {url[:80]}")


def _drawing(text: str | None) -> Markup:
    return Markup(clean_drawing(text)) if text else Markup("")


def _tiles(tiles: dict[str, Any], drawings: list[str]) -> list[dict[str, Any]]:
    pictures = tiles["pictures"]
    return [
        {"drawing": _drawing(drawing), "caption": " ".join(filter(None, (_CAPTIONS[each["kind"]], each["note"])))}
        for each, drawing in zip(pictures, drawings, strict=False)
    ]


def _worked(steps: dict[str, Any], drawings: list[str | None]) -> dict[str, Any]:
    if len(drawings) < len(steps["steps"]):
        drawings = [*drawings, *[None] * len(steps["steps"])]
    return {**steps, "steps": [_step(step, drawing) for step, drawing in zip(steps["steps"], drawings, strict=False)]}


def _step(step: dict[str, Any], drawing: str | None) -> dict[str, Any]:
    cleaned = drawing and _drawing(drawing)
    width = _WIDTH.match(cleaned) if cleaned else None
    wide = width is not None and float(width[1]) > _WIDEST_BESIDE
    room = _ROOM_BESIDE if cleaned and not wide else _ROOM_ALONE
    lines = [
        {
            "said": line["text"],
            "rows": [{"svg": Markup(row.svg), "indent": row.indent} for row in drawn_formula(line["math"], room)],
        }
        for line in step["lines"]
    ]
    return {**step, "lines": lines, "drawing": cleaned, "wide": wide}


def part_name(name: str) -> Markup:
    """A part's name in the trade's manner: letters in italic, the rest as a subscript.

    >>> part_name("C1")
    Markup('<i>C</i><sub>1</sub>')
    """
    found = _NAME.fullmatch(name)
    stem, index = (found[1], found[2]) if found else (name, "")
    return Markup("<i>") + stem + Markup("</i>") + (Markup("<sub>") + index + Markup("</sub>") if index else "")


class _Names:
    """The names that a worked solution's sentences may speak of: of parts, of their equivalents, of conductors."""

    def __init__(self, sketch: dict[str, Any], steps: list[dict[str, Any]]) -> None:
        names = {part["name"] for part in sketch["parts"] if part["kind"] != "wire"}
        for step in steps:
            names.update(step["parts"], step["conductors"])
            names.update(symbol for line in step["lines"] for symbol in _SYMBOLS.findall(line["text"]))
            names.update(part["name"] for part in (step["sketch"] or {"parts": []})["parts"] if part["kind"] != "wire")
        self._between = _between(names)

    def named(self, text: str) -> Markup:
        """A sentence with its names in the trade's manner and its numbers with their units, everything else escaped."""
        text = _unbroken(text)
        pieces = [text] if self._between is None else self._between.split(text)
        return Markup("").join(
            part_name(piece) if index % 2 else escape(_lowered(piece)) for index, piece in enumerate(pieces)
        )


def _unbroken(text: str) -> str:
    """A text that is not broken between a number and its unit."""
    return _OF_UNIT.sub("\u00a0", text)


def _indices(text: str) -> Markup:
    """A formula's text with what follows "_" as a subscript.

    >>> _indices("V_low²")
    Markup('V<sub>low</sub>²')
    """
    pieces = _WORD_INDEX.split(_unbroken(text))
    return Markup("").join(
        Markup("<sub>") + piece + Markup("</sub>") if index % 2 else escape(piece) for index, piece in enumerate(pieces)
    )


def _lowered(text: str) -> str:
    """Symbols in a formula on one line.

    >>> _lowered("4CV_0/5")
    '4CV₀/5'
    """
    return _INDEX.sub(lambda index: index[1].translate(_TO_SUBSCRIPT), text)


def _between(names: Iterable[str]) -> re.Pattern[str] | None:
    longest = sorted(filter(None, names), key=len, reverse=True)
    if not longest:
        return None
    return re.compile(rf"(?<!\w)({'|'.join(map(re.escape, longest))})(?!\w)")

"""The files in static/, under an address that changes whenever one of them does, so that a browser may keep them.

The scripts import one another by relative addresses, so that the mark stands in the path and not after a `?`.
"""

from __future__ import annotations

import gzip
import hashlib
import mimetypes
import os
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Flask, Response, g, request, send_from_directory

from app.shared_data import CHECKOUT

STATIC = CHECKOUT / "static"
_IMPORTED = re.compile(r'\bfrom "(\.\.?/[^"]+\.js)"')
KEPT = "public, max-age=31536000, immutable"


def static_mark(folder: Path = STATIC) -> str:
    """Changes when a file is added, removed or written to. Reads no file, so that every page can ask."""
    return _mark_of(dict(_files(str(folder))))


def is_as_marked(filename: str, mark: str, folder: Path = STATIC) -> bool:
    """Whether a file is what it was under a mark: one look at this file, not at the folder, for each script of a page.

    False where nobody asked while the mark was the folder's.
    """
    return _under(mark, folder).get(filename) == _facts((folder / filename).stat())


@lru_cache(maxsize=8)
def _under(mark: str, folder: Path) -> dict[str, str]:
    """The files as they were under a mark; none where it has passed."""
    files = dict(_files(str(folder)))
    return files if _mark_of(files) == mark else {}


def _mark_of(files: dict[str, str]) -> str:
    lines = sorted(f"{name} {facts}" for name, facts in files.items())
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:12]


def _files(folder: str, before: str = "") -> Iterator[tuple[str, str]]:
    """All files in a folder and its folders. Asked for with every page, so no path is made an object."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                yield from _files(entry.path, f"{before}{entry.name}/")
            else:
                yield before + entry.name, _facts(entry.stat())


def _facts(state: os.stat_result) -> str:
    return f"{state.st_size} {state.st_mtime_ns}"


def scripts(entry: str, mark: str | None = None) -> list[str]:
    """The names of all scripts that one of them needs, for a page that asks for them at once, not one after the other
    as they import. `mark` is that of the folder, where it is known."""
    return list(_needed(entry, mark or static_mark()))


@lru_cache(maxsize=8)
def _needed(entry: str, mark: str) -> tuple[str, ...]:
    found = {entry}
    new = [entry]
    while new:
        path = STATIC / new.pop()
        for name in _IMPORTED.findall(path.read_text(encoding="utf-8")):
            other = (path.parent / name).resolve().relative_to(STATIC).as_posix()
            if other not in found:
                found.add(other)
                new.append(other)
    return tuple(sorted(found))


def sent_small(response: Response) -> Response:
    """The same file or page compressed, for a browser that takes it so: it loads over a school's network in a third."""
    response.vary.add("Accept-Encoding")
    if response.status_code != 200 or not request.accept_encodings["gzip"]:
        return response
    response.direct_passthrough = False
    tag, _ = response.get_etag()
    content = response.get_data()
    response.set_data(_compressed(tag, content) if tag else gzip.compress(content, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    if tag:
        response.set_etag(f"{tag}-gzip")
    return response


@lru_cache(maxsize=256)
def _compressed(tag: str, content: bytes) -> bytes:
    return gzip.compress(content, mtime=0)


def mark_of_page() -> str:
    """The folder's mark for all that one page asks for: one look at the folder."""
    if "static_mark" not in g:
        g.static_mark = static_mark()
    mark: str = g.static_mark
    return mark


def serve_static_files(app: Flask) -> None:
    """`url_for("static", filename="sheet.js")` works as in any Flask application."""

    # Windows keeps its own list of types, in which a script can be plain text, which no browser would run.
    mimetypes.add_type("text/javascript", ".js")

    @app.url_defaults
    def add_mark(endpoint: str, values: dict[str, Any]) -> None:
        if endpoint == "static":
            values.setdefault("mark", mark_of_page())

    @app.get("/static/<mark>/<path:filename>", endpoint="static")
    def static(mark: str, filename: str) -> Response:
        response = sent_small(send_from_directory(STATIC, filename))
        # A file that has changed since is served as it is today, but not to be kept under the mark that has passed.
        response.headers["Cache-Control"] = KEPT if is_as_marked(filename, mark) else "no-cache"
        return response

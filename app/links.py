"""The addresses that are handed out, and how the application learns what they start with behind a proxy."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable
from typing import Any
from urllib.parse import urlsplit

import segno
from flask import url_for

WsgiApplication = Callable[[dict[str, Any], Any], Iterable[bytes]]


def view_link(sketch_id: str) -> str:
    """Where anyone may look at a stored sketch."""
    return url_for("pages.view", sketch_id=sketch_id, _external=True)


def edit_link(sketch_id: str, key: str) -> str:
    """The view link with the key in its fragment, which a browser never sends to a server."""
    return f"{view_link(sketch_id)}#key={key}"


def qr_svg(link: str) -> bytes:
    """A link as a QR code, black on white with its quiet zone, to be scaled to any size."""
    drawing = io.BytesIO()
    segno.make(link, error="m", micro=False).save(
        drawing, kind="svg", border=4, light="#fff", omitsize=True, svgclass=None, lineclass=None
    )
    return drawing.getvalue()


def at_public_address(application: WsgiApplication, address: str) -> WsgiApplication:
    """The application as seen through a proxy at `address`, which may end in a path.

    The address is told, not taken from X-Forwarded headers, which anyone can send. The proxy may strip the path from
    what it passes on or leave it.
    """
    parts = urlsplit(address)

    def moved(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        environ["wsgi.url_scheme"] = parts.scheme
        environ["HTTP_HOST"] = parts.netloc
        if parts.path:
            environ["SCRIPT_NAME"] = parts.path
            if environ["PATH_INFO"].startswith(parts.path + "/"):
                environ["PATH_INFO"] = environ["PATH_INFO"][len(parts.path) :]
        return application(environ, start_response)

    return moved

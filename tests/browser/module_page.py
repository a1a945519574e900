"""A page of nothing but our modules: an empty document, served with static/ and shared/ under the site's own policy.

What needs no server is tested here, away from the whole screen. A script error on the page fails the test.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page

from app.headers import security_policy

CHECKOUT = Path(__file__).resolve().parents[2]
EMPTY = (
    '<!doctype html><html lang="en"><meta charset="utf-8"><title>Empty</title>'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    '<link rel="icon" href="data:,"><link rel="stylesheet" href="/static/style.css">'
    '<link rel="stylesheet" href="/static/share.css"><body><button id="before">Before</button></body></html>'
)


class _Files(SimpleHTTPRequestHandler):
    extensions_map = {".js": "text/javascript", ".css": "text/css", ".json": "application/json"}  # noqa: RUF012

    def do_GET(self) -> None:
        if self.path.startswith(("/static/", "/shared/")):
            return super().do_GET()
        body = EMPTY.encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)
        return None

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", security_policy("'none'"))
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Requests are of no interest here."""


@pytest.fixture(scope="session")
def module_address() -> Iterator[str]:
    """Where the empty page is, and every other address that is no file."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(_Files, directory=str(CHECKOUT))) as server:
        server.daemon_threads = True
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        thread.join()


@pytest.fixture
def module_page(context: BrowserContext, module_address: str) -> Iterator[Page]:
    """A tab on the empty page. Errors in any tab of its context fail the test."""
    errors: list[str] = []
    context.on("weberror", lambda error: errors.append(str(error.error)))
    page = context.new_page()
    page.goto(f"{module_address}/")
    yield page
    assert errors == []


@pytest.fixture
def run(module_page: Page) -> Callable[..., Any]:
    """Runs the body of an asynchronous function on the page; `given` is its argument, sent as JSON text."""

    def on_page(body: str, given: object = None) -> Any:
        return module_page.evaluate(f"async (json) => {{ const given = JSON.parse(json); {body} }}", json.dumps(given))

    return on_page


def shared(name: str) -> Any:
    """The content of shared/NAME.json."""
    return json.loads((CHECKOUT / "shared" / f"{name}.json").read_text(encoding="utf-8"))


def sample_sketches() -> list[dict[str, Any]]:
    """The ready sketches."""
    return [sample["sketch"] for sample in shared("samples")["samples"]]

"""Every response carries the headers that bind the browser, whatever the address and however the request went."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from tests.app.calls import LANTERN, keep

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors "
)
ADDRESSES = (
    "/", "/p", "/nothing", "/api/nothing", "/api/openapi.json", "/api/solve",
    "/s/ID", "/s/ID?version=9", "/s/nobody/embed", "/api/sketches/ID", "/api/sketches/ID/versions",
    "/api/sketches/ID/qr.svg",
)  # fmt: skip


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_response_binds_the_browser_and_may_not_be_framed(client: FlaskClient, address: str):
    response = client.get(address.replace("ID", keep(client).id))
    assert response.headers["Content-Security-Policy"] == POLICY + "'none'"
    assert response.headers["X-Frame-Options"] == "DENY"
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Referrer-Policy"] == "no-referrer"
    assert response.headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert response.headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=()" in response.headers["Permissions-Policy"]


def test_only_the_embed_page_of_a_stored_sketch_may_be_framed(client: FlaskClient):
    response = client.get(f"/s/{keep(client).id}/embed")
    assert response.status_code == 200
    assert response.headers["Content-Security-Policy"] == POLICY + "*"
    assert "X-Frame-Options" not in response.headers
    assert response.headers["X-Content-Type-Options"] == "nosniff"


def test_no_policy_lets_anything_inline_or_evaluated_run(client: FlaskClient):
    for address in ("/", f"/s/{keep(client).id}/embed"):
        assert "unsafe" not in client.get(address).headers["Content-Security-Policy"]


def test_a_page_of_another_site_cannot_send_a_sketch_with_a_plain_form(client: FlaskClient):
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        response = client.post("/api/sketches", data=b"{}", content_type=kind)
        assert response.status_code == 415
    assert "Access-Control-Allow-Origin" not in client.post("/api/solve", json=LANTERN).headers

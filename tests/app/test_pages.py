"""The pages give the scripts what they need, and nothing that a user wrote comes out as anything but text."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest
from flask.testing import FlaskClient

from app.shared_data import shared_data
from tests.app.calls import LANTERN, keep

ATTACKS = (
    "</script><img src=x onerror=alert(1)>",
    "<!--<script>",
    "\"'><svg/onload=alert(1)>",
    "{{ 7 * 7 }}{% raw %}",
    "\u2028</title><script>alert(1)</script>",
)


class Reader(HTMLParser):
    """What a browser finds on a page: its elements, and the text of the data block."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.data = ""
        self._in_data = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        self._in_data = tag == "script" and ("type", "application/json") in attrs

    def handle_endtag(self, tag: str) -> None:
        self._in_data = False

    def handle_data(self, data: str) -> None:
        if self._in_data:
            self.data += data


def read(client: FlaskClient, address: str) -> Reader:
    response = client.get(address)
    assert response.status_code == 200, response.text
    reader = Reader()
    reader.feed(response.text)
    return reader


def test_a_new_sheet_is_told_the_addresses_the_tables_and_that_nothing_is_open(client: FlaskClient):
    for address in ("/", "/p"):
        page = json.loads(read(client, address).data)
        assert page["mode"] == "edit"
        assert page["open"] is None
        assert page["kinds"] == shared_data("kinds")
        assert page["samples"] == shared_data("samples")
        assert {name: page["urls"][name] for name in ("home", "solve", "values", "sketches", "carried")} == {
            "home": "/",
            "solve": "/api/solve",
            "values": "/api/values",
            "sketches": "/api/sketches",
            "carried": "/p",
        }


def test_a_stored_sketch_is_on_its_page_as_it_was_sent_in_the_order_it_was_sent(client: FlaskClient):
    kept = keep(client)
    for address, mode in ((f"/s/{kept.id}", "edit"), (f"/s/{kept.id}/embed", "embed")):
        page = json.loads(read(client, address).data)
        assert page["mode"] == mode
        assert page["open"] == {"id": kept.id, "version": 1, "sketch": LANTERN}
        assert list(page["open"]["sketch"]["joints"]) == ["z", "a", "0"]
        assert page["urls"]["whole"] == f"/s/{kept.id}"


def test_a_page_shows_an_earlier_version_when_asked_and_says_when_there_is_none(client: FlaskClient):
    kept = keep(client)
    client.put(kept.path, json={**LANTERN, "title": "Second"}, headers=kept.headers(1))
    for suffix in ("", "/embed"):
        assert json.loads(read(client, f"/s/{kept.id}{suffix}").data)["open"]["sketch"]["title"] == "Second"
        first = json.loads(read(client, f"/s/{kept.id}{suffix}?version=1").data)["open"]
        assert (first["version"], first["sketch"]["title"]) == (1, "Storm lantern")
        missing = client.get(f"/s/{kept.id}{suffix}?version=3")
        assert missing.status_code == 404
        assert "This sketch has no version 3; its latest is 2." in missing.text
        assert client.get(f"/s/{kept.id}{suffix}?version=two").status_code == 400


@pytest.mark.parametrize("attack", ATTACKS)
def test_a_title_comes_out_as_text_whatever_is_in_it(client: FlaskClient, attack: str):
    harmless = read(client, f"/s/{keep(client).id}").found
    kept = keep(client, {**LANTERN, "title": attack})
    for suffix in ("", "/embed"):
        page = read(client, f"/s/{kept.id}{suffix}")
        assert json.loads(page.data)["open"]["sketch"]["title"] == attack
        assert not any(name.startswith("on") for _, attributes in page.found for name in attributes)
        assert [tag for tag, attributes in page.found if tag == "script" and "src" not in attributes] == ["script"]
        assert "img" not in [tag for tag, _ in page.found]
    assert [tag for tag, _ in read(client, f"/s/{kept.id}").found] == [tag for tag, _ in harmless]


def test_an_address_with_markup_in_it_comes_out_as_text(client: FlaskClient):
    for address in ("/s/<img src=x onerror=alert(1)>", "/s/x?version=<script>alert(1)</script>"):
        response = client.get(address)
        assert response.status_code in (400, 404)
        assert not re.search(r"<(img|script)", response.text)


def test_pages_have_nothing_inline_for_the_policy_to_stop(client: FlaskClient):
    kept = keep(client)
    for address in ("/", "/p", f"/s/{kept.id}", f"/s/{kept.id}/embed"):
        for tag, attributes in read(client, address).found:
            assert tag != "style"
            assert "style" not in attributes
            assert not any(name.startswith("on") for name in attributes)


def test_nothing_on_a_page_comes_from_another_host(client: FlaskClient):
    for tag, attributes in read(client, "/").found:
        address = attributes.get("src") or (attributes.get("href") if tag == "link" else None)
        assert not address or address.startswith("/static/")

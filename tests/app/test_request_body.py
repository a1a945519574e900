"""A body is read strictly: what could be taken in two ways, or could tie a reader up, is refused in words."""

from __future__ import annotations

import http.client
import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app import body
from app.problems import Problem
from tests.app.calls import assert_problem, keep, ladder
from tests.conftest import Server


def refused(data: bytes) -> str:
    with pytest.raises(Problem) as refusal:
        body.parse(data)
    assert (refusal.value.status, refusal.value.faults[0].code) == (400, "not-json")
    return refusal.value.faults[0].text


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "Expecting value at line 1, column 1"),
        (b'{"a": 1,}', "line 1, column"),
        (b'{"a": NaN}', "NaN is not a number"),
        (b"[Infinity]", "Infinity is not a number"),
        (b"[-Infinity]", "-Infinity is not a number"),
        (b"[1e999]", "the number 1e999 is too large"),
        (b"[-1e999999999999]", "the number -1e999999999999 is too large"),
        (b"[" + b"9" * 5000 + b"]", "too many digits"),
        (b'{"a": 1, "b": 2, "a": 3}', "“a” stands twice in one object"),
        (b'["\\ud83d"]', "half a character"),
        (b'{"\\udc00": 1}', "half a character"),
        ("µ".encode("latin-1"), "not in UTF-8"),
        ('["µ"]'.encode("utf-16"), "not in UTF-8"),
        (b"\xef\xbb\xbf{}", "BOM"),
        (b"[" * 33 + b"]" * 33, "nests more than 32 deep"),
        (b"[" * 2_000_000, "nests more than 32 deep"),
        (b'{"a":' * 500_000 + b"1" + b"}" * 500_000, "nests more than 32 deep"),
    ],
)
def test_what_is_no_plain_json_is_refused_with_the_reason(data: bytes, reason: str):
    assert reason in refused(data)


def test_what_json_can_say_is_read_as_it_is():
    assert body.parse('{"µ": [1, 2.5, null, true, "\\ud83d\\ude00", ""]}'.encode()) == {
        "µ": [1, 2.5, None, True, "😀", ""]
    }
    assert body.parse(b"[" * 32 + b"]" * 32) is not None


def test_a_body_over_the_limit_is_refused_before_it_is_read(application: Flask):
    # 9 MB are announced and none are sent: an answer shows that nobody waited for them.
    client = application.test_client()
    announced = {"CONTENT_LENGTH": "9000000"}
    response = client.post("/api/solve", content_type="application/json", environ_overrides=announced)
    assert_problem(response, 413, "body-too-large")


def test_a_body_that_does_not_announce_its_length_is_refused_all_the_same(server: Server):
    def pieces(size: int) -> Iterator[bytes]:
        yield b"["
        for _ in range(size // 50_000):
            yield b"1," * 25_000
        yield b"1]"

    host = server.address.removeprefix("http://").rstrip("/")
    for size, status in ((50_000, 422), (9_000_000, 413)):
        connection = http.client.HTTPConnection(host)
        connection.request(
            "POST", "/api/solve", pieces(size), {"Content-Type": "application/json"}, encode_chunked=True
        )
        response = connection.getresponse()
        assert response.status == status
        assert json.loads(response.read())["status"] == status
        connection.close()


@pytest.mark.parametrize("method", ["solve", "sketches"])
def test_more_parts_than_the_limit_are_refused_and_as_many_as_it_are_not(client: FlaskClient, method: str):
    sketch = ladder(9_999)
    joints = sketch["joints"]
    wires = [{"name": f"W{n}", "kind": "wire", "from": "j0", "to": "j0"} for n in range(2)]
    if method == "sketches":
        assert (
            client.post("/api/sketches", json={"joints": joints, "parts": sketch["parts"] + wires[:1]}).status_code
            == 201
        )
    response = client.post(f"/api/{method}", json={"joints": joints, "parts": sketch["parts"] + wires})
    assert "20000" in assert_problem(response, 422, "wrong-content")["detail"]


def test_long_texts_are_refused(client: FlaskClient):
    def sketch(**changes: Any) -> dict[str, Any]:
        part = {"name": "C1", "kind": "capacitor", "value": "1 F", "from": "a", "to": "b", **changes}
        return {"joints": {"a": [0, 0], "b": [0, 1]}, "parts": [part]}

    assert client.post("/api/solve", json=sketch()).status_code == 200
    for changes in ({"value": "1" * 161}, {"name": "C" * 21}, {"from": "a" * 21}):
        assert_problem(client.post("/api/solve", json=sketch(**changes)), 422, "wrong-content")
    assert_problem(client.post("/api/values", json={"text": "1" * 201}), 422, "request-not-understood")


@pytest.mark.parametrize("text", ["1e999999999 F", "1e-999999999 F", "9" * 59 + "F", "1e99F"])
def test_absurd_numbers_are_refused_at_once(client: FlaskClient, text: str):
    sketch = {
        "joints": {"a": [0, 0], "b": [0, 1]},
        "parts": [{"name": "C1", "kind": "capacitor", "value": text, "from": "a", "to": "b"}],
    }
    response = client.post("/api/solve", json=sketch)
    assert response.status_code == 422
    assert response.json["code"] in ("value-out-of-range", "value-not-understood")  # and not "too-slow"
    assert client.post("/api/values", json={"text": text}).status_code == 422


def test_text_that_would_run_elsewhere_is_only_text(client: FlaskClient):
    for text in ("__import__('os').system('id')", "9**9**9 F", "(1).__class__", "1; DROP TABLE sketches", "$(id)"):
        assert client.post("/api/values", json={"text": text}).status_code == 422
    kept = keep(client, {"title": "'; DROP TABLE sketches; --", "joints": {}, "parts": []})
    assert client.get(kept.path).json["sketch"]["title"] == "'; DROP TABLE sketches; --"

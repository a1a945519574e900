"""`python3 app` starts a server that says where it is, keeps what it acknowledged, and ends quietly."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from tests.app.calls import LANTERN
from tests.conftest import CHECKOUT, Server, start_server


def call(server: Server, method: str, path: str, sketch: Any = None, headers: dict[str, str] | None = None) -> Any:
    """The JSON that the running server answers with."""
    data = None if sketch is None else json.dumps(sketch).encode()
    headers = {"Content-Type": "application/json", **(headers or {})}
    request = urllib.request.Request(server.address + path, data, headers, method=method)
    with urllib.request.urlopen(request, timeout=30) as response:
        return json.loads(response.read())


def test_the_first_line_says_where_it_is_and_the_page_is_there(server: Server):
    first = server.output().splitlines()[0]
    assert first == f"Farandole is at {server.address}"
    assert server.address.startswith("http://127.0.0.1:")
    with urllib.request.urlopen(server.address, timeout=30) as page:
        assert b'id="page"' in page.read()
        assert "waitress" not in page.headers.get("Server", "")
    assert call(server, "POST", "api/solve", LANTERN)["method"] == "exact"


@pytest.mark.skipif(os.name == "nt", reason="signals are sent")
def test_a_save_that_was_acknowledged_survives_a_kill(tmp_path: Path):
    killed = start_server(tmp_path, "--data", str(tmp_path))
    stored = call(killed, "POST", "api/sketches", LANTERN)
    key = stored["links"]["edit"].partition("#key=")[2]
    headers = {"Authorization": f"Bearer {key}", "If-Match": '"1"'}
    saved = call(
        killed, "PUT", f"api/sketches/{stored['id']}", {**LANTERN, "title": "Saved at the last moment"}, headers
    )
    killed.process.send_signal(signal.SIGKILL)
    assert killed.process.wait(timeout=20) == -signal.SIGKILL

    started = start_server(tmp_path, "--data", str(tmp_path))
    try:
        found = call(started, "GET", f"api/sketches/{stored['id']}")
        assert (found["version"], found["sketch"]["title"]) == (saved["version"], "Saved at the last moment")
        assert call(started, "GET", f"api/sketches/{stored['id']}?version=1")["sketch"] == LANTERN
    finally:
        started.stop()


def test_in_memory_is_only_when_asked_and_keeps_nothing(tmp_path: Path):
    server = start_server(tmp_path, "--in-memory")
    stored = call(server, "POST", "api/sketches", LANTERN)
    assert "Stored sketches go when the server ends." in server.output()
    assert server.stop() == 0
    assert list(tmp_path.iterdir()) == [server.said]
    again = start_server(tmp_path, "--in-memory")
    with pytest.raises(urllib.error.HTTPError) as refusal:
        call(again, "GET", f"api/sketches/{stored['id']}")
    refusal.value.close()
    assert refusal.value.code == 404
    again.stop()


@pytest.mark.skipif(os.name == "nt" or sys.platform == "darwin", reason="the folder is the one of Linux")
def test_left_alone_it_keeps_sketches_in_the_users_data_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    server = start_server(tmp_path)
    server.stop()
    assert (tmp_path / "share" / "farandole" / "sketches.sqlite").is_file()
    assert f"Stored sketches are kept in {tmp_path / 'share' / 'farandole'}" in server.output()


@pytest.mark.skipif(os.name == "nt", reason="signals are sent")
@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_quietly(tmp_path: Path, ending: signal.Signals):
    server = start_server(tmp_path, "--in-memory")
    call(server, "POST", "api/solve", LANTERN)
    before = server.output()
    server.process.send_signal(ending)
    assert server.process.wait(timeout=20) == 0
    assert server.output().removeprefix(before).strip() == ""


def test_where_the_port_is_taken_the_next_free_one_is_used_and_that_is_said(tmp_path: Path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        server = start_server(tmp_path, "--in-memory", "--port", str(port))
        try:
            said = server.output().splitlines()[0]
            assert said.startswith(f"Port {port} is taken, so this is port ")
            assert server.address != f"http://127.0.0.1:{port}/"
            assert call(server, "POST", "api/solve", LANTERN)["method"] == "exact"
        finally:
            server.stop()


def test_on_all_addresses_the_one_on_the_local_network_is_said_too(tmp_path: Path):
    server = start_server(tmp_path, "--in-memory", "--host", "0.0.0.0")
    server.stop()
    lines = server.output().splitlines()
    assert lines[0].startswith("Farandole is at http://127.0.0.1:")
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return  # a machine without a network has no such address
        near = probe.getsockname()[0]
    assert lines[1].startswith(f"On the local network: http://{near}:")


def test_links_start_with_the_public_address(tmp_path: Path):
    server = start_server(tmp_path, "--in-memory", "--public-address", "https://school.example/sketches/")
    links = call(server, "POST", "api/sketches", LANTERN)["links"]
    server.stop()
    assert links["view"].startswith("https://school.example/sketches/s/")


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--port", "many"], "a port is a whole number up to 65535, not “many”"),
        (["--port", "65536"], "a port is a whole number up to 65535, not “65536”"),
        (["--host", "192.0.2.1"], "This machine has no address 192.0.2.1 to listen at."),
        (["--in-memory", "--data", "x"], "not allowed with argument"),
        (["--public-address", "school.example"], "A public address looks like https://school.example/sketches"),
        (["--data", "/dev/null/x"], "/dev/null"),
        (["--database", "mysql+nothing://x/y"], "Sketches can be stored in SQLite and PostgreSQL"),
        (["--database", "sqlite:////dev/null/x.sqlite"], "The database cannot be opened: unable to open database file"),
    ],
)
def test_what_cannot_be_done_is_said_in_a_sentence(options: list[str], sentence: str):
    command = [
        sys.executable,
        str(CHECKOUT / "app"),
        "--quiet",
        *(options if "--data" in options[0] else ["--in-memory", *options]),
    ]
    ended = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert ended.returncode != 0
    assert sentence in ended.stderr
    assert "Traceback" not in ended.stderr

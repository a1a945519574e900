"""What all tests share: the real server in a process of its own, and the browser it is looked at with."""

from __future__ import annotations

import subprocess
import sys
import time
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from tests import chromium

CHECKOUT = Path(__file__).resolve().parent.parent
BENCHMARKS = CHECKOUT / "tests" / "benchmarks"
# Properties are tried on the same examples each time, so that a run judges what was changed; `--hypothesis-profile
# search` goes looking for others. None fails for the machine being busy.
settings.register_profile("same", deadline=None, max_examples=50, derandomize=True)
settings.register_profile("search", deadline=None, max_examples=200, print_blob=True)
settings.load_profile("same")
# A test is about our pages: the browser's own errands only take time, and would call at hosts that are not ours.
BROWSER_FLAGS = (
    "--no-sandbox",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
    "--disable-gpu",
)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Benchmarks run when they are asked for, by `--benchmarks` or by their path."""
    asked = any("benchmarks" in argument for argument in config.args)
    return True if collection_path == BENCHMARKS and not asked else None


@dataclass(frozen=True)
class Server:
    """A server that runs: its address (with a slash at its end), its process, and the file with what it said."""

    address: str
    process: subprocess.Popen[bytes]
    said: Path

    def output(self) -> str:
        return self.said.read_text(encoding="utf-8", errors="replace")

    def stop(self) -> int:
        """End it as Ctrl+C does, and wait; the number it ended with."""
        self.process.terminate()
        return self.process.wait(timeout=20)


def start_server(folder: Path, *options: str) -> Server:
    """`python3 app` on a free port, with its data in `folder`, once it has said its address."""
    said = folder / f"server-output-{uuid.uuid4().hex[:8]}.txt"
    with said.open("wb") as output:
        command = [sys.executable, str(CHECKOUT / "app"), "--quiet", "--port", "0", *options]
        process = subprocess.Popen(command, stdout=output, stderr=subprocess.STDOUT, cwd=folder)
    deadline = time.monotonic() + 180  # a machine that is busy with other tests is slow
    while True:
        lines = said.read_text(encoding="utf-8").splitlines()
        if lines and lines[-1].startswith("Ctrl+C"):
            address = next(line.rpartition(" ")[2] for line in lines if line.startswith("Farandole is at "))
            return Server(address, process, said)
        if process.poll() is not None or time.monotonic() > deadline:
            process.kill()
            process.wait()
            pytest.fail("The server did not start:\n" + said.read_text(encoding="utf-8"))
        time.sleep(0.02)


_servers: list[Server] = []


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The real server, one for the whole run, with data of its own."""
    folder = tmp_path_factory.mktemp("server")
    running = start_server(folder, "--data", str(folder))
    _servers.append(running)
    yield running
    _servers.remove(running)
    running.stop()


@pytest.fixture(scope="session")
def base_url(server: Server) -> str:
    """Where `page.goto("/")` leads."""
    return server.address


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Iterator[None]:
    """Put what the server said under a test that failed."""
    report = yield
    if report.failed and "server" in getattr(item, "fixturenames", ()):
        for running in _servers:
            died = running.process.poll()
            state = "running" if died is None else f"ended with {died}"
            report.sections.append((f"server ({state})", running.output()[-5000:]))
    return report


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """For pytest-playwright: the browser that is there. A machine without one fails; it does not skip."""
    try:
        path = chromium.find()
    except chromium.NoBrowser as problem:
        pytest.fail(str(problem))
    if path is None:
        pytest.fail("There is no Chromium or Chrome here. `python3 tests` gets one, or says what to install.")
    return {**browser_type_launch_args, "executable_path": str(path), "args": list(BROWSER_FLAGS)}

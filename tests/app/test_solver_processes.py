"""Solving happens in processes that are stopped when they take too long, start again, and leave nothing behind."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from app import create_app
from app.config import IN_MEMORY, Config
from app.solver_process import Outcome, SolverProcesses
from tests.app.calls import LANTERN, assert_problem, ladder

CHECKOUT = Path(__file__).resolve().parents[2]
SMALL = json.dumps(LANTERN).encode()
LARGE = json.dumps(ladder(9_000)).encode()
LARGE_PARTS = 18_001


@pytest.fixture
def hurried() -> Iterator[SolverProcesses]:
    """Processes that may take a twentieth of a second of a processor: enough for the small network, not for the large
    one. By the clock they have a minute, since the machine may be busy with other things."""
    processes = SolverProcesses(seconds=0.05, patience=1200)
    yield processes
    processes.close()


def process_ids(processes: SolverProcesses) -> dict[str, int]:
    lanes = {"quick": processes._quick._process, "long": processes._long._process}
    return {name: process.pid for name, process in lanes.items() if process is not None}


def is_there(pid: int) -> bool:
    """Whether a process runs, or has ended and was not waited for."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_network_that_takes_too_long_is_stopped_and_the_next_one_is_solved(hurried: SolverProcesses):
    assert hurried.solve(SMALL, 3).outcome is Outcome.ANSWER
    for _ in range(2):
        assert hurried.solve(LARGE, LARGE_PARTS).outcome is Outcome.TOO_SLOW
        assert hurried.solve(SMALL, 3).outcome is Outcome.ANSWER


def test_a_process_that_was_stopped_is_gone_and_another_one_gets_ready(hurried: SolverProcesses):
    hurried._long.warm()
    first = process_ids(hurried)["long"]
    assert hurried.solve(LARGE, LARGE_PARTS).outcome is Outcome.TOO_SLOW
    assert not is_there(first)
    assert is_there(process_ids(hurried)["long"])


def test_long_work_does_not_keep_quick_work_waiting(solver_processes: SolverProcesses):
    solver_processes.solve(SMALL, 3)
    done: dict[str, float] = {}

    def solve(name: str, body: bytes, parts: int) -> None:
        solver_processes.solve(body, parts)
        done[name] = time.monotonic()

    long = threading.Thread(target=solve, args=("long", LARGE, LARGE_PARTS))
    long.start()
    solve("quick", SMALL, 3)
    long.join()
    assert done["quick"] < done["long"]


def test_too_many_at_once_are_told_to_come_back(hurried: SolverProcesses):
    outcomes: list[Outcome] = []
    threads = [
        threading.Thread(target=lambda: outcomes.append(hurried.solve(LARGE, LARGE_PARTS).outcome)) for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(outcomes) == {Outcome.TOO_SLOW, Outcome.BUSY}
    assert outcomes.count(Outcome.BUSY) == 8 - 4  # one at work and three that wait


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="a signal is sent")
def test_a_process_that_hangs_without_computing_is_stopped_by_the_clock():
    processes = SolverProcesses(patience=0.4)  # two seconds by the clock
    assert processes.solve(SMALL, 3).outcome is Outcome.ANSWER
    hung = process_ids(processes)["quick"]
    os.kill(hung, signal.SIGSTOP)
    assert processes.solve(SMALL, 3).outcome is Outcome.TOO_SLOW
    assert not is_there(hung)
    assert processes.solve(SMALL, 3).outcome is Outcome.ANSWER
    processes.close()


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is measured as Linux tells it")
def test_a_network_that_needs_too_much_memory_is_told_so_and_the_next_one_is_solved(
    monkeypatch: pytest.MonkeyPatch,
):
    def peak(lane: str) -> int:
        status = Path(f"/proc/{process_ids(fresh)[lane]}/status").read_text()
        return 1024 * int(status.partition("VmPeak:")[2].split()[0])

    fresh = SolverProcesses()
    assert fresh.solve(SMALL, 3).outcome is Outcome.ANSWER
    assert fresh.solve(LARGE, LARGE_PARTS).outcome is Outcome.ANSWER
    least, most = peak("quick"), peak("long")
    fresh.close()
    for quarter in (1, 2, 3):  # where in the work memory ends, and how a library takes it, depends on how much there is
        monkeypatch.setattr("app.solver_process.SOLVER_MEMORY_BYTES", least + quarter * (most - least) // 4)
        processes = SolverProcesses()
        assert processes.solve(LARGE, LARGE_PARTS).outcome is Outcome.MEMORY
        assert processes.solve(SMALL, 3).outcome is Outcome.ANSWER
        processes.close()


@pytest.mark.skipif(os.name == "nt", reason="signals are sent")
def test_a_process_that_was_killed_from_outside_is_replaced_without_anyone_noticing(solver_processes: SolverProcesses):
    solver_processes.solve(SMALL, 3)
    first = process_ids(solver_processes)["quick"]
    os.kill(first, signal.SIGKILL)
    assert solver_processes.solve(SMALL, 3).outcome is Outcome.ANSWER
    assert process_ids(solver_processes)["quick"] != first


def test_many_threads_get_each_their_own_answer(solver_processes: SolverProcesses):
    answers: dict[int, str] = {}

    def solve(volts: int) -> None:
        sketch = {**LANTERN, "parts": [{**LANTERN["parts"][0], "value": f"{volts} V"}, *LANTERN["parts"][1:]]}
        result = solver_processes.solve(json.dumps(sketch).encode(), 3)
        answers[volts] = json.loads(result.body)["joints"]["z"]["potential"]["exact"]

    threads = [threading.Thread(target=solve, args=(volts,)) for volts in range(1, 33)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == {volts: str(volts) for volts in range(1, 33)}


def test_nothing_is_left_when_it_is_closed():
    processes = SolverProcesses()
    processes.solve(SMALL, 3)
    processes.solve(json.dumps(ladder(400)).encode(), 801)
    pids = process_ids(processes)
    assert set(pids) == {"quick", "long"}
    processes.close()
    assert not any(is_there(pid) for pid in pids.values())


PROGRAM = """
import os, signal, sys, threading
sys.path.insert(0, sys.argv[1])
from app.solver_process import SolverProcesses
from tests.app.calls import ladder
import json
processes = SolverProcesses()
processes.solve(json.dumps(ladder(2)).encode(), 5)
print(processes._quick._process.pid, flush=True)
if sys.argv[2] == "killed":
    os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.skipif(os.name == "nt", reason="signals are sent")
@pytest.mark.parametrize("end", ["finished", "killed"])
def test_no_solver_process_outlives_its_server(end: str):
    ended = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(CHECKOUT), end], capture_output=True, text=True, check=False
    )
    assert ended.returncode == (0 if end == "finished" else -signal.SIGKILL), ended.stderr
    pid = int(ended.stdout)
    deadline = time.monotonic() + 20
    while is_there(pid) and time.monotonic() < deadline:
        time.sleep(0.02)  # it notices that its input has ended, in its own time
    assert not is_there(pid)


def test_on_the_web_too_slow_and_busy_are_told_in_words(hurried: SolverProcesses):
    application = create_app(Config(IN_MEMORY), hurried)
    client = application.test_client()
    problem = assert_problem(client.post("/api/solve", json=ladder(9_000)), 422, "too-slow")
    assert "longer to solve than the 0.05 seconds allowed" in problem["detail"]
    held = [hurried._long._places.acquire(blocking=False) for _ in range(4)]
    assert all(held)
    response = client.post("/api/solve", json=ladder(9_000))
    assert_problem(response, 503, "busy")
    assert response.headers["Retry-After"] == "2"
    application.extensions["store"].close()

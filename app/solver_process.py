"""Solver processes as the web server sees them: hand in a job, get an answer within a time or a reason why not.

Lanes of one process each, so that what takes seconds never stands in front of what takes milliseconds. A process
that is over its time is ended and another one started. Safe for many threads; needs nothing at fork, because a
lane starts its process when it is first used. No process outlives the server: its input ends when the server does.
"""

from __future__ import annotations

import atexit
import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Any

from app.limits import (
    PAPER_SECONDS,
    PATIENCE,
    QUICK_PARTS,
    QUICK_TO_LAY_OUT,
    SOLVE_SECONDS,
    SOLVER_MEMORY_BYTES,
    START_SECONDS,
    WAITING_LONG,
    WAITING_QUICK,
)

WORKER = Path(__file__).with_name("solver_worker.py")
TIME_IS_OVER = -signal.SIGPROF if hasattr(signal, "SIGPROF") else None  # Windows has none
# What ends a process whose library goes on after memory was refused to it, instead of saying so.
FELL = (-signal.SIGSEGV, -signal.SIGABRT)


class Outcome(Enum):
    """How a job ended. The value is what the process says, where it is the process that says it."""

    ANSWER = "answer"
    REFUSED = "refused"
    LONG = "long"
    MEMORY = "memory"
    BROKEN = "broken"
    TOO_SLOW = "too slow"
    BUSY = "busy"


@dataclass(frozen=True)
class Result:
    """An outcome, and the JSON text that came with it: a document, or the faults where it was refused."""

    outcome: Outcome
    body: bytes = b""


class SolverProcesses:
    """The lanes. `seconds` is what one job may take of a processor, once it has a process; by the clock it may take
    `patience` times as long."""

    def __init__(self, seconds: float = SOLVE_SECONDS, patience: float = PATIENCE) -> None:
        self.seconds = seconds
        self._quick = _Lane("quick", seconds, patience, WAITING_QUICK)
        self._long = _Lane("long", seconds, patience, WAITING_LONG)
        self._paper = _Lane("paper", PAPER_SECONDS, patience, WAITING_LONG)
        atexit.register(self.close)

    def warm(self) -> None:
        """Start the process for quick work, without waiting for it, where it does not run yet."""
        self._quick.warm()

    def solve(self, body: bytes, parts: int) -> Result:
        """Solve a sketch (JSON text) of so many parts. Symbols and large networks go to the lane of long work."""
        return self._by_size("solve", body, parts)

    def explain(self, body: bytes, parts: int) -> Result:
        """Solve a sketch of so many parts, with views: JSON text {"with": [view, …], "way": …, "sketch": …}."""
        return self._by_size("explain", body, parts)

    def compare(self, body: bytes, parts: int) -> Result:
        """Compare a sketch of so many parts with what is made of it: the job of POST /api/compare."""
        return self._by_size("compare", body, parts)

    def _by_size(self, job: str, body: bytes, parts: int, quick: int = QUICK_PARTS) -> Result:
        result = self._quick.carry_out(job, body) if parts <= quick else Result(Outcome.LONG)
        if result.outcome is not Outcome.LONG:
            self._long.warm()
            return result
        return self._long.carry_out(job, body)

    def check(self, body: bytes) -> Result:
        """Whether a sketch (JSON text) is one that may be stored: finished or not, but as the schema has it."""
        return self._quick.carry_out("check", body)

    def read_value(self, body: bytes) -> Result:
        """What a typed value makes: the job of POST /api/values."""
        return self._quick.carry_out("value", body)

    def line(self, body: bytes) -> Result:
        """What a say-it line makes of a sketch: the job of POST /api/line."""
        return self._quick.carry_out("line", body)

    def tidy(self, body: bytes, parts: int) -> Result:
        """A sketch of so many parts laid out anew: the job of POST /api/tidy. Two-way switches take long."""
        return self._by_size("tidy", body, parts, QUICK_TO_LAY_OUT)

    def spread(self, body: bytes) -> Result:
        """A slice of the work on the worst case of every reading over tolerances: the job of POST /api/spread."""
        return self._long.carry_out("spread", body)

    def ledger(self, body: bytes, parts: int) -> Result:
        """The ledger of a sketch of so many parts as CSV, which the answer is instead of JSON."""
        return self._by_size("ledger", body, parts)

    def offline(self, body: bytes, parts: int) -> Result:
        """All that a sketch of so many parts needs to be shown without a server: JSON text {"sketch": …}."""
        return self._by_size("offline", body, parts)

    def bank(self, job: str, body: bytes) -> Result:
        """Plan a bank ("bank", "bank-sketch", "bank-handout"), or look on for one ("bank-search"), which takes long."""
        lane = self._long if job == "bank-search" else self._quick
        return lane.carry_out(job, body)

    def paper(self, job: str, body: bytes) -> Result:
        """Set a handout ("pdf" or "bank-pdf", whose answer is one), or tell whether that can be done ("paper")."""
        return self._paper.carry_out(job, body)

    def close(self) -> None:
        """End all processes and wait until they are gone."""
        atexit.unregister(self.close)
        self._quick.close()
        self._long.close()
        self._paper.close()


class _Stopped(Exception):
    """The process ended, or was killed, before it had answered."""


class _Lane:
    """One process, used by one thread at a time."""

    def __init__(self, name: str, seconds: float, patience: float, waiting: int) -> None:
        self._name = name
        self._seconds = seconds
        self._patience = patience
        self._places = threading.BoundedSemaphore(waiting + 1)
        self._turn = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._ready = False
        self._closed = False

    def warm(self) -> None:
        if self._process is None and self._turn.acquire(blocking=False):
            try:
                self._running()
            finally:
                self._turn.release()

    def carry_out(self, job: str, body: bytes) -> Result:
        if not self._places.acquire(blocking=False):
            return Result(Outcome.BUSY)
        try:
            with self._turn:
                return self._attempt(job, body, retry=True)
        finally:
            self._places.release()

    def close(self) -> None:
        self._closed = True
        if (process := self._process) is not None:
            process.kill()  # and whoever waits for its answer lets go of the turn
        with self._turn:
            self._end()

    def _attempt(self, job: str, body: bytes, retry: bool) -> Result:
        if self._closed:
            return Result(Outcome.BROKEN)
        process = self._running()
        deadline = _Deadline(process, self._patience * self._seconds)
        try:
            if not self._ready:
                with _Deadline(process, START_SECONDS):
                    _receive(process)
                self._ready = True
            with deadline:
                _send(process, {"job": job, "lane": self._name, "size": len(body)}, body)
                result = _receive(process)
        except _Stopped:
            ended = self._end()
            if ended == TIME_IS_OVER or deadline.passed:
                self._running()  # it gets ready while nobody waits for it
                return Result(Outcome.TOO_SLOW)
            if retry:  # it may have ended since its last job, which is not this job's doing: twice would be
                return self._attempt(job, body, retry=False)
            return Result(Outcome.MEMORY if ended in FELL else Outcome.BROKEN)
        if result.outcome is Outcome.MEMORY:
            self._end()  # what it holds is given back
        return result

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is None:
            self._process = _start(self._seconds)
            self._ready = False
        return self._process

    def _end(self) -> int | None:
        """End the process; what it ended with, which is its own doing where it had ended before."""
        if self._process is None:
            return None
        process, self._process = self._process, None
        process.kill()
        for stream in (process.stdin, process.stdout):
            with contextlib.suppress(OSError):  # what was still to be written to a process that is gone
                stream.close()  # type: ignore[union-attr]
        return process.wait()


class _Deadline:
    """Kills a process when the time is over; `passed` tells whether it did."""

    def __init__(self, process: subprocess.Popen[bytes], seconds: float) -> None:
        self.passed = False
        self._process = process
        self._timer = threading.Timer(seconds, self._stop)
        self._timer.daemon = True

    def _stop(self) -> None:
        self.passed = True
        self._process.kill()

    def __enter__(self) -> None:
        self._timer.start()

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()


def _start(seconds: float) -> subprocess.Popen[bytes]:
    # In a group of its own, so that Ctrl+C in the terminal reaches the server alone, which then ends this process.
    # Matrices here are small: threads of the linear algebra library would only get in one another's way.
    return subprocess.Popen(
        [sys.executable, str(WORKER), str(seconds), str(SOLVER_MEMORY_BYTES)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
        creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),  # Windows
        process_group=None if os.name == "nt" else 0,
    )


def _send(process: subprocess.Popen[bytes], header: dict[str, Any], body: bytes) -> None:
    assert process.stdin is not None
    try:
        process.stdin.write(json.dumps(header).encode() + b"\n" + body)
        process.stdin.flush()
    except OSError:
        raise _Stopped from None


def _receive(process: subprocess.Popen[bytes]) -> Result:
    assert process.stdout is not None
    line = process.stdout.readline()
    if not line.endswith(b"\n"):
        raise _Stopped
    header = json.loads(line)
    body = process.stdout.read(header["size"])
    if len(body) < header["size"]:
        raise _Stopped
    return Result(Outcome.ANSWER if header["outcome"] == "ready" else Outcome(header["outcome"]), body)

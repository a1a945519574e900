"""The program that runs in a solver process: takes jobs on its input, answers on its output, until its input ends.

A job is one line of JSON, {"job", "lane", "size"}, and `size` bytes of JSON; an answer is one line,
{"outcome", "size"}, and `size` bytes. It runs in a process of its own so that a network that takes too long can be
stopped, and so that the web server neither loads nor waits for the mathematics.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import traceback
from typing import BinaryIO

CHECKOUT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def serve(jobs: BinaryIO, answers: BinaryIO, seconds: float, memory: int) -> None:
    """Answer jobs until there are none. A job that takes longer (in seconds of processor time) ends this process."""
    _limit_memory(memory)
    from app.solver_jobs import carry_out, get_ready

    get_ready()
    _send(answers, "ready", b"")
    while line := jobs.readline():
        header = json.loads(line)
        body = jobs.read(header["size"])
        _limit_time(seconds)
        try:
            outcome, answer = carry_out(header["job"], header["lane"], json.loads(body))
        except MemoryError:
            outcome, answer = "memory", b""
        except Exception:
            traceback.print_exc()
            outcome, answer = "broken", b""
        _limit_time(0)
        _send(answers, outcome, answer)


def _send(answers: BinaryIO, outcome: str, body: bytes) -> None:
    answers.write(json.dumps({"outcome": outcome, "size": len(body)}).encode() + b"\n" + body)
    answers.flush()


def _limit_time(seconds: float) -> None:
    # The signal, which nothing here catches, ends the process even in the middle of a library's C code. Where there
    # is none (Windows), the server's own clock has to do.
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_PROF, seconds)


def _limit_memory(size: int) -> None:
    try:
        import resource
    except ImportError:  # Windows has no such limit
        return
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    allowed = size if hard == resource.RLIM_INFINITY else min(size, hard)
    resource.setrlimit(resource.RLIMIT_AS, (allowed, hard))


def main(arguments: list[str]) -> None:
    # What a library prints must not get between the answers.
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    seconds, memory = arguments
    serve(sys.stdin.buffer, answers, float(seconds), int(memory))


if __name__ == "__main__":
    sys.path[0] = CHECKOUT
    main(sys.argv[1:])

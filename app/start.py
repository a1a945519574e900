"""Serves the application on this machine, until Ctrl+C."""

from __future__ import annotations

import logging
import os
import signal
import sys
import threading
import webbrowser

from app.config import IN_MEMORY, Config, database_in, user_data_folder
from app.limits import BODY_BYTES
from app.listening import NoPort, addresses, listen
from app.options import Options
from app.solver_process import SolverProcesses

THREADS = 8


def start(options: Options) -> int:
    """Serve until told to stop; the number the program ends with."""
    try:
        config = Config(_database(options), options.public_address)
        listener = listen(options.host, options.port)
    except (NoPort, ValueError, OSError) as refusal:
        print(refusal, file=sys.stderr)
        return 1
    solver = SolverProcesses()
    solver.warm()  # loads the mathematics beside us, while we load the web server

    import waitress

    from app import create_app
    from app.store import NoDatabase

    logging.basicConfig(format="%(message)s", level=logging.WARNING)
    try:
        app = create_app(config, solver)
    except NoDatabase as refusal:
        solver.close()
        print(refusal, file=sys.stderr)
        return 1
    # A body over our own limit is answered by the application, in words; waitress only guards against far larger ones.
    server = waitress.create_server(
        app, sockets=[listener], threads=THREADS, max_request_body_size=4 * BODY_BYTES, ident=None
    )
    here = _say_where(options, listener.getsockname()[1], *addresses(listener))
    if not options.quiet and _has_display():
        threading.Thread(target=webbrowser.open, args=(here,), daemon=True).start()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    server.run()
    solver.close()
    print()
    return 0


def _database(options: Options) -> str:
    if options.in_memory:
        return IN_MEMORY
    return options.database or database_in(options.data or user_data_folder())


def _say_where(options: Options, port: int, here: str, near: str | None) -> str:
    if options.port not in (0, port):
        print(f"Port {options.port} is taken, so this is port {port}.")
    print(f"Farandole is at {here}")
    if near:
        print(f"On the local network: {near}")
    if options.public_address:
        print(f"Links start with {options.public_address}")
    if options.in_memory:
        print("Stored sketches go when the server ends.")
    elif not options.database:
        print(f"Stored sketches are kept in {options.data or user_data_folder()}")
    print("Ctrl+C stops it.", flush=True)
    return here


def _has_display() -> bool:
    if os.name == "nt" or sys.platform == "darwin":
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))

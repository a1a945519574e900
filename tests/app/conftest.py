"""What the tests of the web side share: an application of their own with nothing stored, and one solver for all."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app import create_app
from app.config import IN_MEMORY, Config
from app.solver_process import SolverProcesses


@pytest.fixture(scope="session")
def solver_processes() -> Iterator[SolverProcesses]:
    processes = SolverProcesses()
    yield processes
    processes.close()


@pytest.fixture
def application(solver_processes: SolverProcesses) -> Iterator[Flask]:
    made = create_app(Config(IN_MEMORY), solver_processes)
    yield made
    made.extensions["store"].close()


@pytest.fixture
def client(application: Flask) -> FlaskClient:
    return application.test_client()

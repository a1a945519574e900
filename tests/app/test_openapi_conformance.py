"""What the server answers, to requests good and bad, is what its description at /api/openapi.json says."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.config import SchemathesisConfig

from app import create_app
from app.config import IN_MEMORY, Config
from app.openapi import openapi_document
from app.solver_process import SolverProcesses
from tests.app.calls import keep

# A request can be as described and still be refused, which the description says with these statuses: 422 where a sketch
# is well-formed but its network cannot be solved or a typed text is no value, 410 and 412 where a sketch was removed or
# is at another version than the one in If-Match.
REFUSED_ALL_THE_SAME = ["2xx", 401, 403, 404, 410, 412, 422]
CONFIG = SchemathesisConfig.from_dict(
    {"checks": {"positive_data_acceptance": {"expected-statuses": REFUSED_ALL_THE_SAME}}}
)
OPERATIONS = [
    (path, method) for path, item in openapi_document()["paths"].items() for method in item if method != "parameters"
]
WITHOUT_INPUT = {"/api/openapi.json", "/api/paper"}
# Bounded, and the same every time; what is generated is large and slow by Hypothesis's own measure.
BOUNDED = settings(
    max_examples=25, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
)


@pytest.fixture(scope="module")
def served(solver_processes: SolverProcesses) -> Iterator[Flask]:
    application = create_app(Config(IN_MEMORY), solver_processes)
    yield application
    application.extensions["store"].close()


@pytest.fixture(scope="module")
def described(served: Flask) -> Any:
    return schemathesis.openapi.from_wsgi("/api/openapi.json", served, config=CONFIG)


# What takes no input cannot be given a wrong one.
@pytest.mark.parametrize(
    ("path", "method", "mode"),
    [
        (*pair, mode)
        for pair in OPERATIONS
        for mode in GenerationMode
        if pair[0] not in WITHOUT_INPUT or mode.value != "negative"
    ],
)
def test_every_answer_is_as_described(path: str, method: str, mode: GenerationMode, described: Any):
    @BOUNDED
    @given(case=described[path][method].as_strategy(generation_mode=mode))
    def check(case: schemathesis.Case) -> None:
        case.call_and_validate()

    check()


@pytest.mark.parametrize(("path", "method"), [pair for pair in OPERATIONS if "{id}" in pair[0]])
def test_every_answer_about_a_stored_sketch_is_as_described(path: str, method: str, described: Any, served: Flask):
    @BOUNDED
    @given(case=described[path][method].as_strategy())
    def check(case: schemathesis.Case) -> None:
        kept = keep(served.test_client())
        case.path_parameters["id"] = kept.id
        case.call_and_validate(headers={"Authorization": f"Bearer {kept.key}"})

    check()

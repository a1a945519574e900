"""The web side: routes, storage, links. It does no physics; `solver` does, in processes of its own.

How the modules lean on one another, from the ground up:

    limits, config, shared_data, problems   what every other module may use
    store                                   sketches and their versions in a database
    solver_process                          the solver, in child processes that can be stopped
    drawings, formulas, typesetting         a handout as PDF, in a process of that sort
    solver_worker, solver_jobs, job_schemas what runs in them; solver_jobs alone imports `solver`
    body, links, headers, static_files      what goes in and out
    bundle, offline                         a sheet in one file that needs no server
    openapi, pages, sketches, solving,
    compare, handout, bank                  the routes, one module for each noun
    assembly                                puts one application together
    options, listening, start               `python3 app`
    bootstrap                               the virtual environment (standard library only)

Importing this package runs nothing and imports nothing heavy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from app.config import Config
    from app.solver_process import SolverProcesses


def create_app(config: Config | None = None, solver: SolverProcesses | None = None) -> Flask:
    """The application, ready to be served: `gunicorn 'app:create_app()'`.

    `config` left out is read from the environment (see `app.config`). `solver` left out makes processes of the
    application's own, started when first needed.
    """
    from app.assembly import assemble
    from app.config import Config

    return assemble(config or Config.from_environment(), solver)

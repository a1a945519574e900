"""Puts one application together: the store, the solver, the routes, the answers to failure, the headers."""

from __future__ import annotations

from flask import Flask, Response
from flask.json.provider import DefaultJSONProvider

from app import bank, compare, handout, openapi, pages, sketches, solving
from app.config import Config
from app.headers import send_headers
from app.limits import BODY_BYTES
from app.links import at_public_address
from app.problems import answer, answer_problems
from app.shared_data import CHECKOUT
from app.solver_process import SolverProcesses
from app.static_files import serve_static_files
from app.store import Store, StoreRefusal


class _InOrder(DefaultJSONProvider):
    """JSON with the members as they were given: the first joint of a sketch is the first."""

    sort_keys = False
    ensure_ascii = False
    compact = True


def assemble(config: Config, solver: SolverProcesses | None) -> Flask:
    """The application that `config` describes; see `app.create_app`."""
    app = Flask("app", static_folder=None, template_folder=str(CHECKOUT / "templates"))
    app.json = _InOrder(app)
    app.jinja_env.policies["json.dumps_kwargs"] = {}  # in a page too, where Jinja would sort the members
    app.config["MAX_CONTENT_LENGTH"] = BODY_BYTES + 1  # so that app.body can tell a body that was cut off here
    app.extensions["store"] = Store(config.database)
    app.extensions["solver"] = solver or SolverProcesses(config.solve_seconds)
    for module in (bank, compare, handout, openapi, pages, sketches, solving):
        app.register_blueprint(module.routes)
    serve_static_files(app)
    answer_problems(app)
    send_headers(app)

    @app.errorhandler(StoreRefusal)
    def refused(error: StoreRefusal) -> Response:
        return answer(sketches.refusal(error))

    if config.public_address:
        app.wsgi_app = at_public_address(app.wsgi_app, config.public_address)  # type: ignore[method-assign, assignment]
    return app

"""The routes of stored sketches: store one, read it and its versions, change it, remove it.

Whoever stores a sketch gets its key, in the fragment of the edit link. Changes take the key (Authorization: Bearer)
and the version they were made to (If-Match), so that two people who edit at once cannot overwrite one another.
"""

from __future__ import annotations

import json
from typing import Any

from flask import Blueprint, Response, current_app, jsonify, request, url_for

from app import body
from app.links import edit_link, qr_svg, view_link
from app.problems import Problem, problem
from app.solving import require_answer, solver
from app.store import SavedFirst, SketchRemoved, SketchUnknown, Store, Stored, StoreRefusal, VersionUnknown

routes = Blueprint("sketches", __name__)


def store() -> Store:
    """The store of the application that answers this request."""
    kept: Store = current_app.extensions["store"]
    return kept


def read_stored(sketch_id: str) -> Stored:
    """The version that the request asks for with ?version=N, else the latest. Raises Problem, StoreRefusal."""
    asked = request.args.get("version")
    if asked is None:
        return store().read(sketch_id)
    if not (asked.isascii() and asked.isdigit() and len(asked) < 10):
        raise problem("query-not-understood", text=asked[:40])
    return store().read(sketch_id, int(asked))


def refusal(error: StoreRefusal) -> Problem:
    """What a refusal of the store is on the web."""
    match error:
        case SketchRemoved():
            return problem("sketch-removed")
        case VersionUnknown(latest=latest):
            return problem("version-unknown", version=request.args.get("version", ""), latest=latest)
        case SavedFirst(current=current):
            return problem("saved-first", current=current, version_now=current, headers={"ETag": f'"{current}"'})
        case SketchUnknown():
            return problem("sketch-unknown", id=str(error)[:40])
        case _:
            raise error


@routes.post("/api/sketches")
def create() -> Response:
    created = store().create(_storable())
    response = jsonify(
        id=created.id,
        version=created.version,
        links={"view": view_link(created.id), "edit": edit_link(created.id, created.key)},
    )
    response.status_code = 201
    response.headers["Location"] = url_for("sketches.read", sketch_id=created.id)
    return _versioned(response, created.version)


@routes.get("/api/sketches/<sketch_id>")
def read(sketch_id: str) -> Response:
    stored = read_stored(sketch_id)
    response = jsonify(
        id=stored.id,
        version=stored.version,
        latest=stored.latest,
        sketch=json.loads(stored.document),
        links={"view": view_link(stored.id)},
    )
    _versioned(response, stored.version).make_conditional(request)
    return response


@routes.get("/api/sketches/<sketch_id>/versions")
def versions(sketch_id: str) -> Response:
    saved = [{"version": each.version, "saved": each.saved_at} for each in store().versions(sketch_id)]
    response = jsonify(id=sketch_id, versions=saved)
    response.headers["Cache-Control"] = "no-cache"
    return response


@routes.put("/api/sketches/<sketch_id>")
def save(sketch_id: str) -> Response:
    expected = _permitted_change(sketch_id)
    version = store().save(sketch_id, expected, _storable())
    return _versioned(jsonify(id=sketch_id, version=version, links={"view": view_link(sketch_id)}), version)


@routes.delete("/api/sketches/<sketch_id>")
def remove(sketch_id: str) -> Response:
    store().remove(sketch_id, _permitted_change(sketch_id))
    return Response(status=204)


@routes.get("/api/sketches/<sketch_id>/qr.svg")
def qr(sketch_id: str) -> Response:
    store().read(sketch_id)
    response = Response(qr_svg(view_link(sketch_id)), mimetype="image/svg+xml")
    response.headers["Cache-Control"] = "no-cache"
    return response


def _permitted_change(sketch_id: str) -> int:
    """The version that the change was made to, once the key fits. Raises Problem, StoreRefusal."""
    given = request.authorization
    if given is None or given.type != "bearer" or not given.token:
        raise problem("key-missing", headers={"WWW-Authenticate": 'Bearer realm="sketch"'})
    if not store().key_fits(sketch_id, given.token):
        raise problem("key-wrong")
    # "*", any version at all, is what this header is here to prevent.
    if not request.if_match or request.if_match.star_tag:
        raise problem("version-needed")
    current = store().read(sketch_id).latest
    if not request.if_match.contains(str(current)):
        raise SavedFirst(current)
    return current


def _storable() -> str:
    """The sketch that was sent, as JSON text. Raises Problem where it is not one; unfinished ones are."""
    sketch: Any = body.json_body()
    text = body.text(sketch)
    require_answer(solver().check(text.encode()), "This sketch cannot be stored")
    return text


def _versioned(response: Response, version: int) -> Response:
    response.set_etag(str(version))
    response.headers["Cache-Control"] = "no-cache"
    return response

"""A browser may keep the scripts for good, because their address changes when one of them does."""

from __future__ import annotations

import gzip
import os
import re
from pathlib import Path

from flask import url_for
from flask.testing import FlaskClient

from app.static_files import STATIC, is_as_marked, scripts, static_mark


def test_a_file_under_its_present_address_may_be_kept_for_good(client: FlaskClient):
    with client.application.test_request_context():
        address = url_for("static", filename="problem.css")
    with client.get(address) as response:
        assert response.headers["Cache-Control"] == "public, max-age=31536000, immutable"
        assert response.data == (STATIC / "problem.css").read_bytes()


def test_a_file_under_a_former_address_is_served_as_it_is_now_and_not_kept(client: FlaskClient):
    with client.get("/static/0123456789ab/problem.css") as response:
        assert response.status_code == 200
        assert response.headers["Cache-Control"] == "no-cache"


def test_scripts_are_sent_as_scripts(client: FlaskClient):
    for script in STATIC.rglob("*.js"):
        with client.get(f"/static/x/{script.relative_to(STATIC).as_posix()}") as response:
            assert (response.status_code, response.mimetype) == (200, "text/javascript")


def test_a_browser_that_takes_gzip_is_sent_the_same_content_in_less(client: FlaskClient):
    with client.get("/static/x/style.css", headers={"Accept-Encoding": "gzip"}) as small:
        assert small.headers["Content-Encoding"] == "gzip"
        assert small.headers["Vary"] == "Accept-Encoding"
        assert gzip.decompress(small.data) == (STATIC / "style.css").read_bytes()
        assert len(small.data) < len(gzip.decompress(small.data)) / 2
    with client.get("/static/x/style.css") as whole:
        assert "Content-Encoding" not in whole.headers


def loaded_later() -> set[str]:
    """The scripts that are imported only when they are first needed, and what they import."""
    found: set[str] = set()
    for script in STATIC.rglob("*.js"):
        code = re.sub(r"/\*.*?\*/|^\s*//.*?$", "", script.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
        for name in re.findall(r'\bimport\("(\.\.?/[^"]+\.js)"\)', code):
            found.update(scripts((script.parent / name).resolve().relative_to(STATIC).as_posix()))
    return found


def test_a_page_asks_for_every_script_that_it_needs_at_once(client: FlaskClient):
    later = loaded_later()
    assert "builds/form.js" in later
    pages = {address: client.get(address).text for address in ("/", "/compare", "/handout", "/bank")}
    with client.application.test_request_context():
        for script in STATIC.rglob("*.js"):
            name = script.relative_to(STATIC).as_posix()
            if name.startswith("offline/"):
                continue  # these travel inside the file for a memory stick
            asked = f'<link rel="modulepreload" href="{url_for("static", filename=name)}">'
            assert any(asked in page for page in pages.values()) or name in later, name
            assert name != "builds/form.js" or asked not in pages["/"]
            assert (name == "compare/main.js") <= (asked not in pages["/"]), name


def test_nothing_outside_the_folder_can_be_had(client: FlaskClient):
    for name in ("../pyproject.toml", "..%2fpyproject.toml", "%2e%2e/pyproject.toml", "inner/../../pyproject.toml"):
        assert client.get(f"/static/x/{name}").status_code == 404


def test_the_mark_changes_when_a_file_is_written_added_or_removed(tmp_path: Path):
    (tmp_path / "inner").mkdir()
    script = tmp_path / "inner" / "one.js"
    script.write_text("1")
    os.utime(script, (1, 1))
    marks = [static_mark(tmp_path)]
    os.utime(script, (2, 2))
    marks.append(static_mark(tmp_path))
    (tmp_path / "two.js").write_text("2")
    marks.append(static_mark(tmp_path))
    script.unlink()
    marks.append(static_mark(tmp_path))
    assert len(set(marks)) == len(marks)


def test_a_file_is_as_marked_until_it_is_written_to(tmp_path: Path):
    for name in ("one.js", "two.js"):
        (tmp_path / name).write_text("1")
        os.utime(tmp_path / name, (1, 1))
    former = static_mark(tmp_path)
    assert is_as_marked("one.js", former, tmp_path)
    os.utime(tmp_path / "one.js", (2, 2))
    present = static_mark(tmp_path)
    assert not is_as_marked("one.js", former, tmp_path)
    assert is_as_marked("two.js", former, tmp_path)
    assert is_as_marked("one.js", present, tmp_path)


def test_what_a_file_was_under_a_mark_that_nobody_asked_with_in_time_is_not_known(tmp_path: Path):
    (tmp_path / "one.js").write_text("1")
    former = static_mark(tmp_path)
    (tmp_path / "two.js").write_text("2")
    assert not is_as_marked("one.js", former, tmp_path)


def test_a_page_is_sent_small_as_well(client: FlaskClient):
    with client.get("/", headers={"Accept-Encoding": "gzip"}) as small, client.get("/") as plain:
        assert small.headers["Content-Encoding"] == "gzip"
        assert "Accept-Encoding" in small.headers["Vary"]
        assert "Content-Encoding" not in plain.headers
        assert gzip.decompress(small.data) == plain.data
        assert len(small.data) < len(plain.data) / 2

"""The ledger as CSV, and the file for a memory stick: headers, refusals, and what the file may do."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.bundle import Unbundled, bundle
from app.offline import ENTRY
from app.static_files import STATIC
from tests.app.calls import LANTERN, assert_problem


def offline(client: FlaskClient, sketch: dict[str, Any] = LANTERN, **more: object) -> str:
    response = client.post("/api/offline.html", json={"sketch": sketch, **more})
    assert response.status_code == 200, response.text
    assert response.mimetype == "text/html"
    assert response.headers["Content-Disposition"].startswith("attachment")
    return response.text


def matter(page: str) -> dict[str, Any]:
    found = re.search(r'<script type="application/json" id="matter">(.*?)</script>', page, re.DOTALL)
    assert found
    document: dict[str, Any] = json.loads(found[1])
    return document


def test_the_ledger_is_a_file_of_its_own(client: FlaskClient) -> None:
    response = client.post("/api/ledger.csv", json=LANTERN)
    assert response.mimetype == "text/csv"
    assert response.headers["Content-Disposition"] == "attachment; filename=ledger.csv"
    assert response.headers["Cache-Control"] == "no-store"
    assert "C1,capacitor,30 µF,3e-05,3/100000 F,3.00 V,3.0,3 V" in response.data.decode("utf-8-sig")


def test_what_cannot_be_solved_has_neither(client: FlaskClient) -> None:
    wrong = LANTERN | {"parts": [{**LANTERN["parts"][0], "value": "9 kg"}]}
    assert_problem(client.post("/api/ledger.csv", json=wrong), 422, "value-not-understood")
    assert_problem(client.post("/api/offline.html", json={"sketch": wrong}), 422, "value-not-understood")
    for asked in (wrong, {"sketch": LANTERN, "zig": True}, {"sketch": LANTERN, "zigzag": 1}, []):
        assert_problem(client.post("/api/offline.html", json=asked), 422, "request-not-understood")


def test_symbols_go_to_the_lane_of_long_work_and_come_back(client: FlaskClient) -> None:
    parts = [part | {"value": {"E1": "V", "C1": "C", "C2": "2C"}[part["name"]]} for part in LANTERN["parts"]]
    response = client.post("/api/ledger.csv", json=LANTERN | {"parts": parts})
    assert "2CV/3" in response.data.decode("utf-8-sig")
    assert matter(offline(client, LANTERN | {"parts": parts}))["solution"]["steps"]["steps"]


def test_the_file_has_the_sketch_its_answers_and_every_way_of_the_worked_solution(client: FlaskClient) -> None:
    found = matter(offline(client, LANTERN | {"covered": ["C1.voltage"]}, zigzag=True))
    assert found["sketch"]["covered"] == ["C1.voltage"]
    assert found["solution"]["parts"]["C1"]["voltage"]["text"] == "3.00 V"
    assert found["solution"]["tiles"]["pictures"]
    ways = [each["way"] for each in found["solution"]["steps"]["ways"]]
    assert list(found["ways"]) == ways
    assert [found["ways"][way]["way"] for way in ways] == ways
    assert found["zigzag"] is True


def test_the_file_runs_its_own_script_and_asks_nobody(client: FlaskClient) -> None:
    page = offline(client)
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)
    assert policy
    rules = dict(rule.strip().split(" ", 1) for rule in html.unescape(policy[1]).split(";"))
    assert rules["default-src"] == "'none'"
    assert "connect-src" not in rules

    def hashed(text: str) -> str:
        return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"

    scripts = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    assert rules["script-src"] == " ".join(hashed(script) for script in scripts)
    assert rules["style-src"] == " ".join(
        hashed(style) for style in re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    )
    assert re.findall(r'(?:src|href)="(?!data:,)', page) == []
    assert "url(" not in page.partition("<body")[0]


def test_a_title_that_would_end_the_script_does_not(client: FlaskClient) -> None:
    title = "</script><script>alert(1)</script> <!-- & “more”"
    page = offline(client, LANTERN | {"title": title})
    assert "<script>alert(1)" not in page
    assert matter(page)["sketch"]["title"] == title
    assert f"<title>{html.escape(title)}</title>" in page


def test_all_modules_that_the_file_needs_fit_into_one_script() -> None:
    script = bundle(ENTRY, STATIC)
    assert not re.search(r"^\s*(?:import|export)\b", script, re.MULTILINE)
    assert "</script" not in script.lower()


@pytest.mark.parametrize(
    ("modules", "why"),
    [
        (
            {
                "a.js": 'import { b } from "./b.js";\nexport const a = 1;\n',
                "b.js": 'import { a } from "./a.js";\nexport const b = 2;\n',
            },
            "need one another",
        ),
        ({"a.js": "export default 7;\n"}, "export default"),
        ({"a.js": 'import * as b from "./b.js";\n', "b.js": "export const b = 2;\n"}, "import"),
        ({"a.js": "export let a = 1;\n"}, "export let"),
        ({"a.js": 'const { b } = await import("./b.js");\n'}, "await import"),
        ({"a.js": 'const a = "</script>";\n'}, "end a script"),
    ],
)
def test_modules_that_would_not_work_in_one_script_are_refused(
    tmp_path: Path, modules: dict[str, str], why: str
) -> None:
    for name, text in modules.items():
        (tmp_path / name).write_text(text)
    with pytest.raises(Unbundled, match=why):
        bundle("a.js", tmp_path)


def test_a_bundle_has_each_module_once_before_those_that_need_it(tmp_path: Path) -> None:
    (tmp_path / "a.js").write_text(
        'import { b } from "./b.js";\nimport { c as d } from "./c.js";\nimport "./c.js";\nexport const a = b + d;\n'
    )
    (tmp_path / "b.js").write_text('import { c } from "./c.js";\nexport const b = c;\n')
    (tmp_path / "c.js").write_text("export const c = 1;\nexport async function other() {}\nexport class Third {}\n")
    script = bundle("a.js", tmp_path)
    assert [script.count(f'$modules["{name}.js"] = ') for name in "abc"] == [1, 1, 1]
    assert (
        script.index('$modules["c.js"] = ') < script.index('$modules["b.js"] = ') < script.index('$modules["a.js"] = ')
    )
    assert "const { c: d } = $modules" in script
    assert "return { c, other, Third };" in script

"""Rules of the house that a reader would otherwise have to check by eye."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parent.parent
FOLDERS = ("app", "shared", "solver", "static", "templates", "tests")
LONGEST = 400
# Each with the reason why it is one thing all the same.
LONGER = {
    "shared/openapi.json": "one document describes the whole web interface",
    "tests/reference/cases.json": "a table of published problems",
}


def files(*suffixes: str) -> Iterator[Path]:
    """The project's own text files with one of these endings."""
    candidates = [path for folder in FOLDERS for path in (CHECKOUT / folder).rglob("*")] + list(CHECKOUT.glob("*.*"))
    for path in sorted(candidates):
        if path.suffix in suffixes and not any(part.startswith((".", "__pycache__")) for part in path.parts[1:]):
            yield path


def name_of(path: Path) -> str:
    return path.relative_to(CHECKOUT).as_posix()


def imports(path: Path) -> set[str]:
    """The top-level packages that a module imports, anywhere in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found


def test_no_file_is_longer_than_a_few_screens():
    lengths = {
        name_of(path): len(path.read_text(encoding="utf-8").splitlines())
        for path in files(".py", ".js", ".css", ".html", ".json", ".md", ".toml")
    }
    assert len(lengths) > 50
    assert {name for name, length in lengths.items() if length > LONGEST} == set(LONGER)


def test_the_solver_knows_no_web():
    for path in (CHECKOUT / "solver").rglob("*.py"):
        assert not imports(path) & {"app", "flask", "werkzeug", "sqlalchemy"}, name_of(path)


def test_the_web_side_meets_the_solver_in_one_module():
    users = {name_of(path) for path in (CHECKOUT / "app").rglob("*.py") if "solver" in imports(path)}
    assert users == {"app/solver_jobs.py"}


@pytest.mark.parametrize("folder", ["app", "solver"])
def test_no_text_is_ever_evaluated(folder: str):
    for path in (CHECKOUT / folder).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                called = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
                assert called not in ("eval", "exec", "sympify", "parse_expr", "parse_expression"), name_of(path)


def test_scripts_make_no_markup_from_text_and_run_none():
    forbidden = re.compile(
        r"innerHTML|outerHTML\s*=|insertAdjacentHTML|document\.write|\beval\(|new Function|setAttribute\(\"on"
    )
    for path in files(".js"):
        assert not forbidden.search(path.read_text(encoding="utf-8")), name_of(path)


def test_the_page_asks_no_other_host_for_anything():
    named = re.compile(r"""https?://[^\s"'`)<]+""")
    for path in files(".js", ".css", ".html"):
        if name_of(path).startswith(("static/", "templates/")):
            addresses = set(named.findall(path.read_text(encoding="utf-8")))
            assert {address for address in addresses if not address.startswith("http://www.w3.org/")} == set(), name_of(
                path
            )


def test_every_module_says_what_it_is_for():
    for path in files(".py"):
        assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), name_of(path)

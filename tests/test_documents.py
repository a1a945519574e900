"""What README.md and DEVELOPERS.md say is so, and every module says what it is for."""

from __future__ import annotations

import ast
import doctest
import importlib
import json
import pkgutil
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import jsonschema_rs
import pytest

import solver
from solver import solve

CHECKOUT = Path(__file__).resolve().parent.parent
README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
PAGE_FILES = [
    path
    for folder in ("static", "templates")
    for path in sorted((CHECKOUT / folder).rglob("*"))
    if path.suffix in {".js", ".css", ".html", ".svg"}
]
PYTHON_FILES = [path for folder in ("app", "solver", "tests") for path in sorted((CHECKOUT / folder).rglob("*.py"))]


def shared(name: str) -> dict:
    return json.loads((CHECKOUT / "shared" / name).read_text(encoding="utf-8"))


SAMPLES = shared("samples.json")["samples"]


def named(path: Path) -> str:
    return path.relative_to(CHECKOUT).as_posix()


def lines_with(pattern: str, paths: list[Path]) -> list[str]:
    """Where a pattern stands, as "file:line: what"."""
    return [
        f"{named(path)}:{number}: {line.strip()[:80]}"
        for path in paths
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if re.search(pattern, line)
    ]


# README and DEVELOPERS


@pytest.mark.parametrize("command", ["app", "tests"])
def test_the_two_commands_are_there(command):
    assert f"\n    python3 {command}\n" in README
    assert (CHECKOUT / command / "__main__.py").is_file()


def test_every_option_in_the_readme_is_one_of_the_command():
    told = subprocess.check_output([sys.executable, str(CHECKOUT / "app"), "--help"], text=True)
    options = set(re.findall(r"--[a-z][a-z-]+", README))
    assert {"--host", "--data", "--in-memory"} <= options
    assert options <= set(re.findall(r"--[a-z][a-z-]+", told))


def test_the_readme_has_every_setting_of_the_environment_and_no_other():
    config = (CHECKOUT / "app" / "config.py").read_text(encoding="utf-8")
    variable = r"\bFARANDOLE_[A-Z_]+\b"
    assert set(re.findall(variable, README)) == set(re.findall(variable, config))


def test_every_setting_for_developers_is_read_somewhere():
    code = "".join(path.read_text(encoding="utf-8") for path in PYTHON_FILES if path != Path(__file__))
    variables = set(re.findall(r"\bFARANDOLE_[A-Z_]+\b", DEVELOPERS))
    assert [variable for variable in variables if f'"{variable}"' not in code] == []


def test_what_a_real_host_installs_and_serves_is_there():
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = set(re.findall(r"\.\[(\w+)\]", README + DEVELOPERS))
    assert extras == {"postgresql", "test"}
    assert extras <= set(project["optional-dependencies"])
    module, name = re.search(r"gunicorn '(\w+):(\w+)\(\)'", README).groups()
    assert callable(getattr(importlib.import_module(module), name))


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_file_a_document_names_is_there(document):
    text = (CHECKOUT / document).read_text(encoding="utf-8")
    links = {link for link in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in link}
    folders = set(re.findall(r"`((?:app|solver|static|shared|templates|tests)/[\w/]*)`", text))
    assert links | folders
    assert [path for path in sorted(links | folders) if not (CHECKOUT / path).exists()] == []
    # A file may be named by the end of its path, where the folder is clear.
    there = [f"/{named(path)}" for path in (*PYTHON_FILES, *PAGE_FILES, *(CHECKOUT / "shared").iterdir())]
    files = sorted(set(re.findall(r"`([\w/]+\.(?:py|js|json|html|css))`", text)))
    assert [file for file in files if not any(path.endswith(f"/{file}") for path in there)] == []


def test_the_python_in_the_readme_runs_as_it_stands():
    blocks = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    assert len(blocks) == 1
    exec(compile(blocks[0], "README.md", "exec"), {})


def test_every_kind_of_part_is_in_the_developers_page():
    assert [kind for kind in shared("kinds.json")["kinds"] if not re.search(rf"\b{kind}\b", DEVELOPERS)] == []


@pytest.mark.parametrize(
    ("word", "group"), [("Errors", "errors"), ("Notes", "notes"), ("Banks", "bank"), ("Web", "web")]
)
def test_the_developers_page_lists_every_code_of_an_error_or_note_and_no_other(word, group):
    listed = re.search(rf"^{word}: (`.*?)\.$", DEVELOPERS, re.DOTALL | re.MULTILINE)
    assert sorted(re.findall(r"`([\w-]+)`", listed.group(1))) == sorted(shared("messages.json")[group])


# samples


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample["id"])
def test_a_sample_is_a_sketch_and_solves(sample):
    jsonschema_rs.validator_for(shared("sketch.schema.json")).validate(sample["sketch"])
    solution = solve(sample["sketch"])
    assert solution.method == "exact"
    assert {check.sum.exact for check in solution.checks} == {0}


def test_samples_have_ids_of_their_own_and_the_first_one_is_there():
    ids = [sample["id"] for sample in SAMPLES]
    assert len(set(ids)) == len(ids) >= 7
    assert shared("samples.json")["first"] in ids


# modules


def test_every_module_of_python_says_what_it_is_for():
    homes = [CHECKOUT / "app", CHECKOUT / "solver"]
    packages = [
        path
        for path in PYTHON_FILES
        if path.name.startswith("test_") or any(path.is_relative_to(home) for home in homes)
    ]
    silent = [path for path in packages if not ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))]
    assert [named(path) for path in silent] == []


def test_every_module_of_the_page_begins_with_what_it_is_for():
    modules = sorted((CHECKOUT / "static").rglob("*.js"))
    assert len(modules) > 20
    assert [named(path) for path in modules if not re.match(r"// \S.{20}", path.read_text(encoding="utf-8"))] == []


def test_solver_imports_nothing_of_the_web_side():
    solvers = sorted((CHECKOUT / "solver").rglob("*.py"))
    assert lines_with(r"^\s*(from|import) (app|flask|werkzeug|waitress|sqlalchemy)\b", solvers) == []


@pytest.mark.parametrize("name", solver.__all__)
def test_a_public_name_of_solver_says_what_it_is_and_shows_it(name):
    public = getattr(solver, name)
    assert doctest.DocTestFinder(recurse=False).find(public, name)[0].examples != []


@pytest.mark.parametrize("name", [module.name for module in pkgutil.walk_packages(solver.__path__, "solver.")])
def test_the_examples_in_a_module_of_solver_come_out_as_written(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


# the page and the machine


def test_text_never_becomes_markup_or_code_in_the_page():
    assert lines_with(r"innerHTML|outerHTML\s*\+?=[^=]|insertAdjacentHTML|document\.write|srcdoc", PAGE_FILES) == []
    assert lines_with(r"\beval\(|new Function\b|javascript:|set(Timeout|Interval)\(\s*[\"'`]", PAGE_FILES) == []
    assert lines_with(r"\|\s*safe\b|Markup\(", PAGE_FILES) == []


def test_no_markup_carries_handlers_styles_or_scripts_of_its_own():
    # What goes on a memory stick, or to the printer's own program, has to have all of it in one file.
    whole = {"offline.html", "paper.html", "bank_paper.html"}
    templates = [path for path in PAGE_FILES if path.suffix in {".html", ".svg"} and path.name not in whole]
    assert lines_with(r"""\s(on[a-z]+|style)\s*=""", templates) == []
    assert lines_with(r"<style|<script(?![^>]*(\bsrc=|application/json))", templates) == []


def test_the_page_names_no_other_host():
    """Save the namespaces of XML, which are names and not addresses."""
    names = r"www\.w3\.org/(2000/svg|1999/x?html|1999/xlink|1998/Math/MathML)\b"
    assert lines_with(rf"(https?:|[\"'(=]\s*)//(?!{names})\w", PAGE_FILES) == []


def test_nothing_names_a_folder_of_somebodys_machine():
    documents = [*CHECKOUT.glob("*.md"), CHECKOUT / "pyproject.toml", *(CHECKOUT / "shared").glob("*.json")]
    everything = [*documents, *PAGE_FILES, *PYTHON_FILES]
    assert lines_with(r"(?<![\w.:/}])/(home|root|Users|work|tmp|private|mnt|media)/\w", everything) == []
    assert lines_with(r"[A-Z]:\\(Users|Documents)\b", everything) == []

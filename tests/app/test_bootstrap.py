"""The first start makes an environment, later ones use it, and where none can be made a sentence says why."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from app import bootstrap
from tests.conftest import CHECKOUT

BEFORE_THE_VERSION_IS_CHECKED = (
    "app/__main__.py",
    "app/__init__.py",
    "app/bootstrap.py",
    "tests/__main__.py",
    "tests/__init__.py",
)


@pytest.mark.parametrize("name", BEFORE_THE_VERSION_IS_CHECKED)
def test_an_older_python_can_read_far_enough_to_say_that_it_is_too_old(name: str):
    ast.parse((CHECKOUT / name).read_text(encoding="utf-8"), feature_version=(3, 7))


def test_an_older_python_is_told_what_is_needed(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(sys, "version_info", (3, 10, 4, "final", 0))
    with pytest.raises(SystemExit, match=r"Farandole needs Python 3\.11 or newer, and this is Python 3\.10 "):
        bootstrap.require_python()


@pytest.mark.parametrize("module", ["venv", "ensurepip"])
def test_a_python_without_venv_or_pip_is_told_what_to_install(
    module: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    find = bootstrap.importlib.util.find_spec
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None if name == module else find(name))
    with pytest.raises(SystemExit, match="sudo apt install python3-venv"):
        bootstrap._make(tmp_path / "environment")


def test_everything_before_the_environment_is_there_needs_the_standard_library_alone():
    program = (
        "import sys; sys.path[0] = sys.argv[1]\n"
        "import app.bootstrap, app.options\n"
        "app.bootstrap.require_python(); app.options.read_options([])\n"
        "print('\\n'.join(sorted({name.partition('.')[0] for name in sys.modules} - set(sys.stdlib_module_names))))"
    )
    isolated = [sys.executable, "-S", "-c", program, str(CHECKOUT)]
    names = subprocess.run(isolated, capture_output=True, text=True, check=True).stdout.split()
    assert set(names) <= {"app", "__main__", "__mp_main__"}


def test_the_environment_is_in_the_checkout_or_in_the_users_folder_where_that_cannot_be_written(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    assert bootstrap.environment_folder() == CHECKOUT / ".venv"
    monkeypatch.setattr(bootstrap, "_checkout_is_writable", lambda: False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert bootstrap.environment_folder() == tmp_path / "farandole" / "environment"
    wanted = bootstrap._what_to_install(["test"])
    assert "--editable" not in wanted
    assert {name.partition(">")[0] for name in wanted} >= {"flask", "sympy", "waitress", "pytest"}


def test_the_environment_is_installed_into_again_when_pyproject_changes(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    now = bootstrap._fingerprint()
    assert bootstrap._fingerprint() == now
    monkeypatch.setattr(bootstrap, "CHECKOUT", tmp_path)
    (tmp_path / "pyproject.toml").write_text("one")
    one = bootstrap._fingerprint()
    (tmp_path / "pyproject.toml").write_text("two")
    assert len({now, one, bootstrap._fingerprint()}) == 3


def test_importing_the_package_loads_nothing_heavy():
    program = (
        "import sys, app; print(*(name for name in ('flask', 'sqlalchemy', 'sympy', 'solver') if name in sys.modules))"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=CHECKOUT
    ).stdout
    assert loaded.split() == []


def test_the_web_server_itself_never_loads_the_mathematics():
    program = (
        "import sys, app\n"
        "from app.config import IN_MEMORY, Config\n"
        "client = app.create_app(Config(IN_MEMORY)).test_client()\n"
        "client.get('/'); client.post('/api/solve', json={'joints': {}, 'parts': []})\n"
        "heavy = ('solver', 'sympy', 'scipy', 'networkx', 'pint', 'flint', 'numpy')\n"
        "print(*(name for name in heavy if name in sys.modules))"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=CHECKOUT
    ).stdout
    assert loaded.split() == []

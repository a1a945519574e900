"""The virtual environment that `python3 app` and `python3 tests` run in, made on the first start.

Standard library only. It also has to be readable by older Pythons, so that those get a sentence and no traceback.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
OLDEST_PYTHON = (3, 11)
NEEDED_BY_EXTRA = {"test": "pytest-playwright", "postgresql": "psycopg"}
SHOWN_OF_PIP = ("Collecting", "Downloading", "Building", "Installing", "Successfully")


def say(line: str) -> None:
    print(line, flush=True)


def require_python() -> None:
    """End with a sentence where this Python is too old."""
    if sys.version_info < OLDEST_PYTHON:
        have, need = (".".join(str(number) for number in v[:2]) for v in (sys.version_info, OLDEST_PYTHON))
        sys.exit(f"Farandole needs Python {need} or newer, and this is Python {have} ({sys.executable}).")


def enter(program: str, extras: list[str]) -> None:
    """Return once the running Python has everything that pyproject.toml names, with the extras.

    `program` is the folder that was started; it is started again inside the environment where needed. A Python into
    which the project was installed by hand (`pip install -e .`) is used as it is.
    """
    folder = environment_folder()
    inside = Path(sys.prefix).resolve() == folder.resolve()
    if not inside and _project_is_installed(extras):
        return
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        _make(folder)
    if not inside:
        _start_again(python, program)
    wanted = _fingerprint()
    stamps = [folder / ("farandole-" + name) for name in ["app", *extras]]
    if all(stamp.exists() and stamp.read_text() == wanted for stamp in stamps):
        return
    if importlib.util.find_spec("pip") is None:
        # What a new minor version of the system's Python, or an interrupted first start, leaves behind.
        _make(folder, clear=True)
    _install(extras)
    for stamp in stamps:
        stamp.write_text(wanted)
    _start_again(python, program)


def environment_folder() -> Path:
    """`.venv` in the checkout; in the user's data folder where the checkout cannot be written to."""
    return CHECKOUT / ".venv" if _checkout_is_writable() else _user_data_folder() / "environment"


def _checkout_is_writable() -> bool:
    return os.access(CHECKOUT, os.W_OK)


def _user_data_folder() -> Path:
    """As platformdirs has it, which is not installed yet when this is asked."""
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "farandole"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "farandole"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "farandole"


def _fingerprint() -> str:
    """Changes when the environment has to be installed into again."""
    facts = [sys.version, str(CHECKOUT), (CHECKOUT / "pyproject.toml").read_text(encoding="utf-8")]
    return hashlib.sha256("\n".join(facts).encode()).hexdigest()


def _project_is_installed(extras: list[str]) -> bool:
    """Whether pip has installed the project here; what it left in the checkout itself (an egg-info) proves nothing."""
    from importlib.metadata import distributions

    if not any(found.read_text("direct_url.json") for found in distributions(name="farandole")):
        return False
    return all(any(distributions(name=NEEDED_BY_EXTRA[extra])) for extra in extras)


def _make(folder: Path, clear: bool = False) -> None:
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        sys.exit(
            "This Python cannot make a virtual environment, because its venv and pip are not installed.\n"
            "On Debian and Ubuntu: sudo apt install python3-venv. Then start again."
        )
    import venv

    say(f"First start: making a virtual environment in {folder} …")
    try:
        venv.EnvBuilder(with_pip=True, clear=clear, symlinks=os.name != "nt").create(folder)
    except (subprocess.CalledProcessError, OSError) as problem:
        sys.exit(f"The virtual environment could not be made: {problem}")


def _install(extras: list[str]) -> None:
    say("Installing what pyproject.toml names (a minute or two, this once) …")
    command = [sys.executable, "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    command += _what_to_install(extras)
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8", errors="replace"
    ) as pip:
        told = []
        for line in pip.stdout or ():
            told.append(line)
            if line.lstrip().startswith(SHOWN_OF_PIP):
                say("  " + line.strip()[:100])
    if pip.returncode:
        sys.stderr.writelines(told[-25:])
        sys.exit("Installing failed; pip's last lines are above. It needs the network this once. Then start again.")


def _what_to_install(extras: list[str]) -> list[str]:
    if _checkout_is_writable():
        return ["--editable", str(CHECKOUT) + (f"[{','.join(extras)}]" if extras else "")]
    # An editable install writes into the checkout; from a checkout that cannot be written to, the packages do.
    import tomllib

    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [*project["dependencies"], *(p for extra in extras for p in project["optional-dependencies"][extra])]


def _start_again(python: Path, program: str) -> None:
    command = [str(python), str(CHECKOUT / program), *sys.argv[1:]]
    sys.stdout.flush()
    if os.name == "nt":  # there, exec would give the terminal back while the program still runs
        sys.exit(subprocess.call(command))
    os.execv(command[0], command)

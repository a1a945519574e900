"""A file fits on a few screens: 400 lines at most, data left out."""

from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
FOLDERS = ("app", "solver", "static", "templates", "tests")
WRITTEN = {".py", ".js", ".css", ".html", ".md"}
MOST = 400
# Path → the reason why it may be longer. Keep it short, better empty.
LONGER: dict[str, str] = {}


def long_files() -> set[str]:
    written = [
        *CHECKOUT.glob("*.md"),
        *(path for folder in FOLDERS for path in (CHECKOUT / folder).rglob("*") if path.suffix in WRITTEN),
    ]
    return {
        path.relative_to(CHECKOUT).as_posix()
        for path in written
        if len(path.read_text(encoding="utf-8").splitlines()) > MOST
    }


def test_no_file_is_longer_than_400_lines_but_for_those_with_a_reason():
    assert long_files() == set(LONGER)

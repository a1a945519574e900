"""`python3 tests`: makes itself an environment, finds a browser, then style, types and every test.

Options go on to pytest: `python3 tests -k drawing`. `python3 tests --benchmarks` runs the benchmarks instead.
"""

import os
import subprocess
import sys

CHECKOUT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
CHECKS = (("ruff", "check"), ("ruff", "format", "--check"), ("mypy",))


def main(arguments: list) -> None:
    """Run the checks, then become pytest; its closing line is the last one printed."""
    from tests import chromium

    try:
        browser = chromium.find() or chromium.obtain()
    except chromium.NoBrowser as problem:
        sys.exit(str(problem))
    print(f"Browser: {browser}", flush=True)
    os.environ[chromium.VARIABLE] = str(browser)
    os.chdir(CHECKOUT)
    for check in CHECKS:
        print(f"{' '.join(check)}:", flush=True)
        code = subprocess.call([sys.executable, "-m", *check])
        if code:
            sys.exit(code)
    if "--benchmarks" in arguments:
        arguments = ["tests/benchmarks", *(argument for argument in arguments if argument != "--benchmarks")]
    command = [sys.executable, "-m", "pytest", *arguments]
    if os.name == "nt":
        sys.exit(subprocess.call(command))
    os.execv(sys.executable, command)


if __name__ == "__main__":
    # A folder that is run as a program stands first on the path; the checkout has to.
    sys.path[0] = CHECKOUT
    from app import bootstrap

    bootstrap.require_python()
    bootstrap.enter("tests", ["test"])
    main(sys.argv[1:])

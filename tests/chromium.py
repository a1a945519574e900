"""A Chromium or Chrome for the tests: the one that is there, else Playwright's own, else the system's package."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

VARIABLE = "FARANDOLE_BROWSER"
# The first draws no windows of its own, which makes the tests several times as quick.
NAMES = (
    "chromium-headless-shell",
    "chromium",
    "google-chrome",
    "google-chrome-stable",
    "chromium-browser",
    "chrome",
    "msedge",
)
PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "C:/Program Files/Google/Chrome/Application/chrome.exe",
    "C:/Program Files (x86)/Google/Chrome/Application/chrome.exe",
    "/snap/bin/chromium",
)


class NoBrowser(Exception):
    """No browser is there and none could be had; the message says what to install."""


def find() -> Path | None:
    """A browser that is there and starts, or None. FARANDOLE_BROWSER names one; no other is then looked for."""
    if named := os.environ.get(VARIABLE):
        if not starts(Path(named)):
            raise NoBrowser(f"{VARIABLE} names {named}, which is no browser that starts.")
        return Path(named)
    found = [Path(path) for path in (*map(shutil.which, NAMES), *PLACES) if path]
    return next((path for path in found if starts(path)), None) or _of_playwright()


def obtain() -> Path:
    """Install a browser and return where it is. Raises NoBrowser."""
    print("No Chromium or Chrome is here: asking Playwright for its own …", flush=True)
    if subprocess.call([sys.executable, "-m", "playwright", "install", "chromium"]) == 0 and (own := _of_playwright()):
        return own
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        print("That one does not start here: installing the system's …", flush=True)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.call(["apt-get", "update", "-q"], env=quiet)
        for package in ("chromium-headless-shell", "chromium"):
            subprocess.call(["apt-get", "install", "-q", "-y", "--no-install-recommends", package], env=quiet)
            if (path := shutil.which(package)) and starts(Path(path)):
                return Path(path)
    raise NoBrowser(
        "The tests need a browser, and none could be found or installed.\n"
        "Install Chromium or Google Chrome (Debian: sudo apt install chromium), or run\n"
        f"  {sys.executable} -m playwright install --with-deps chromium\n"
        f"or name one that is there in {VARIABLE}. Then run the tests again."
    )


def starts(path: Path) -> bool:
    """Whether this is a program that answers as a browser: some packages are only a hint on how to get one."""
    if not path.is_file():
        return False
    if os.name == "nt":  # there, asking for the version opens a window
        return True
    try:
        asked = subprocess.run([path, "--version"], capture_output=True, timeout=60, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return False
    return asked.returncode == 0 and b"Chrom" in asked.stdout + asked.stderr


def _of_playwright() -> Path | None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        path = Path(playwright.chromium.executable_path)
    return path if starts(path) else None

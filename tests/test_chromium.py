"""The tests look for a browser where there may be one, and where none can be had they fail with what to do about it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests import chromium

pytestmark = pytest.mark.skipif(os.name == "nt", reason="the stand-ins are shell scripts")


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine whose only programs are in the folder that is returned, without a browser of Playwright's."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv(chromium.VARIABLE, raising=False)
    monkeypatch.setattr(chromium, "PLACES", ())
    monkeypatch.setattr(chromium, "_of_playwright", lambda: None)
    return tmp_path


def program(path: Path, script: str) -> Path:
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(0o755)
    return path


def test_a_browser_on_the_path_is_taken(machine: Path):
    assert chromium.find() is None
    browser = program(machine / "chromium-browser", "echo Chromium 130.0")
    assert chromium.find() == browser


def test_a_package_that_only_tells_how_to_get_a_browser_is_not_taken(machine: Path):
    program(machine / "chromium", "echo 'Command requires the chromium snap'; exit 1")
    program(machine / "google-chrome", "echo something else")
    assert chromium.find() is None


def test_a_browser_that_is_named_is_the_one(machine: Path, monkeypatch: pytest.MonkeyPatch):
    program(machine / "chromium", "echo Chromium 130.0")
    named = program(machine / "my-own", "echo Google Chrome 131.0")
    monkeypatch.setenv(chromium.VARIABLE, str(named))
    assert chromium.find() == named
    monkeypatch.setenv(chromium.VARIABLE, str(machine / "nothing"))
    with pytest.raises(chromium.NoBrowser, match=r"names .*nothing, which is no browser that starts"):
        chromium.find()


@pytest.mark.parametrize(("user", "offered"), [(0, "chromium-headless-shell"), (0, "chromium"), (1000, "chromium")])
def test_playwrights_own_is_tried_first_then_the_systems_where_that_is_allowed(
    machine: Path, monkeypatch: pytest.MonkeyPatch, user: int, offered: str
):
    calls: list[str] = []

    def call(command: list[str], **_: object) -> int:
        calls.append(" ".join(command[-2:]))
        if command[:2] == ["apt-get", "install"] and command[-1] == offered:
            program(machine / offered, "echo Chromium 130.0")
        return 0 if command[0] == "apt-get" else 1

    monkeypatch.setattr(chromium.subprocess, "call", call)
    monkeypatch.setattr(chromium.os, "geteuid", lambda: user)
    program(machine / "apt-get", "")
    if user == 0:
        assert chromium.obtain() == machine / offered
        tried = ["chromium-headless-shell", "chromium"][: 1 + (offered == "chromium")]
        assert calls == ["install chromium", "update -q", *(f"--no-install-recommends {each}" for each in tried)]
    else:
        with pytest.raises(chromium.NoBrowser, match="Install Chromium or Google Chrome"):
            chromium.obtain()
        assert calls == ["install chromium"]

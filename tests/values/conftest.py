"""Loads the units before the first test."""

import pytest

from solver.units import find_unit


@pytest.fixture(scope="session", autouse=True)
def _units_are_loaded():
    find_unit("V")

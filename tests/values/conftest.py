"""Loads the units before the first test, so that no property is charged with the time of it."""

import pytest

from solver.units import find_unit


@pytest.fixture(scope="session", autouse=True)
def _units_are_loaded():
    find_unit("V")

"""Loads the units before the first test, and lets no property fail for the machine being busy."""

import pytest
from hypothesis import settings

from solver.units import find_unit

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


@pytest.fixture(scope="session", autouse=True)
def _units_are_loaded():
    find_unit("V")

"""What the tests in the browser share."""

from tests.browser.module_page import module_address, module_page, run

__all__ = ["module_address", "module_page", "run"]

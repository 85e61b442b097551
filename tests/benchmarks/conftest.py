"""Measurements in the browser use the same server and browser as the browser tests."""

from tests.browser.fixtures import browser, lab, notebook

__all__ = ["browser", "lab", "notebook"]

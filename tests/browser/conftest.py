"""Every test in this folder drives a real browser."""

import pytest

from tests.browser.fixtures import browser, lab, notebook

__all__ = ["browser", "lab", "notebook"]


def pytest_collection_modifyitems(items):
    for item in items:
        if "tests/browser" in item.path.as_posix():
            item.add_marker(pytest.mark.browser)

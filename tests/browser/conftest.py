"""Every test in this folder drives a real browser."""

import pytest

from tests.browser.fixtures import lab, notebook

__all__ = ["lab", "notebook"]


def pytest_collection_modifyitems(items):
    for item in items:
        if "tests/browser" in item.path.as_posix():
            item.add_marker(pytest.mark.browser)

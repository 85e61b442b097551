"""A view of its own for each test."""

import pytest

from thermo_kit.panels.view import View


@pytest.fixture
def view():
    return View()

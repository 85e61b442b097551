"""Fixtures of every test that needs a browser; one server for a process, one browser for a file of tests."""

import contextlib
import functools
import os
import shutil

import pytest

from tests.browser.lab import Lab

SIZE = {"width": 1440, "height": 1000}
MUST_RUN = "THERMO_KIT_REQUIRE_BROWSER"
SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_chromium():
    """Return the browser's path, or None."""
    return os.environ.get("THERMO_KIT_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")


@functools.cache
def _lab():
    return Lab()


def missing(what, environment=os.environ):
    """Skip, or fail where a skipped browser test must not pass unseen."""
    if environment.get(MUST_RUN) == "1":
        pytest.fail(f"{what}, and {MUST_RUN}=1 forbids to skip browser tests", pytrace=False)
    pytest.skip(what)


@pytest.fixture(scope="session")
def lab():
    """A running JupyterLab on a copy of the workbook."""
    if not find_chromium():
        missing("Chromium is not installed")
    return _lab()


@pytest.fixture(scope="module")
def browser(lab):
    """A running Chromium; it ends with its file of tests, since Playwright leaves an event loop running meanwhile."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        chromium = started.chromium.launch(executable_path=find_chromium(), headless=True, args=list(SWITCHES))
        yield chromium
        chromium.close()


@contextlib.contextmanager
def fresh_page(lab, browser):
    """Give a fresh page of the browser, with the calls of NotebookPage; its kernels end with it, and kept settings."""
    from tests.browser.notebook_page import NotebookPage

    context = browser.new_context(viewport=SIZE)
    try:
        yield NotebookPage(context.new_page(), lab)
    finally:
        context.close()
        lab.stop_kernels()
        (lab.home / "records" / "settings.json").unlink(missing_ok=True)


@pytest.fixture
def notebook(lab, browser):
    """A fresh page for one test."""
    with fresh_page(lab, browser) as page:
        yield page

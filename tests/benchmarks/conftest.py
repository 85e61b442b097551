"""Measurements: the same server and browser as the browser tests, and a table of ratios at the end."""

import os

from tests.browser.fixtures import browser, lab, notebook

# Measured as a learner's kernel runs, with as many threads as numpy takes.
os.environ.pop("OPENBLAS_NUM_THREADS", None)

__all__ = ["browser", "lab", "notebook"]


def pytest_terminal_summary(terminalreporter):
    passed = terminalreporter.stats.get("passed", [])
    lines = [text for report in passed for name, text in report.user_properties if name == "ratio"]
    if lines:
        terminalreporter.section("measured ratios and times", sep="-")
        for line in lines:
            terminalreporter.line(line)

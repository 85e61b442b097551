"""Measurements: the same server and browser as the browser tests, and a table of ratios at the end."""

import pytest

from tests.browser.fixtures import browser, lab, notebook

__all__ = ["browser", "lab", "notebook"]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item):
    result = yield
    benchmark = getattr(item, "funcargs", {}).get("benchmark")
    if getattr(benchmark, "stats", None) is not None:
        stats = benchmark.stats.stats
        line = f"{item.name}: {stats.median * 1e3:.4g} ms, median of {stats.rounds}"
        if "told" in benchmark.extra_info:
            line += f", {benchmark.extra_info['told']}"
        item.user_properties.append(("ratio", line))
    return result


def pytest_terminal_summary(terminalreporter):
    passed = terminalreporter.stats.get("passed", [])
    lines = [text for report in passed for name, text in report.user_properties if name == "ratio"]
    if lines:
        terminalreporter.section("measured ratios and times", sep="-")
        for line in lines:
            terminalreporter.line(line)

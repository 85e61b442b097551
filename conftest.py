"""What every test shares: one worker alone while something is measured, and two short tables at the end of a run."""

import contextlib
import os
import tempfile
from collections import Counter
from pathlib import Path

import pytest

try:
    import fcntl
except ImportError:  # no such locks on Windows: measured ratios are less steady there, nothing else changes
    fcntl = None


def pytest_configure(config):
    if not hasattr(config, "workerinput"):
        os.environ["THERMO_KIT_TEST_RUN"] = str(os.getpid())  # the workers inherit it
    config.addinivalue_line("markers", "quiet: measures time; no other test of this run works meanwhile")
    config.addinivalue_line("markers", "browser: drives a real browser; skipped where none is installed")


@contextlib.contextmanager
def _turn(alone):
    """Hold a place among the workers of this run; a measuring test holds them all."""
    if fcntl is None or "PYTEST_XDIST_WORKER" not in os.environ:
        yield
        return
    stem = Path(tempfile.gettempdir(), f"thermo-kit-tests-{os.environ['THERMO_KIT_TEST_RUN']}")
    # The gate is passed one by one, so that a waiting measurement is not overtaken for ever.
    with open(f"{stem}.gate", "w") as gate, open(f"{stem}.floor", "w") as floor:
        fcntl.flock(gate, fcntl.LOCK_EX)
        fcntl.flock(floor, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        fcntl.flock(gate, fcntl.LOCK_UN)
        yield


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item):
    with _turn(alone=item.get_closest_marker("quiet") is not None):
        return (yield)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item):
    # The benchmark plugin switches itself off beside other workers; a quiet test has the machine to itself.
    session = getattr(item.config, "_benchmarksession", None)
    if session is not None and item.get_closest_marker("quiet") is not None:
        session.disabled = False


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


def pytest_unconfigure(config):
    if hasattr(config, "workerinput"):
        return
    for left_over in Path(tempfile.gettempdir()).glob(f"thermo-kit-tests-{os.getpid()}.*"):
        left_over.unlink(missing_ok=True)


def pytest_terminal_summary(terminalreporter):
    passed = terminalreporter.stats.get("passed", [])
    _show_evidence(terminalreporter, passed)
    _show_notebooks(terminalreporter, passed)
    _show_ratios(terminalreporter, passed)


def _show_evidence(terminalreporter, passed):
    rows = [dict(report.user_properties) for report in passed if "evidence" in dict(report.user_properties)]
    if not rows:
        return
    terminalreporter.section("reference values that agree", sep="-")
    kinds = sorted({row["evidence"] for row in rows})
    for topic in sorted({row["topic"] for row in rows}):
        counts = Counter(row["evidence"] for row in rows if row["topic"] == topic)
        parts = ", ".join(f"{counts[kind]} {kind}" for kind in kinds if counts[kind])
        terminalreporter.line(f"{topic:<18} {parts}")
    total = Counter(row["evidence"] for row in rows)
    terminalreporter.line(f"{'all':<18} " + ", ".join(f"{total[kind]} {kind}" for kind in kinds))
    if total["memory"]:
        terminalreporter.line("rows from memory agree too, but are no evidence until someone reads them in the source")


def _show_notebooks(terminalreporter, passed):
    counts = [count for report in passed for name, count in report.user_properties if name == "checked_cells"]
    if counts:
        terminalreporter.line(
            f"{len(counts)} notebooks hold {sum(counts)} cells whose text a fresh run is compared with"
        )


def _show_ratios(terminalreporter, passed):
    lines = [text for report in passed for name, text in report.user_properties if name == "ratio"]
    if lines:
        terminalreporter.section("measured ratios and times", sep="-")
        for line in lines:
            terminalreporter.line(line)

"""What every test shares: the settings of the property tests, and two short tables at the end of a run."""

import os
from collections import Counter

from hypothesis import HealthCheck, settings

# Set before numpy loads: the workers share the cores, and threads of BLAS that wait for each other took
# 5.5 s of processor time for a freeze case of 32 segments that takes 0.3 s in one thread.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The same examples at every run; no deadline, since CoolProp loads slowly once.
settings.register_profile(
    "workbook", deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("workbook")


def pytest_terminal_summary(terminalreporter):
    told = [dict(report.user_properties) for report in terminalreporter.stats.get("passed", [])]
    _show_evidence(terminalreporter, [row for row in told if "evidence" in row])
    counts = [row["checked_cells"] for row in told if "checked_cells" in row]
    if counts:
        terminalreporter.line(
            f"{len(counts)} notebooks hold {sum(counts)} cells whose text a fresh run is compared with"
        )


def _show_evidence(terminalreporter, rows):
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

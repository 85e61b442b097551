"""Vacuum, recovery and estimate panels beyond what holds for every panel."""

import pytest

from tests.panels.told import row
from thermo_kit import panels
from thermo_kit.panels.view import View
from thermo_kit.service import range_so_far
from thermo_kit.units import UnitSystem

RISE = "time [min], vacuum [micron]\n" + "".join(f"{t}, {400 + 60 * t}\n" for t in range(0, 31, 2))
RECOVERY = "time [min], recovered [g], pressure [bar(g)]\n0, 0, 4.7\n2, 250, 2.0\n4, 398, -0.7\n10, 398, -0.2\n"


@pytest.mark.parametrize("system", UnitSystem)
def test_a_pasted_rise_log_is_judged(system):
    panel = panels.RisePanel(view=View(system=system), log=RISE)
    assert panel.error == "" and row(panel, "Verdict") == "leak"


def test_a_pasted_log_with_a_fault_names_the_line():
    panel = panels.RisePanel(view=View(), log=RISE + "29, oops\n")
    assert "Line 18 is not used" in " ".join(panel.description.notes)
    panel.set(log="time [min], vacuum [psi]\n0, 1\n")
    assert panel.error.startswith("line 1, column 'pressure' does not say whether its psi are gauge or absolute")


def test_a_pasted_recovery_log_is_judged():
    panel = panels.RecoveryPanel(view=View(), log=RECOVERY)
    assert row(panel, "Verdict") == "empty" and "398 g" in panel.description.sentence


def test_the_range_closes_while_hours_go_by():
    panel = panels.NarrowingPanel(view=View())
    wide = row(panel, "Width of the range")
    panel.set(gone=32.0)
    assert row(panel, "Width of the range") == "0" != wide
    from thermo_kit.panels.estimate_panels import _estimate

    sheet = _estimate(panel.settings.failure, panel.settings.kind)
    bill = range_so_far(sheet, len(sheet.parts), case=11).likely
    assert row(panel, "Half below") == f"{round(bill, -1):,.0f}"

"""The panels of cylinder and leak: the questions of lessons 12 and 13 can be answered there."""

import re

from tests.panels.told import row
from thermo_kit.panels import CylinderFillPanel, CylinderRestPanel, LawTable, LossPanel, NitrogenTestPanel
from thermo_kit.panels.view import View
from thermo_kit.service.rules import law
from thermo_kit.units import UnitSystem, celsius


def test_a_nearly_empty_cylinder_can_be_judged_first():
    panel = CylinderRestPanel(view=View(), mass=8.0)
    full = float(row(panel, "Reading holds after").split()[0])
    panel.set(mass=1.0)
    assert float(row(panel, "Reading holds after").split()[0]) < 0.5 * full


def test_the_clock_takes_the_time_along():
    panel = CylinderRestPanel(view=View(), time=10 * 3600.0)
    panel.set(clock=3 * 3600.0)
    assert panel.settings.time == 3 * 3600.0 and panel.error == ""


def test_where_a_cylinder_fills_up():
    panel = CylinderFillPanel(view=View(), mass=13.0, temperature=celsius(40))
    assert row(panel, "Verdict") == "too full" and row(panel, "Full of liquid at") == "54.0 °C"
    panel.set(mass=11.0)
    assert row(panel, "Verdict") == "may travel" and row(panel, "Full of liquid at") == "–"


def test_at_which_loss_foam_drops_out():
    panel = LossPanel(view=View(), lost=0.16)
    assert "foam" in panel.description.sentence
    panel.set(lost=0.12)
    assert "foam" not in panel.description.sentence and "detector" in panel.description.sentence


def test_a_gauge_that_stands_still_is_called_a_leak_once_the_time_is_long_enough():
    panel = NitrogenTestPanel(view=View(), bore=12e-6, time=600.0)
    assert row(panel, "Verdict") == "cannot tell"
    panel.set(time=3.5 * 3600.0)
    assert row(panel, "Verdict") == "leaks"
    assert row(panel, "Gauge now") == "15.00 bar(g)"


def test_the_gauge_of_a_tight_circuit_in_an_even_shop_has_an_axis_that_tells_its_ticks_apart():
    panel = NitrogenTestPanel(view=View(system=UnitSystem.US, altitude=1600.0), bore=0.0, start_pressure=30e5)
    panel.set(start_temperature=celsius(35), end_temperature=celsius(35))
    assert panel.error == ""
    ticks = re.findall(r">(4[\d.]+)</text>", panel.description.pictures[0].still)
    assert len(ticks) == len(set(ticks)) >= 4


def test_a_vehicle_with_a_long_plateau_hides_the_loss_longer():
    panel = LossPanel(view=View(), vehicle="shuttle_bus")
    bus, share = (row(panel, label) for label in ("Noticed after, from full", "Cooling fades at, of the label"))
    panel.set(vehicle="older_van")
    assert float(row(panel, "Noticed after, from full").split()[0]) > float(bus.split()[0])
    assert row(panel, "Cooling fades at, of the label") < share
    panel.set(vehicle="")
    assert row(panel, "Cooling fades at, of the label") == "70 %"


def test_the_table_of_law_follows_the_country_at_once_and_says_what_was_read():
    view = View()
    table = LawTable("Recovery", "recovery", view=view)
    assert "European Union" in repr(table) and "2024/573" in table.children[0].value
    view.country = "US"
    assert "United States" in repr(table) and "ask your authority" in table.children[0].value
    assert "2024/573" not in table.children[0].value and "2015 edition" in table.children[0].value
    view.country = ""
    assert "2024/573" in table.children[0].value and "2015 edition" in table.children[0].value


def test_rules_read_only_in_an_old_edition_say_so():
    old = [fact for fact in law() if "CFR 2015" in fact.seen and "lawserver" not in fact.seen]
    assert len(old) > 40 and all("2015 edition" in fact.doubt for fact in old)

"""The panels of cylinder and leak: the questions of lessons 12 and 13 can be answered there."""

import re

from thermo_kit.panels import LawTable, NitrogenTestPanel
from thermo_kit.panels.view import View
from thermo_kit.service.rules import law
from thermo_kit.units import UnitSystem, celsius


def test_the_gauge_of_a_tight_circuit_in_an_even_shop_has_an_axis_that_tells_its_ticks_apart():
    panel = NitrogenTestPanel(view=View(system=UnitSystem.US, altitude=1600.0), bore=0.0, start_pressure=30e5)
    panel.set(start_temperature=celsius(35), end_temperature=celsius(35))
    assert panel.error == ""
    ticks = re.findall(r">(4[\d.]+)</text>", panel.description.pictures[0].still)
    assert len(ticks) == len(set(ticks)) >= 4


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

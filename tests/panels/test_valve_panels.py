"""The expansion valve's panels: settings in, picture and sentence out; lesson 07's questions can be answered there."""

import pytest

from tests.panels.told import row
from thermo_kit.panels import FeedingPanel, ValveFaultPanel, ValveForcePanel, ValveOpeningPanel
from thermo_kit.panels.view import View
from thermo_kit.units import celsius


def test_warming_the_bulb_lifts_the_pin_and_losing_its_charge_shuts_it():
    panel = ValveForcePanel(view=View())
    panel.set(line_temperature=celsius(-1.0))
    assert row(panel, "State") == "closed"
    panel.set(line_temperature=celsius(4.0))
    assert row(panel, "State") == "partly open"
    panel.set(line_temperature=celsius(15.0))
    assert row(panel, "State") == "fully open"
    panel.set(bulb="lost")
    assert row(panel, "State") == "closed" and row(panel, "Opens from") == "never"
    assert "opens from: never: the bulb is empty" in panel.description.pictures[0].moving
    notes = ValveFaultPanel(view=View(), fault="bulb charge lost").description.notes
    assert not any("maximum operating pressure" in note for note in notes)


def test_internal_equalisation_asks_for_a_warmer_line():
    panel = ValveForcePanel(view=View(), pressure_drop=50e3)
    outside = float(row(panel, "Opens from").split()[0])
    panel.set(equalisation="internal")
    assert float(row(panel, "Opens from").split()[0]) > outside + 2.0


def test_a_gas_charge_shuts_when_the_evaporator_is_warm():
    panel = ValveOpeningPanel(view=View())
    assert row(panel, "Flow at this superheat") != "0.0 g/s"
    panel.set(evaporating_temperature=celsius(18))
    assert row(panel, "Flow at this superheat") == "0.0 g/s"
    assert row(panel, "Static superheat: leaves its seat") == "not here"
    panel.set(charge="same refrigerant")
    assert row(panel, "Flow at this superheat") != "0.0 g/s"


@pytest.mark.parametrize(
    ("fault", "size", "verdict"),
    [
        ("none", 0.5, "in balance"),
        ("bulb charge lost", 0.5, "pulled down"),
        ("pin stuck", 0.3, "starved"),
        ("pin stuck", 0.9, "flooding"),
        ("bulb loose", 0.25, "flooding"),
        ("flash gas at the inlet", 0.9, "starved"),
        ("shut-off told to shut", 0.0, "pulled down"),
    ],
)
def test_each_fault_shows_its_verdict(fault, size, verdict):
    panel = ValveFaultPanel(view=View(), fault=fault, size=size)
    assert panel.error == "" and row(panel, "Verdict") == verdict


def test_a_pin_that_was_right_floods_when_the_compressor_draws_less():
    panel = ValveFaultPanel(view=View(), fault="pin stuck", size=0.6)
    assert row(panel, "Verdict") == "in balance"
    panel.set(suction_flow=0.0015)
    assert row(panel, "Verdict") == "flooding"


def feeding(**given):
    panel = FeedingPanel(view=View(), **given)
    assert panel.error == ""
    heads = panel.description.heads[1:]
    return {label: dict(zip(heads, texts, strict=True)) for label, *texts in panel.description.rows}


def test_only_valves_hold_a_superheat_and_only_one_talks_to_a_scan_tool():
    told = feeding()
    outlet = told["Evaporator outlet"]
    assert outlet["fixed orifice"].startswith("wet") and "superheat" in outlet["block valve"]
    shown = told["Scan: shown superheat"]
    assert shown["electronic valve"] != "–" and {shown[k] for k in shown if k != "electronic valve"} == {"–"}


def test_a_warm_feeling_floods_strap_bulb_and_electronic_valve_only():
    verdicts = feeding(cause="what it feels reads too warm")["Verdict"]
    assert verdicts == {
        "strap bulb": "flooding",
        "block valve": "in balance",
        "electronic valve": "flooding",
        "fixed orifice": "wet by design",
    }
    scan = feeding(cause="what it feels reads too warm")
    assert scan["Scan: shown superheat"]["electronic valve"] == scan["Scan: target superheat"]["electronic valve"]


def test_little_air_lowers_every_low_side_without_raising_superheat():
    sound, little = feeding(), feeding(cause="little air over the evaporator", size=0.9)
    for name, before in sound["Low-side gauge"].items():
        assert float(little["Low-side gauge"][name].split()[0]) < float(before.split()[0]) - 0.4
    assert little["Verdict"]["electronic valve"] == "in balance"
    assert "starved" in feeding(cause="too little refrigerant", size=0.9)["Verdict"].values()

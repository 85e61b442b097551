"""The expansion valve's panels: settings in, picture and sentence out; lesson 07's questions can be answered there."""

from thermo_kit.panels import FeedingPanel
from thermo_kit.panels.view import View


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
    scan = feeding(cause="what it feels reads too warm")
    assert list(scan["Verdict"].values()) == ["flooding", "in balance", "flooding", "wet by design"]
    assert scan["Scan: shown superheat"]["electronic valve"] == scan["Scan: target superheat"]["electronic valve"]


def test_little_air_lowers_every_low_side_without_raising_superheat():
    sound, little = feeding(), feeding(cause="little air over the evaporator", size=0.9)
    for name, before in sound["Low-side gauge"].items():
        assert float(little["Low-side gauge"][name].split()[0]) < float(before.split()[0]) - 0.4
    assert little["Verdict"]["electronic valve"] == "in balance"
    assert "starved" in feeding(cause="too little refrigerant", size=0.9)["Verdict"].values()

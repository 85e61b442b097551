"""What only a panel's own lines decide: a table of what its rows tell, what it says, and what it refuses."""

import pytest

from tests.panels.told import row, shown, strange_units, words
from thermo_kit import panels
from thermo_kit.components.compressor import rpm
from thermo_kit.panels.view import View
from thermo_kit.substances import Refrigerant
from thermo_kit.units import UnitSystem, barg, celsius

BUS = {"vessel": "shuttle_bus", "refrigerant": "R-134a", "condensing_temperature": celsius(50), "mass_flow": 0.06}
YEARS = {**BUS, "charge": 1.7, "held_elsewhere": 1.25, "leak_per_year": 0.04, "lateral_acceleration": 4.0}
SOAK = {"scene": "hot soak", "fault": "none", "ambient_temperature": celsius(40)}
VALVE = {"mass_fraction": 0.1, "valve_closes": True}
OTHER = {"kind": "propylene glycol", "scale_reading": celsius(-29)}
R134A = Refrigerant("R-134a")
CITY = {"vehicle": "city_van"}
WARM = {"refrigerant": "R-744", "pressure": barg(70), "temperature": celsius(45)}
HOT = {"refrigerant": "R-152a", "discharge_limit": celsius(70)}
OPEN = {"cabin_open": True, "valve": False}
LEAK = {"refrigerant": "R-744", "charge": 0.2}
BACK = {"evaporating_temperature": celsius(20), "superheat": 18.0}
HYDROMETER = {"kind": "propylene glycol", "instrument": "hydrometer", "specific_gravity": 1.03}
SWAPPED = {"suction_pressure": barg(5), "discharge_pressure": barg(3.5)}
FIRST_BUBBLE = "First bubble at the latest, level / in the bend"
TIGHT = {"inner_diameter": 0.009, "length": 2.0}


def case(name, *told, **settings):
    """Return a panel's name, its settings, and what is told then."""
    return pytest.param(name, settings, *told, id=f"{name}, {settings}")


@pytest.mark.parametrize(
    ("name", "settings", "told"),
    [
        case("InsulationPanel", {"Verdict": "too little: out of service", "Weakest": "compressor"}, compressor=150e3),
        case("CylinderFillPanel", {"Verdict": "too full", "Full of liquid at": "54.0 °C"}, mass=13.0),
        case("CylinderFillPanel", {"Verdict": "may travel", "Full of liquid at": "–"}, mass=11.0),
        case("NitrogenTestPanel", {"Verdict": "leaks", "Gauge now": "15.00 bar(g)"}, time=3.5 * 3600.0),
        case("EstimatePanel", {"The promise is kept in": "0 % of such jobs"}, promise=500.0),
        case("EstimatePanel", {"The promise is kept in": "100 % of such jobs"}, promise=15000.0),
        case("FreezePanel", {"End of the story": "blocked"}, **VALVE, delay=22.0),
        case("FreezePanel", {"End of the story": "burst"}, **VALVE, delay=25.0),
        case("FreezePanel", {"Plates burst": "184.6 s"}, cabin_open=True),
        case("ScenarioPanel", {"Limits passed": "none"}, fault="battery pump dead"),
        case("ScenarioPanel", {"coolant passes 100 °C somewhere, may boil": "1.3 min"}, **SOAK),
        case("ScenarioPanel", {"Limits passed": "none"}, **SOAK, after_run=300.0),
        case("MixturePanel", {"Freezing point": "−21.5 °C"}, **OTHER, instrument="other scale"),
        case("MixturePanel", {"Freezing point": "−29.0 °C"}, **OTHER),
        case("ValveForcePanel", {"State": "closed", "Opens from": "never"}, bulb="lost"),
        case("ExchangeCyclePanel", {"Largest allowed": "none: too hot already"}, **HOT),
        case("ExchangeCyclePanel", {"Largest allowed": "any"}, discharge_limit=celsius(170)),
        case("ReceiverPanel", {"Depth of the mouth": "21.5 mm"}, too_short=0.02),
        case("ReceiverPanel", {"Verdict": "vapour possible"}, **BUS, inventory=0.168, lateral_acceleration=4.0),
        case("ReceiverPanel", {"Verdict": "vapour pulled down"}, **BUS, inventory=0.167, lateral_acceleration=4.0),
        case("ReceiverChargePanel", {FIRST_BUBBLE: "8.0 years / 7.1 years"}, **YEARS),
        case("ReceiverChargePanel", {"In the receiver after the years gone by": "150 g"}, **YEARS, years=7.5),
        case("LeakPanel", {"Short-term limit": "54.0 g/m³ (30,000 ppm)"}, **LEAK),
        case("LeakPanel", {"Short-term limit": "none set"}, refrigerant="R-134a"),
        case("CompareCoresPanel", {"Shift in head pressure": "0.00 bar"}, second_fins=20 / 0.0254),
    ],
)
def test_what_a_row_tells(name, settings, told):
    panel = shown(name, **settings)
    assert {label: row(panel, label) for label in told} == told


@pytest.mark.parametrize(
    ("name", "settings", "said", "unsaid"),
    [
        case("CondenserPanel", "charged to 6.0 K", "receiver sits", receiver=0),
        case("CondenserPanel", "receiver sits after pass 2", "charged to", receiver=-1, tubes=(17, 10, 6)),
        case("CondenserPanel", "receiver sits after pass 3", "charged to", receiver=-2, tubes=(17, 10, 6)),
        case("FreezePanel", "the plates have not burst by then.", "the plates hold", mass_fraction=0.4),
        case("GuardPanel", "Plates burst", "Plates survive", **OPEN, interlock_stops_compressor=False),
        case("GuardPanel", "Plates survive", "Plates burst", **OPEN),
        case("EvaporatorPanel", "stay dry", "below: frost", relative_humidity=0.05),
        case("EvaporatorPanel", "below: frost|freezes", "stay dry", evaporating_temperature=celsius(-7), air_flow=0.05),
        case("StatePanel", "is boiling or condensing", "neither boils", pressure=3e5),
        case("StatePanel", "is liquid at", "neither boils", pressure=10e5, enthalpy=210e3),
        case("StatePanel", "is vapour at", "neither boils", pressure=3e5, enthalpy=430e3),
        case("StatePanel", "above its critical pressure", "is vapour", pressure=50e5, enthalpy=380e3),
        case("TwoVentsPanel", "20 % of the air goes through the heater", "no fault", fault="damper leaks", size=0.4),
        case("ExchangerPanel", "by +0.1 % and the COP by +0.2 %|loses 7 % of its", "costs more than", **TIGHT),
        case(
            "ExchangeComparePanel",
            "most for R-1234yf|fair comparison: R-744.",
            "pay",
            condensing_temperature=celsius(75),
        ),
        case("ExchangeComparePanel", "effectiveness of 0.00 nothing changes.", "most for", effectiveness=0.0),
        case("ReceiverChargePanel", "bubbles|400 g are left: doubtful", " now", **YEARS, years=7.5),
        case("ReceiverChargePanel", "used up from the start", "at once and at once", **YEARS | {"charge": 1.4}),
        case("ValveForcePanel", "opens from: never: the bulb is empty", "at this pressure", bulb="lost"),
        case("ValveFaultPanel", "pulled down", "maximum operating pressure", fault="bulb charge lost"),
        case("ComparePanel", "100.25 bar(g), chosen for the best COP", "this panel goes to"),
        case("ComparePanel", "R-290", "too hot to|Above the critical", condensing_temperature=celsius(26)),
        case("ComparePanel", "the highest this panel goes to; the best", "chosen", condensing_temperature=celsius(62)),
        case("ComparePanel", "the lowest this panel goes to; the best", "chosen", condensing_temperature=celsius(33)),
        case("LeakPanel", "above the 8-hour limit and the short-term limit", "limit and the immed", **LEAK),
        case("ParkedSystemPanel", "97 g to 3,620 g reads|on the line|Most charge that fits", "Charge in this"),
        case("ParkedSystemPanel", "no liquid is left|below the line|Charge in this", "Most charge", pressure=barg(3.0)),
        case("ParkedSystemPanel", "above the line|Pressure left unexplained", "reads the same", pressure=barg(8.0)),
        case("ParkedSystemPanel", "nothing can be liquid", "Boiling pressure there", **WARM),
        case("ExchangeComparePanel", "limit: none allowed", "never at", discharge_limit=celsius(85)),
        case("VehiclePanel", "chiller shut off: its coolant is not cooled", "coolant 25.0", **CITY),
        case("VehiclePanel", "full; chiller coolant 25.0 °C to|K superheat.", "shut off", **CITY, open_branches="both"),
        case("VehiclePanel", "cabin is shut off|coolant 25.0 °C to", "not cooled", **CITY, open_branches="chiller"),
        case(
            "VehiclePanel", "shut off but leaks, coolant 25.0 °C", "not cooled", **CITY, fault="chiller_shut_off_leaks"
        ),
    ],
)
def test_what_is_said(name, settings, said, unsaid):
    """Pieces of what is said, and of what is not said, stand with | between them."""
    told = words(shown(name, **settings))
    assert all(one in told for one in said.split("|")) and not any(one in told for one in unsaid.split("|")), told


@pytest.mark.parametrize("system", UnitSystem)
@pytest.mark.parametrize(
    ("name", "settings", "changes", "told"),
    [
        case("CondenserPathPanel", {"pressure": barg(8)}, "cannot flow to hotter air", air_temperature=celsius(45)),
        case("CondenserPanel", {"receiver": 7}, "receiver after pass 7|the core has 4 passes"),
        case("CondenserPanel", {"tubes": (0, 9, 6)}, "a pass without tubes shuts the core"),
        case("CondenserPanel", {"tubes": (12,)}, "needs two passes or more"),
        case("CondenserPanel", {"tubes": (1,) * 13}, "is not a list of 1 to 12"),
        case("CondenserPanel", {"tubes": (300, 9)}, "is not a whole number from 1 to 200"),
        case(
            "EvaporatorPanel", {"superheat": 19.0}, "not warmer than the vapour|lower the", air_temperature=celsius(20)
        ),
        case("CompressorPanel", {"voltage": 200.0}, "voltage between the motor lines", speed=rpm(8000)),
        case("CompressorPanel", SWAPPED, "are the two gauges swapped"),
        case("MixturePanel", {"specific_gravity": 1.08}, "propylene glycol can show", **HYDROMETER),
        case("ExchangerPanel", {"inner_diameter": 0.005}, "more than a third", mass_flow=0.04),
        case("ExchangerPanel", {"condensing_temperature": celsius(28)}, "run backwards", **BACK),
        case("CyclePanel", {"high_side": "condenser"}, "critical", refrigerant="R-744"),
        case("CyclePanel", {"condensing_temperature": celsius(-10)}, "must be above the evaporating temperature"),
        case("LayoutPanel", {"amount": 0.99}, "0 to 98 %", fault="hose kinked"),
        case("VehiclePanel", {"open_branches": "both"}, "choose a vehicle with a chiller", vehicle="older_van"),
        case("ReadingsPanel", {"discharge_temperature": celsius(5)}, "discharge"),
    ],
)
def test_what_cannot_be_is_told_in_the_learners_units_and_the_picture_stays(name, settings, changes, told, system):
    panel = getattr(panels, name)(view=View(system=system), **settings)
    before, description = panel.settings, panel.description
    assert panel.error == ""
    panel.set(**changes)
    assert all(one in panel.error for one in told.split("|")) and strange_units(panel.error, system) == []
    assert panel.description is description and "Check this" in repr(panel)
    panel.set(**{field: getattr(before, field) for field in changes})
    assert panel.error == ""


@pytest.mark.parametrize(
    ("name", "settings", "changes", "after"),
    [
        case("CompressorPanel", {"machine": "shuttle_bus"}, {"voltage": 650.0, "speed": rpm(6500)}, speed=rpm(8000)),
        case("CompressorMapPanel", {"machine": "shuttle_bus"}, {"speed": rpm(6500)}, speed=rpm(8000)),
        case("CondenserPanel", {"vehicle": "shuttle_bus"}, {"fin_density": 700.0}, fin_density=700.0),
        case("CylinderRestPanel", {"clock": 3 * 3600.0}, {"time": 3 * 3600.0}, time=10 * 3600.0),
        case("NitrogenTestPanel", {"clock": 3600.0}, {"time": 3600.0}, time=2 * 3600.0),
        case("VacuumPanel", {"duration": 600.0}, {"gone": 600.0}),
        case("RecoveryPanel", {"duration": 600.0}, {"gone": 600.0}, gone=3000.0, duration=3600.0),
        case("NarrowingPanel", {"pace": 8.0}, {"gone": 8.0}, gone=20.0),
        case("LayoutPanel", {"layout": "one_loop"}, {"position": "", "fault": "none"}, position="joined", amount=0.5),
        case("LayoutPanel", {"layout": "warm_cabin"}, {"ambient_temperature": celsius(-5)}),
        case("LayoutPanel", {"fault": "hose kinked"}, {"amount": 0.9}, layout="two_loops"),
        case("OperatingPointPanel", {"coolant": "water"}, {"temperature": celsius(1)}, temperature=celsius(-25)),
        case("CyclePanel", {"refrigerant": "R-744"}, {"high_side": "gas cooler"}),
        case("CyclePanel", {"refrigerant": "R-290"}, {"high_side": "condenser"}, refrigerant="R-744"),
        case(
            "StatePanel",
            {"temperature": celsius(30)},
            {"second": "temperature", "enthalpy": R134A.at(p=barg(2), T=celsius(30)).h},
        ),
        case("StatePanel", {"pressure": 2e5}, {"temperature": celsius(30)}, temperature=celsius(30)),
        case("StatePanel", {"enthalpy": 300e3}, {"second": "enthalpy", "temperature": R134A.dew_temperature(barg(2))}),
        case("ReceiverChargePanel", {"vessel": "shuttle_bus"}, {"charge": 1.7}),
        case("ReceiverChargePanel", {"vessel": "shuttle_bus"}, {"charge": 1.5}, charge=1.5, held_elsewhere=1.2),
    ],
)
def test_what_goes_along_with_a_change(name, settings, changes, after):
    panel = getattr(panels, name)(view=View(), **settings)
    panel.set(**changes)
    assert panel.error == "" and {field: getattr(panel.settings, field) for field in after} == pytest.approx(after)

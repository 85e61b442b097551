"""The learner types gauge and clamp readings of a running system and sees its cycle, with its uncertainty."""

from dataclasses import dataclass, fields

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.cycle_words import cycle_rows, told
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.systems import Readings, cycle_from_readings
from thermo_kit.units import barg, celsius


@dataclass(frozen=True, kw_only=True)
class ReadingsSettings:
    """Refrigerant [name], two pressures [Pa absolute], four clamps [K], and the ± of gauges [Pa] and clamps [K]."""

    refrigerant: str = "R-134a"
    suction_pressure: float = barg(2.0)
    discharge_pressure: float = barg(12.5)
    evaporator_outlet_temperature: float = celsius(6)
    suction_temperature: float = celsius(10)
    discharge_temperature: float = celsius(78)
    liquid_temperature: float = celsius(43)
    low_gauge_accuracy: float = 16e3
    high_gauge_accuracy: float = 56e3
    clamp_accuracy: float = 1.5


def readings_of(settings, altitude):
    """Return the settings as readings; altitude [m]."""
    same = {f.name for f in fields(Readings)} & {f.name for f in fields(ReadingsSettings)}
    return Readings(
        **{name: getattr(settings, name) for name in same},
        altitude=altitude,
        pressure_accuracy=settings.low_gauge_accuracy,
        discharge_pressure_accuracy=settings.high_gauge_accuracy,
        temperature_accuracy=settings.clamp_accuracy,
    )


def describe(settings, look):
    """Return what the panel shows."""
    cycle = cycle_from_readings(readings_of(settings, look.altitude))
    caution = Refrigerant(settings.refrigerant).facts.caution
    picture = picture_of(cycle, look)
    return Description((picture,), sentence_of(cycle, look), cycle_rows(cycle, look), (*cycle.notes, caution))


def picture_of(cycle, look):
    """Draw a cycle from readings with the uncertainty of its points."""
    from thermo_kit.charts.pressure_enthalpy import diagram
    from thermo_kit.substances.lines import property_lines
    from thermo_kit.systems.readings_spread import spread_of_points

    lines = property_lines(cycle.refrigerant, look.system)
    return diagram(lines, look, cycles=(cycle,), spreads=spread_of_points(cycle))


def sentence_of(cycle, look, start=""):
    """Say what readings tell, with their uncertainty."""
    superheat, efficiency, performance = (
        told(cycle, name, look) for name in ("superheat", "isentropic_efficiency", "coefficient_of_performance")
    )
    if cycle.subcooling is None:
        first = f"superheat is {superheat}; the high side is above the critical pressure, so there is no subcooling"
    else:
        first = f"superheat is {superheat} and subcooling is {told(cycle, 'subcooling', look)}"
    return (
        f"{start}{first if start else first[0].upper() + first[1:]}".rstrip(".")
        + f". The isentropic efficiency of the compressor seems to be {efficiency}, "
        f"the COP of the refrigerant circuit {performance}."
    )


def _clamp(field, label):
    return NumberControl(field, label, "temperature", low=celsius(-50), high=celsius(170), step=0.5, us_step=1)


class ReadingsPanel(Panel):
    """Your own readings: two gauges, four clamps."""

    title = "Your readings on the pressure–enthalpy diagram"
    Settings = ReadingsSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl(
            "suction_pressure", "Low-side gauge", "pressure", low=2e4, high=90e5, step=0.05e5, us_step=1,
            help='You may type any unit, such as "29 psi" or "200 kPa".',
        ),
        NumberControl("discharge_pressure", "High-side gauge", "pressure", low=5e4, high=180e5, step=0.1e5, us_step=1),
        _clamp("evaporator_outlet_temperature", "Clamp: evaporator outlet"),
        _clamp("suction_temperature", "Clamp: suction line at compressor"),
        _clamp("discharge_temperature", "Clamp: discharge line at compressor"),
        _clamp("liquid_temperature", "Clamp: liquid line (gas cooler outlet)"),
        NumberControl(
            "low_gauge_accuracy", "Low-side gauge is good to ±", "pressure_difference", low=0.0, high=2e5,
            step=1e3, us_step=0.1, help="On the dial: class 1.6 means ±1.6 % of the full scale.",
        ),
        NumberControl(
            "high_gauge_accuracy", "High-side gauge is good to ±", "pressure_difference", low=0.0, high=5e5,
            step=1e3, us_step=0.1,
        ),
        NumberControl(
            "clamp_accuracy", "Clamps are good to ±", "temperature_difference", low=0.0, high=10.0,
            step=0.1, us_step=0.2,
        ),
    )  # fmt: skip
    describe = staticmethod(describe)

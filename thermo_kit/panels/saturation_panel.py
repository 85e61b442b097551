"""The learner moves a temperature or a pressure along the boiling line; the other one follows."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.units import barg, celsius, format_quantity

COLDEST, HOTTEST = celsius(-40), celsius(95)


@dataclass(frozen=True, kw_only=True)
class SaturationSettings:
    """A refrigerant [name] where liquid and vapour are together, at a temperature [K] and its pressure [Pa]."""

    refrigerant: str = "R-134a"
    temperature: float = celsius(25)
    pressure: float = barg(5.64)


def _warmest(settings):
    return min(HOTTEST, Refrigerant(settings.refrigerant).critical_temperature - 0.1)


def _lowest_pressure(settings):
    return Refrigerant(settings.refrigerant).dew_pressure(COLDEST)


def _highest_pressure(settings):
    return Refrigerant(settings.refrigerant).dew_pressure(_warmest(settings))


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.saturation_curve import SaturationMark, saturation_picture
    from thermo_kit.substances.lines import saturation_curve

    fluid = Refrigerant(settings.refrigerant)
    liquid = fluid.at(T=settings.temperature, x=0.0).rho
    vapour = fluid.at(T=settings.temperature, x=1.0).rho
    mark = SaturationMark(settings.temperature, settings.pressure, "liquid and vapour")
    picture = saturation_picture((saturation_curve(fluid.name),), look, marks=(mark,))
    temperature = look.text(settings.temperature, "temperature")
    rows = (
        ("Temperature", temperature),
        ("Gauge reading", format_quantity(settings.pressure, "gauge_pressure", look.system, look.altitude)),
        ("Absolute pressure", format_quantity(settings.pressure, "pressure", look.system)),
        ("Critical temperature", look.text(fluid.critical_temperature, "temperature")),
        ("Density of the liquid", look.text(liquid, "density")),
        ("Density of the vapour", look.text(vapour, "density")),
    )
    sentence = (
        f"{fluid.name} that is partly liquid and partly vapour at {temperature} "
        f"has {look.text(settings.pressure, 'pressure')}. At that pressure it boils when it takes in heat, "
        f"and condenses when it gives heat away."
    )
    return Description((picture,), sentence, rows, (fluid.facts.caution,))


def follow(settings, changed):
    """Return the pressure that belongs to the temperature, or the temperature that belongs to the pressure."""
    fluid = Refrigerant(settings.refrigerant)
    if changed == "pressure":
        return {"temperature": fluid.dew_temperature(settings.pressure)}
    return {"pressure": fluid.dew_pressure(settings.temperature)}


class SaturationPanel(Panel):
    """Boiling temperature and boiling pressure; move either."""

    title = "Boiling pressure and boiling temperature"
    Settings = SaturationSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl(
            "temperature", "Temperature", "temperature", low=COLDEST, high=_warmest, step=0.5, us_step=1,
            help="Move this one: the pressure follows.",
        ),
        NumberControl(
            "pressure", "Pressure", "gauge_pressure", low=_lowest_pressure, high=_highest_pressure,
            step=0.1e5, us_step=1, help="Or this one: the temperature follows.",
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)

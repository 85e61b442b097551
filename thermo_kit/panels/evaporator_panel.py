"""The learner sets air and refrigerant, and sees what leaves the coil."""

from dataclasses import dataclass

from thermo_kit.components.evaporator import air_process, solve_evaporator
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.evaporator_parts import (
    HELD,
    INVENTED,
    air_flow_control,
    air_temperature_control,
    boiling_control,
    coil_of,
    conditions_of,
    humidity_control,
    superheat_control,
)
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class EvaporatorSettings:
    """Air in front of the coil [K], [-], its flow [m³/s]; evaporating temperature [K], superheat [K], dirt [-]."""

    air_temperature: float = celsius(30)
    relative_humidity: float = 0.5
    air_flow: float = 0.11
    evaporating_temperature: float = celsius(3)
    superheat: float = 5.0
    blocked_share: float = 0.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.evaporator_coil import coil_picture
    from thermo_kit.charts.evaporator_words import drip_text, frost_text
    from thermo_kit.units.look import percent

    result = solve_evaporator(coil_of(settings), conditions_of(settings, look))
    process = air_process(result)
    picture = coil_picture(process, look)
    rows = (
        ("Vent air", look.text(result.vent.T, "temperature")),
        ("Its relative humidity", percent(result.vent.relative_humidity)),
        ("Cooling", look.text(result.cooling_capacity, "power")),
        ("of it sensible", look.text(result.sensible, "power")),
        ("of it latent", look.text(result.latent, "power")),
        ("Condensate", drip_text(result.condensate, look)),
        ("Dew point in front", look.text(result.inlet.dew_point, "temperature")),
        ("Coldest fin surface", look.text(result.coldest_surface, "temperature")),
        ("Frost margin", frost_text(process, look)),
        ("Superheated part of the face", percent(result.superheated_share)),
        ("Air through the coil", look.text(result.air_flow, "air_flow")),
        ("Refrigerant flow", look.text(result.mass_flow, "mass_flow")),
    )
    return Description((picture,), picture.sentence, rows, (*result.notes, HELD, INVENTED))


class EvaporatorPanel(Panel):
    """A coil in section: wet and dry fins, boiling and superheated part, air in front and behind."""

    title = "What leaves the coil"
    Settings = EvaporatorSettings
    controls = (
        air_temperature_control(),
        humidity_control(),
        air_flow_control(),
        boiling_control(),
        superheat_control(),
        NumberControl(
            "blocked_share", "Blocked share of the face", "percent", low=0.0, high=0.8, step=0.01, decimals=0
        ),
    )
    describe = staticmethod(describe)

"""The learner follows the air through the coil on a moist-air chart."""

from dataclasses import dataclass

from thermo_kit.components.evaporator import air_process, moist_air_lines, solve_evaporator
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
class MoistAirSettings:
    """Air in front of the coil [K], [-], its flow [m³/s]; evaporating temperature [K] and superheat [K]."""

    air_temperature: float = celsius(30)
    relative_humidity: float = 0.5
    air_flow: float = 0.11
    evaporating_temperature: float = celsius(3)
    superheat: float = 5.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.moist_air_chart import moist_air_picture, places_of
    from thermo_kit.units.look import percent

    result = solve_evaporator(coil_of(settings), conditions_of(settings, look))
    process = air_process(result)
    picture = moist_air_picture(process, moist_air_lines(result.conditions.air_pressure), look)
    rows = [
        (
            f"{number} {name}",
            look.text(air.T, "temperature"),
            percent(air.relative_humidity),
            look.text(air.humidity_ratio, "humidity_ratio"),
            look.text(air.dew_point, "temperature"),
        )
        for number, name, air in places_of(result)
    ]
    rows.append(("fin surface, mean", look.text(result.mean_surface, "temperature"), "–", "–", "–"))
    return Description(
        (picture,),
        picture.sentence,
        tuple(rows),
        (*result.notes, HELD, INVENTED),
        ("Place", "Temperature", "Relative humidity", "Water in the air", "Dew point"),
    )


class MoistAirPanel(Panel):
    """Temperature and water of the air on its way through the coil."""

    title = "Air on its way through the coil"
    Settings = MoistAirSettings
    controls = (
        air_temperature_control(),
        humidity_control(),
        air_flow_control(),
        boiling_control(),
        superheat_control(),
    )
    describe = staticmethod(describe)
